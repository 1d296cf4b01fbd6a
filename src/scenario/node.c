/* Small questions about nodes, and how a value is shown in a complaint. */
#include "scenario/yaml.h"

#include <string.h>

#include "base/character.h"

const aw_node *aw_node_find(const aw_node *mapping, const char *key)
{
    const size_t length = strlen(key);
    for (size_t i = 0; i + 1 < mapping->n; i += 2) {
        const aw_node *k = mapping->children[i];
        if (k->length == length && memcmp(k->text, key, length) == 0)
            return mapping->children[i + 1];
    }
    return NULL;
}

bool aw_node_is_null(const aw_node *node)
{
    static const char *const nulls[] = {"", "~", "null", "Null", "NULL"};
    if (node->kind != AW_NODE_SCALAR || !node->plain)
        return false;
    for (size_t i = 0; i < sizeof nulls / sizeof nulls[0]; i++)
        if (strcmp(node->text, nulls[i]) == 0)
            return true;
    return false;
}

/* Hidden characters must not reach a terminal. */
aw_shown aw_text_shown(const char text[], size_t length)
{
    static const char more[] = "…";
    aw_shown shown = {{0}};
    size_t n = 0;
    for (size_t i = 0; i < length;) {
        const size_t width = aw_character_at(text, length, i).width;
        if (n + width + sizeof more + 2 > sizeof shown.text) {
            memcpy(shown.text + n, more, sizeof more);
            return shown;
        }
        if (aw_character_is_hidden(text, length, i)) {
            shown.text[n++] = '?';
        } else {
            memcpy(shown.text + n, text + i, width);
            n += width;
        }
        i += width;
    }
    return shown;
}

aw_shown aw_node_shown(const aw_node *node)
{
    if (aw_node_is_null(node))
        return (aw_shown){"nothing"};
    if (node->kind != AW_NODE_SCALAR)
        return node->kind == AW_NODE_LIST ? (aw_shown){"a list"} : (aw_shown){"a mapping"};
    aw_shown shown = aw_text_shown(node->text, node->length);
    const size_t n = strlen(shown.text);
    memmove(shown.text + 1, shown.text, n);
    shown.text[0] = shown.text[n + 1] = node->plain ? '\'' : '"';
    shown.text[n + 2] = '\0';
    return shown;
}
