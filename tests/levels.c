/* The program at a processor level of choice: the same main(), linked with --wrap for the function
 * that chooses the best one. Ends with 77 where this processor lacks the level.
 *
 * usage: levels LEVEL COMMAND ... */
#include <stdio.h>

#include "position/kernel.h"

static const aw_kernel *chosen;

const aw_kernel *__wrap_aw_kernel_best(void);
int cli_main(int argc, char *argv[]); /* main() of the program, renamed */

const aw_kernel *__wrap_aw_kernel_best(void)
{
    return chosen;
}

int main(int argc, char *argv[])
{
    if (argc < 2) {
        fprintf(stderr, "usage: levels LEVEL COMMAND ...\n");
        return 2;
    }
    chosen = aw_kernel_named(argv[1]);
    return chosen != NULL ? cli_main(argc - 1, argv + 1) : 77;
}
