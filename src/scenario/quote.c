/* A text as a YAML scalar: plain where that says the same. */
#include "anchorwise/edit.h"

#include <string.h>

void aw_edit_quote(aw_text *out, const char *text)
{
    static const char special[] = "-?:,[]{}#&*!|>'\"%@`~ =<.+";
    const size_t n = strlen(text);
    bool plain = n > 0 && strchr(special, text[0]) == NULL && text[n - 1] != ' ' &&
                 strspn(text, "0123456789") == 0;
    static const char *const words[] = {"null", "Null", "NULL", "true", "false", "yes", "no"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        plain = plain && strcmp(text, words[i]) != 0;
    for (size_t i = 0; i < n; i++)
        plain = plain && strchr(":#,[]{}\"\\", text[i]) == NULL && (unsigned char)text[i] >= 0x20 &&
                text[i] != 0x7F;
    if (plain) {
        aw_text_add(out, text);
        return;
    }
    aw_text_add(out, "\"");
    for (size_t i = 0; i < n; i++) {
        const unsigned char byte = (unsigned char)text[i];
        if (byte == '"' || byte == '\\')
            aw_text_format(out, "\\%c", byte);
        else if (byte < 0x20 || byte == 0x7F)
            aw_text_format(out, "\\x%02X", byte);
        else
            aw_text_add_bytes(out, text + i, 1);
    }
    aw_text_add(out, "\"");
}
