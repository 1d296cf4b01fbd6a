/* One character of UTF-8 after the other, and which of them a reader would not see. */
#ifndef AW_BASE_CHARACTER_H
#define AW_BASE_CHARACTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Code point of a byte that begins no character of UTF-8. */
#define AW_NO_CHARACTER UINT32_MAX

typedef struct aw_character {
    uint32_t code;
    size_t width; /* bytes; 1 of AW_NO_CHARACTER */
} aw_character;

/* The character at byte `at` < `length`. */
aw_character aw_character_at(const char text[], size_t length, size_t at);

/* Whether the character at byte `at` is hidden, as aw_text_is_printable() explains, or none. */
bool aw_character_is_hidden(const char text[], size_t length, size_t at);

#endif
