/** @file edit.h
 *  Patches of a scenario's text: one value set, inserted or removed, everything else left as it was
 *  written, comments and line ends included.
 *
 *  A path names a value: `study.step`, `anchors[3].at`, `anchors[name=A1].at[2]`,
 *  `materials["tram body"].loss_db`, `zones[name="bay 2"]`. Steps are keys, items counted from 0,
 *  and the first item of a list that is a mapping with that name. A key of a list is a name of an
 *  item, or without quotes its number: `anchors.A1.at.2`, `zones."no. 2"`. In quotes a backslash
 *  stands before a quote or a backslash.
 *
 *  A value is given as YAML on one line, as it could stand between brackets: `0.25`, `"a: b"`,
 *  `{name: A9, at: [1, 2, 3]}`; no comment, alias or tag.
 *
 *  What an edit may touch. Setting touches the bytes of the value; a comment inside a block of
 * lines goes with the block. Inserting adds bytes and takes none away. Removing takes the lines
 * that the value stands on with the comment behind it, or between brackets the value with its comma
 * and the blanks beside it; a collection whose only value goes becomes `[]` or `{}`.
 *
 *  What is refused, with an error at the line of the value, the text then as it was: a path that
 *  leads nowhere; a value that is an alias further down in the path (what it names would change
 *  elsewhere too), or whose copies stand elsewhere; and any edit after which the text would not
 * read as the edited tree, which is looked at every time. An alias itself can be set and removed.
 *
 *  Source: none needed; the property is parse(edit(text)) = edit(parse(text)). */
#ifndef ANCHORWISE_EDIT_H
#define ANCHORWISE_EDIT_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/text.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** A text that is being edited. */
typedef struct aw_edit aw_edit;

/** Takes a copy of `length` bytes of YAML; it need not be a sound scenario. NULL, with errors, if
 * it cannot be read as YAML or without memory. */
aw_edit *aw_edit_create(const char text[], size_t length, aw_errors *errors);

void aw_edit_free(aw_edit *edit);

/** Replaces the value at a path. Cost of this and the next two: a pass over the text. */
bool aw_edit_set(aw_edit *edit, const char *path, const char *value, aw_errors *errors);

/** Inserts a value: before item i with `list[i]`, behind the last with `list[]`, or under a new key
 *  of a mapping, behind its last one. */
bool aw_edit_insert(aw_edit *edit, const char *path, const char *value, aw_errors *errors);

/** Sets a list under a key of the whole text, or under a key inside it, to items that stand on
 * lines of their own, comments between them: "# walls\n- {name: A}\n- {name: B}\n". Makes what is
 * missing. Between brackets, where lines cannot stand, the items follow each other without the
 * comments.
 *
 *  @param inner  the key inside `key`, or NULL. */
bool aw_edit_set_list(aw_edit *edit, const char *key, const char *inner, const char *lines,
                      aw_errors *errors);

/** Removes the value at a path, a key with its value. */
bool aw_edit_remove(aw_edit *edit, const char *path, aw_errors *errors);

/** Puts comment lines at the top of the text, behind a byte order mark, and takes away those there
 * that an earlier call put. Each begins with `mark`, such as "# note: "; `lines` have "\n" between
 * them, and may be "" to put none. What else ends a line for YAML becomes a blank. */
bool aw_edit_remark(aw_edit *edit, const char *mark, const char *lines, aw_errors *errors);

/** Whether there is a value at a path. */
bool aw_edit_has(const aw_edit *edit, const char *path);

/** The text as it now is, until the next edit. */
const char *aw_edit_text(const aw_edit *edit, size_t *length);

/** Adds text as one value: plain where YAML reads it back as that text, else in quotes. */
void aw_edit_quote(aw_text *out, const char *text);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
