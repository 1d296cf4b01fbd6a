/* What a layer holds, by its name: codes of the US National CAD Standard and of ISO 13567, and
 * words in English, German, French, Spanish and Polish. */
#ifndef AW_PLAN_NAMES_H
#define AW_PLAN_NAMES_H

#include <stdbool.h>
#include <stddef.h>

/* In the order in which they are looked for. */
typedef enum aw_thing {
    AW_THING_NOTHING, /* dimensions, texts, furniture: to be left out */
    AW_THING_BEAM,
    AW_THING_DOOR,
    AW_THING_WINDOW,
    AW_THING_RACK,
    AW_THING_CRANE,
    AW_THING_COLUMN,
    AW_THING_MACHINE,
    AW_THING_WALL,
    AW_THING_OUTLINE,
    AW_THING_ZONE,
    AW_THINGS,
    AW_THING_UNKNOWN = AW_THINGS
} aw_thing;

extern const char *const aw_thing_names[AW_THINGS + 1];

/* What a name says, and the word or code that says it. AW_THING_UNKNOWN also without memory. */
aw_thing aw_name_thing(const char *name, char why[64]);

#endif
