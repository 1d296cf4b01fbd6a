/* What the words of a command line may hold, and what was meant by one that is not known. */
#include "app/cli/cli.h"

#include <string.h>

#include "base/character.h"
#include "base/nearest.h"

/* As titles and names in a scenario. */
bool cli_check_text(const char *option, const char *text, size_t most)
{
    char why[AW_WHY_ROOM];
    const size_t length = strlen(text);
    size_t n = 0;
    for (size_t at = 0; at < length; at += aw_character_at(text, length, at).width)
        n++;
    if (!aw_text_is_printable(text, length, why))
        cli_complain("%s: %s", option, why);
    else if (strspn(text, " ") == length)
        cli_complain("%s: is blank", option);
    else if (n > most)
        cli_complain("%s: %zu characters are outside [1, %zu]", option, n, most);
    else
        return true;
    return false;
}

int cli_complain_of_unknown(const char *what, const char *written, const char *const known[],
                            size_t n, const char *otherwise)
{
    const char *nearest = aw_nearest(written, known, n);
    if (nearest != NULL)
        return cli_complain("%s '%s'; did you mean '%s'?", what, written, nearest);
    return cli_complain("%s '%s'; %s", what, written, otherwise);
}
