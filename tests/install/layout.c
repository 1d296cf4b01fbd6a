/* Where the parts of a struct lie that C and C++ declare by different types. */
#include <stddef.h>
#include <stdio.h>

#include <anchorwise.h>

int main(void)
{
    printf("%zu %zu %zu %zu %zu\n", sizeof(aw_watch), offsetof(aw_watch, done),
           offsetof(aw_watch, bar), offsetof(aw_watch, drawn), offsetof(aw_watch, stage));
    return 0;
}
