/* What a scene lists, and in what state the file is. */
#include <math.h>

#include "anchorwise.h"
#include "live/journal.h"
#include "live/scene_told.h"
#include "live/source.h"

#define ITEMS(name, list, count)                                                                   \
    AW_GETTER(name)                                                                                \
    {                                                                                              \
        const aw_scenario *all = aw_scenario_of(s);                                                \
        if (i >= all->count)                                                                       \
            return false;                                                                          \
        v->object = (aw_subject){&all->list[i], s->with, i, 0};                                    \
        return true;                                                                               \
    }
ITEMS(get_level, levels, n_levels)
ITEMS(get_wall, walls, n_walls)
ITEMS(get_zone, zones, n_zones)
ITEMS(get_tag, tags, n_tags)
ITEMS(get_line, candidates.lines, candidates.n_lines)
ITEMS(get_forbidden, candidates.forbidden, candidates.n_forbidden)

/* Those that the file names; what is made of levels is drawn as levels. */
AW_GETTER(get_obstacle)
{
    const aw_scenario *all = aw_scenario_of(s);
    if (i >= all->n_obstacles || all->obstacles[i].is_level)
        return false;
    v->object = (aw_subject){&all->obstacles[i], s->with, i, 0};
    return true;
}

AW_GETTER(get_anchor)
{
    const aw_scenario *all = aw_scenario_of(s);
    if (aw_told_of(s)->session->reading->of.bare || i >= all->n_anchors)
        return false;
    v->object = (aw_subject){&all->anchors[i], s->with, i, 0};
    return true;
}

AW_GETTER(get_candidate)
{
    const aw_candidate_rules *rules = &aw_scenario_of(s)->candidates;
    if (i >= rules->n_points)
        return false;
    v->numbers = rules->points[i].at;
    v->n = 3;
    return true;
}

AW_GETTER(get_material)
{
    if (i >= aw_scenario_of(s)->n_materials)
        return false;
    v->text = aw_scenario_of(s)->materials[i].name;
    return true;
}

/* --- the floor --- */

AW_GETTER(get_outline)
{
    const aw_polygon *o = &aw_scenario_of(s)->floor.outline;
    return aw_get_point(o->at, o->n, i, v);
}

AW_GETTER(get_picture)
{
    const aw_floor_picture *picture = &aw_scenario_of(s)->floor.picture;
    v->object = (aw_subject){picture, s->with, 0, 0};
    return picture->file != NULL;
}

/* 0: its lower corner, 1: the upper one. */
AW_GETTER(get_corner)
{
    const aw_polygon *o = &aw_scenario_of(s)->floor.outline;
    return o->n > 0 && aw_get_point(i == 0 ? &o->low : &o->high, 1, 0, v);
}

AW_GETTER(get_ceiling)
{
    v->number = aw_scenario_of(s)->floor.ceiling;
    return v->number > 0;
}

AW_GETTER(get_shown_tag)
{
    const aw_scenario *all = aw_scenario_of(s);
    v->text = all->n_tags > 0 ? all->tags[aw_told_of(s)->tag].name : NULL;
    return v->text != NULL;
}

AW_GETTER(get_shown_height)
{
    const aw_scenario *all = aw_scenario_of(s);
    v->number = all->n_tags > 0 ? all->tags[aw_told_of(s)->tag].height : (double)NAN;
    return !isnan(v->number);
}

enum { DRAWS, SEED };

AW_GETTER(get_study)
{
    const aw_study *study = &aw_scenario_of(s)->study;
    v->count = i == DRAWS ? study->draws : study->seed;
    return study->draws > 0;
}

static const aw_member grid_members[] = {
    AW_NUMBER("x0", aw_grid, x0, "m", "of the box, its lower left corner"),
    AW_NUMBER("y0", aw_grid, y0, "m", ""),
    AW_NUMBER("step", aw_grid, step, "m", "of the cells"),
    AW_COUNT("nx", aw_grid, nx, "", "cells in a row"),
    AW_COUNT("ny", aw_grid, ny, "", "rows"),
};
static const aw_shape grid_shape = AW_SHAPE("live_grid", "Where the cells lie", grid_members);

/* --- the file --- */

static const aw_session *session_of(const aw_subject *s)
{
    return aw_told_of(s)->session;
}

AW_GETTER(get_checksum)
{
    v->text = session_of(s)->checksum;
    return true;
}

AW_GETTER(get_kept)
{
    v->truth = aw_journal_keeps(session_of(s)->journal);
    return true;
}

AW_GETTER(get_why)
{
    v->text = session_of(s)->read_only ? "another program has it open" : NULL;
    return v->text != NULL;
}

static const aw_member file_members[] = {
    AW_TEXT("name", aw_session, name, "its last part"),
    AW_TEXT("path", aw_session, path, "as it was given"),
    AW_GOT("checksum", TEXT, get_checksum, "", "of its bytes as they were read or saved last"),
    AW_TRUTH("exists", aw_session, exists, "on disk"),
    AW_TRUTH("read_only", aw_session, read_only, "nothing can be changed"),
    AW_GOT("kept", TRUTH, get_kept, "", "steps that are not saved outlast the program"),
    AW_MAY("why", TEXT, get_why, 0, NULL, "it cannot"),
};
const aw_shape aw_live_file_shape = AW_SHAPE("live_file", "The scenario's file", file_members);

AW_GETTER(get_step)
{
    v->count = s->i + 1;
    return true;
}

AW_GETTER(get_step_words)
{
    const aw_step *step = s->of;
    aw_text_add(&v->room, step->words);
    if (step->effect != NULL)
        aw_text_format(&v->room, " – %s", step->effect);
    v->text = v->room.at;
    return true;
}

static const aw_member step_members[] = {
    AW_GOT("step", COUNT, get_step, "", "from 1"),
    AW_GOT("words", TEXT, get_step_words, "", "what was done, and what it did"),
};
static const aw_shape step_shape = AW_SHAPE("live_step", "A step", step_members);

AW_GETTER(get_file)
{
    v->object = (aw_subject){session_of(s), s->with, 0, 0};
    return true;
}

AW_GETTER(get_logged)
{
    if (i >= session_of(s)->steps.n)
        return false;
    v->object = (aw_subject){&session_of(s)->steps.list[i], s->with, i, 0};
    return true;
}

enum { DONE, FORWARD, UNSAVED, RECOVERED };

AW_GETTER(get_count)
{
    const aw_session *session = session_of(s);
    v->count = i == DONE      ? session->steps.done
               : i == FORWARD ? session->steps.n - session->steps.done
               : i == UNSAVED ? aw_session_unsaved(session)
                              : session->waiting.n;
    return i != RECOVERED || v->count > 0;
}

AW_GETTER(get_title)
{
    v->text = aw_scenario_of(s)->title;
    return v->text != NULL;
}

static const char *const units[] = {"m", "ft", NULL};

AW_GETTER(get_unit)
{
    v->text = units[aw_scenario_of(s)->units == AW_FEET];
    return true;
}

AW_GETTER(get_grid)
{
    v->object = (aw_subject){&aw_told_of(s)->grid, s->with, 0, 0};
    return aw_told_of(s)->grid.nx > 0;
}

/* --- mistakes --- */

AW_GETTER(get_mistake_line)
{
    const aw_complaint *c = s->of;
    v->count = i == 0 ? (uint64_t)c->line : (uint64_t)c->column;
    return c->line > 0;
}

AW_GETTER(get_mistake_text)
{
    v->text = ((const aw_complaint *)s->of)->text;
    return true;
}

AW_GETTER(get_warning)
{
    v->truth = ((const aw_complaint *)s->of)->severity == AW_WARNING;
    return v->truth == 1;
}

/* Of the line that the told list of places has in the mistake's turn. */
AW_GETTER(get_mistake_source)
{
    const aw_source_line *lines = aw_told_of(s)->lines;
    return lines != NULL && aw_get_source(&lines[s->i], i, v);
}

AW_GETTER(get_mistake_item)
{
    const aw_complaint *c = s->of;
    if (c->line > 0)
        aw_item_at(&session_of(s)->text, c->line, c->column, &v->room);
    v->text = v->room.at;
    return v->room.n > 0;
}

static const aw_member mistake_members[] = {
    AW_GOT("text", TEXT, get_mistake_text, "", "what is wrong"),
    AW_MAY("line", COUNT, get_mistake_line, 0, NULL, "of the file, from 1"),
    AW_MAY("column", COUNT, get_mistake_line, 1, NULL, "of the file, from 1"),
    AW_MAY("item", TEXT, get_mistake_item, 0, NULL, "what it stands in"),
    AW_MAY("source", LIST, get_mistake_source, 0, &aw_live_source_shape,
           "the line, and the one before"),
    AW_MAY("warning", TRUTH, get_warning, 0, NULL, "it can be worked with all the same"),
};
static const aw_shape mistake_shape =
    AW_SHAPE("live_complaint", "What is wrong with the file", mistake_members);

AW_GETTER(get_mistake)
{
    const aw_errors *e = &session_of(s)->reading->errors;
    if (i >= e->n)
        return false;
    v->object = (aw_subject){&e->list[i], s->with, i, 0};
    return true;
}

/* --- all of it --- */

AW_GETTER(get_rev)
{
    v->count = session_of(s)->rev;
    return true;
}

AW_GETTER(get_program)
{
    v->text = "anchorwise " AW_VERSION;
    return true;
}

static const aw_member members[] = {
    AW_GOT("rev", COUNT, get_rev, "", "counts what was changed"),
    AW_GOT("program", TEXT, get_program, "", "and its version"),
    AW_OBJECT("file", get_file, &aw_live_file_shape, "the scenario's file"),
    AW_MAY("title", TEXT, get_title, 0, NULL, "of the scenario"),
    AW_WORD("unit", get_unit, units, "for people; all lengths here are metres"),
    AW_WHICH("steps", COUNT, get_count, DONE, "", "done"),
    AW_WHICH("forward", COUNT, get_count, FORWARD, "", "that can be gone forward to"),
    AW_WHICH("unsaved", COUNT, get_count, UNSAVED, "", "that are not in the file"),
    AW_MAY("recovered", COUNT, get_count, RECOVERED, NULL, "kept from before, and not put on"),
    AW_LIST("log", get_logged, &step_shape, "every step in words"),
    AW_MAY("low", NUMBERS, get_corner, 0, NULL, "lower left corner of the floor"),
    AW_MAY("high", NUMBERS, get_corner, 1, NULL, "upper right corner"),
    AW_MAY("ceiling", NUMBER, get_ceiling, 0, NULL, "over the finished floor"),
    AW_GOT("outline", ROWS, get_outline, "m", "corners of the floor"),
    AW_MAY("picture", OBJECT, get_picture, 0, &aw_live_picture_shape, "under it"),
    AW_LIST("levels", get_level, &aw_live_level_shape, "floors that lie lower or higher"),
    AW_LIST("walls", get_wall, &aw_live_wall_shape, "walls"),
    AW_LIST("obstacles", get_obstacle, &aw_live_obstacle_shape, "obstacles"),
    AW_LIST("zones", get_zone, &aw_live_zone_shape, "zones"),
    AW_LIST("anchors", get_anchor, &aw_live_anchor_shape, "anchors"),
    AW_GOT("candidates", ROWS, get_candidate, "m", "places that could carry an anchor"),
    AW_LIST("mounting", get_line, &aw_live_line_shape, "lines that could"),
    AW_LIST("forbidden", get_forbidden, &aw_live_forbidden_shape, "where none may be"),
    AW_LIST("tags", get_tag, &aw_live_tag_shape, "kinds of tag"),
    AW_MAY("tag", TEXT, get_shown_tag, 0, NULL, "the one that is shown"),
    AW_MAY("tag_height", NUMBER, get_shown_height, 0, NULL, "of it, over the floor"),
    AW_MAY("draws", COUNT, get_study, DRAWS, NULL, "of each cell, when the figures stand"),
    AW_MAY("seed", COUNT, get_study, SEED, NULL, "of the study"),
    AW_MAY("grid", OBJECT, get_grid, 0, &grid_shape, "where the cells of the figures lie"),
    AW_GOT("materials", TEXTS, get_material, "", "that there are"),
    AW_LIST("mistakes", get_mistake, &mistake_shape, "and warnings"),
};
static const aw_shape scene_shape = AW_SHAPE("live_scene", "All that is drawn", members);

void aw_scene_json(const aw_session *session, size_t tag, aw_text *out)
{
    const aw_errors *found = &session->reading->errors;
    aw_source_line *lines = calloc(found->n + 1, sizeof *lines);
    aw_scene_told all = {.session = session, .tag = tag, .lines = lines};
    aw_errors errors = {0};
    const aw_reading *reading = session->reading;
    for (size_t i = 0; lines != NULL && i < found->n; i++)
        lines[i] = (aw_source_line){&session->text, found->list[i].line};
    if (reading->sound && !aw_grid_lay(&all.grid, &reading->of.scenario, tag, &errors))
        all.grid = (aw_grid){0};
    aw_document_json(&scene_shape, &(aw_subject){.of = &all, .with = &all}, out);
    out->failed |= lines == NULL || aw_errors_out_of_memory(&errors);
    aw_grid_free(&all.grid);
    aw_errors_free(&errors);
    free(lines);
}
