/* What the words of a command line may hold, and what was meant by one that is not known. */
#include "app/cli/cli.h"

#include <string.h>

#include "base/nearest.h"
#include "base/utf8.h"

/* C0 and C1 controls and the one between them. */
static bool is_control(const unsigned char *s)
{
    return s[0] < 0x20 || s[0] == 0x7F || (s[0] == 0xC2 && s[1] < 0xA0);
}

bool cli_check_text(const char *option, const char *text, size_t most)
{
    const unsigned char *s = (const unsigned char *)text;
    size_t n = 0, length = 1;
    bool control = false;
    for (; *s != '\0' && length > 0; s += length) {
        length = aw_utf8_sequence(s);
        control = control || is_control(s);
        n++;
    }
    if (length == 0)
        cli_complain("%s: character %zu is not UTF-8", option, n);
    else if (control)
        cli_complain("%s: control characters are not allowed", option);
    else if (strspn(text, " ") == strlen(text))
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
