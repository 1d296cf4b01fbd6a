/* Blocks, and the look-up of rows and defaults. */
#include "scenario/fields.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PLACED(type) sizeof(type), offsetof(type, place)

const aw_block aw_blocks[AW_BLOCKS] = {
    [AW_BLOCK_SCENARIO] = {"the scenario", "The scenario", sizeof(aw_scenario), SIZE_MAX},
    [AW_BLOCK_PLAN] = {"the plan", "`plan`", sizeof(aw_plan_place), SIZE_MAX},
    [AW_BLOCK_FLOOR] = {"the floor", "`floor`", sizeof(aw_floor), SIZE_MAX},
    [AW_BLOCK_PICTURE] = {"a picture", "`floor.picture`", PLACED(aw_floor_picture)},
    [AW_BLOCK_LEVEL] = {"a level", "`levels`, each", PLACED(aw_level)},
    [AW_BLOCK_SLAB] = {"a slab", "`slab` of a level", sizeof(aw_slab), SIZE_MAX},
    [AW_BLOCK_MATERIAL] = {"a material", "`materials`, each `NAME: {…}`", sizeof(aw_material),
                           SIZE_MAX},
    [AW_BLOCK_OBSTACLE] = {"an obstacle", "`obstacles`, each", PLACED(aw_obstacle)},
    [AW_BLOCK_WALL] = {"a wall", "`walls`, each", PLACED(aw_wall)},
    [AW_BLOCK_ANCHOR] = {"an anchor", "`anchors`, each", PLACED(aw_anchor)},
    [AW_BLOCK_TAG] = {"a tag", "`tags`, each", PLACED(aw_tag)},
    [AW_BLOCK_RANGING] = {"ranging", "`ranging`", sizeof(aw_ranging), SIZE_MAX},
    [AW_BLOCK_MEASURED] = {"a measurement", "`measured` of ranging", sizeof(aw_measured), SIZE_MAX},
    [AW_BLOCK_RADIO] = {"radio", "`radio`", PLACED(aw_radio)},
    [AW_BLOCK_RECEIVER] = {"a receiver", "`receiver` of radio", sizeof(aw_receiver), SIZE_MAX},
    [AW_BLOCK_ZONE] = {"a zone", "`zones`, each", PLACED(aw_zone)},
    [AW_BLOCK_NEED] = {"a need", "`need` of a zone", sizeof(aw_need), SIZE_MAX},
    [AW_BLOCK_CANDIDATES] = {"candidates", "`candidates`", sizeof(aw_candidate_rules), SIZE_MAX},
    [AW_BLOCK_POINT] = {"a point", "`points` of candidates, each", PLACED(aw_candidate_point)},
    [AW_BLOCK_LINE] = {"a line", "`lines` of candidates, each", PLACED(aw_candidate_line)},
    [AW_BLOCK_FORBIDDEN] = {"a forbidden area", "`forbidden` of candidates, each",
                            PLACED(aw_forbidden)},
    [AW_BLOCK_PRICES] = {"prices", "`prices`", sizeof(aw_prices), SIZE_MAX},
    [AW_BLOCK_MOUNT] = {"a mount", "`mounts` of prices, each", PLACED(aw_mount)},
    [AW_BLOCK_ITEM] = {"an item", "`items` of prices, each", PLACED(aw_item_price)},
    [AW_BLOCK_ASSUMPTIONS] = {"assumptions", "`assumptions`", sizeof(aw_assumptions), SIZE_MAX},
    [AW_BLOCK_STUDY] = {"the study", "`study`", sizeof(aw_study), SIZE_MAX},
};

_Static_assert(offsetof(aw_obstacle, name) == 0 && offsetof(aw_wall, name) == 0 &&
                   offsetof(aw_anchor, name) == 0 && offsetof(aw_tag, name) == 0 &&
                   offsetof(aw_mount, name) == 0 && offsetof(aw_item_price, name) == 0 &&
                   offsetof(aw_zone, name) == 0 && offsetof(aw_level, name) == 0 &&
                   offsetof(aw_candidate_point, name) == 0 &&
                   offsetof(aw_candidate_line, name) == 0 && offsetof(aw_forbidden, name) == 0,
               "a list item begins with its name");

const aw_field *aw_field_find(aw_block_id block, const char *key, size_t length)
{
    for (size_t i = 0; i < aw_fields_n; i++) {
        const aw_field *field = &aw_fields[i];
        if (field->block == block && strlen(field->key) == length &&
            memcmp(field->key, key, length) == 0)
            return field;
    }
    return NULL;
}

bool aw_field_is_length(const aw_field *field)
{
    return field->type == AW_FIELD_LENGTH || field->type == AW_FIELD_SPOT ||
           field->type == AW_FIELD_PINS || field->type == AW_FIELD_POLYGON ||
           field->type == AW_FIELD_PATH || (field->type == AW_FIELD_BETWEEN && field->unit == NULL);
}

aw_standard_text aw_field_standard(const aw_field *field)
{
    aw_standard_text standard;
    if (field->required || field->standard_is != NULL)
        snprintf(standard.text, sizeof standard.text, "%s",
                 field->required ? "required" : field->standard_is);
    else
        snprintf(standard.text, sizeof standard.text, "%g%s", field->standard,
                 aw_field_is_length(field) ? " m" : "");
    return standard;
}

static void reset(const aw_field *field, char *target)
{
    switch (field->type) {
    case AW_FIELD_LENGTH:
    case AW_FIELD_NUMBER:
        *(double *)(void *)target = field->standard;
        break;
    case AW_FIELD_COUNT:
        *(uint32_t *)(void *)target = (uint32_t)field->standard;
        break;
    case AW_FIELD_SEED:
        *(uint64_t *)(void *)target = (uint64_t)field->standard;
        break;
    case AW_FIELD_CHOICE:
        memcpy(target, &(int){(int)field->standard}, sizeof(int));
        break;
    case AW_FIELD_FLAG:
        *(bool *)target = field->standard != 0;
        break;
    case AW_FIELD_SPOT:
        for (int k = 0; k < 3; k++)
            ((double *)(void *)target)[k] = (double)NAN;
        break;
    case AW_FIELD_BETWEEN:
        *(aw_between *)(void *)target = (aw_between){(double)NAN, (double)NAN};
        break;
    case AW_FIELD_BLOCK:
        aw_fields_reset(field->inner, target);
        break;
    default:
        break;
    }
}

void aw_fields_reset(aw_block_id block, void *item)
{
    for (size_t i = 0; i < aw_fields_n; i++)
        if (aw_fields[i].block == block)
            reset(&aw_fields[i], (char *)item + aw_fields[i].offset);
}
