/* What of a plan is shown: each reading goes to the desk with the scene that it changes. */
#include "live/shown.h"

#include <stdlib.h>
#include <string.h>

#include "live/answer.h"

size_t aw_shown_tag(const aw_floor_plan *p, const aw_reading *reading)
{
    for (size_t i = 0; i < reading->of.scenario.n_tags; i++)
        if (strcmp(reading->of.scenario.tags[i].name, p->tag) == 0)
            return i;
    return 0;
}

static char *take_scene(const aw_floor_plan *p, size_t tag)
{
    aw_text text = {0};
    aw_scene_json(&p->session, tag, &text);
    if (!text.failed)
        return text.at;
    aw_text_free(&text);
    return NULL;
}

void aw_plan_show(aw_floor_plan *p, aw_look *look)
{
    aw_session *s = &p->session;
    look->tag = aw_shown_tag(p, look->reading);
    look->rev = look->held ? ++s->rev : s->rev;
    look->scene = look->held ? NULL : take_scene(p, look->tag);
    look->step = s->steps.done;
    if (look->was != NULL)
        look->words = strdup(s->steps.list[s->steps.done - 1].words);
    aw_desk_show(p->desk, look);
}

void aw_plan_show_step(aw_floor_plan *p, aw_reply *reply, aw_reading *was)
{
    aw_look look = {.reading = aw_reading_hold(p->session.reading),
                    .reply = reply,
                    .moved = AW_NONE_MOVES,
                    .was = aw_reading_hold(was)};
    look.base = aw_reading_hold(look.reading);
    aw_plan_show(p, &look);
}
