#include "plan/made.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "plan/grow.h"
#include "plan/making.h"

/* Coordinates beyond this are those of a national grid, m: the origin is moved. */
#define FAR_FROM_ORIGIN 10000.0
/* A turn is offered from this share of the walls' length on, and from so many degrees. */
#define TURN_SHARE 0.6
#define LEAST_TURN 0.05

/* --- sources --- */

/* Each piece's source: a layer's number, or behind them a block's; of no rule its layer. */
static bool name_sources(aw_making *m, size_t of_piece[])
{
    const aw_plan *p = m->plan;
    size_t room = p->n_layers;
    m->sources = calloc(room + 1, sizeof *m->sources);
    if (m->sources == NULL)
        return false;
    for (size_t i = 0; i < p->n_layers; i++)
        m->sources[i] = (aw_source){p->layers[i].name, false,
                                    aw_rules_of_layer(m->rules, p->layers[i].name), NULL, 0};
    m->n_sources = p->n_layers;
    size_t *of_insert = calloc(p->n_inserts + 1, sizeof *of_insert);
    bool fine = of_insert != NULL;
    for (size_t i = 0; fine && i < p->n_inserts; i++) {
        const aw_rule *rule = aw_rules_of_block(m->rules, p->inserts[i].block);
        size_t k = p->n_layers;
        of_insert[i] = AW_NO_INSERT;
        if (rule == NULL)
            continue;
        while (k < m->n_sources && strcmp(m->sources[k].name, p->inserts[i].block) != 0)
            k++;
        if (k == m->n_sources && (fine = aw_grow(&m->sources, k, &room, sizeof *m->sources)))
            m->sources[m->n_sources++] = (aw_source){p->inserts[i].block, true, rule, NULL, 0};
        of_insert[i] = k;
    }
    for (size_t i = 0; fine && i < p->n_pieces; i++) {
        const size_t insert = p->pieces[i].insert;
        of_piece[i] = insert != AW_NO_INSERT && of_insert[insert] != AW_NO_INSERT
                          ? of_insert[insert]
                          : p->pieces[i].layer;
    }
    free(of_insert);
    return fine;
}

/* Gives each source its pieces that count. */
static bool share_out(aw_making *m)
{
    const aw_plan *p = m->plan;
    size_t *of_piece = calloc(p->n_pieces + 1, sizeof *of_piece);
    size_t *list = aw_arena_take_array(m->made->memory, p->n_pieces + 1, sizeof *list), from = 0;
    bool fine = of_piece != NULL && list != NULL && name_sources(m, of_piece);
    for (size_t i = 0; fine && i < p->n_pieces; i++)
        m->sources[of_piece[i]].n += m->counts[i];
    for (size_t s = 0; fine && s < m->n_sources; s++) {
        m->sources[s].pieces = list + from;
        from += m->sources[s].n;
        m->sources[s].n = 0;
    }
    for (size_t i = 0; fine && i < p->n_pieces; i++)
        if (m->counts[i]) {
            aw_source *s = &m->sources[of_piece[i]];
            list[(size_t)(s->pieces - list) + s->n++] = i;
        }
    free(of_piece);
    return fine;
}

/* --- where it lies --- */

typedef struct extent {
    aw_strokes lines;
    aw_point low;
    double farthest;
} extent;

static bool has_role(const aw_source *s, aw_role role)
{
    return s->rule != NULL && s->rule->role == role;
}

/* The lines of sources of a role, of all sources if it is none, in metres before any turn. */
static bool measure(aw_making *m, aw_role role, extent *e)
{
    const aw_plan *p = m->plan;
    bool fine = true;
    for (size_t s = 0; fine && s < m->n_sources; s++) {
        if (role != AW_ROLE_NONE && !has_role(&m->sources[s], role))
            continue;
        for (size_t i = 0; fine && i < m->sources[s].n; i++) {
            const aw_piece *piece = &p->pieces[m->sources[s].pieces[i]];
            aw_point before = {0, 0};
            for (size_t k = 0; fine && k < piece->n; k++) {
                const aw_point at = aw_frame_site(&m->made->frame, p->at[piece->first + k]);
                e->low = (aw_point){fmin(e->low.x, at.x), fmin(e->low.y, at.y)};
                e->farthest = fmax(e->farthest, fmax(fabs(at.x), fabs(at.y)));
                if (k > 0)
                    fine = aw_strokes_add(&e->lines, before, at, 0);
                before = at;
            }
        }
    }
    return fine;
}

static void turn_frame(aw_frame *f, double degrees)
{
    f->turn = degrees;
    f->cosine = cos(degrees * M_PI / 180);
    f->sine = sin(degrees * M_PI / 180);
}

static bool place_frame(aw_making *m)
{
    static const aw_role roles[] = {AW_ROLE_WALL, AW_ROLE_OUTLINE, AW_ROLE_OBSTACLE, AW_ROLE_NONE};
    aw_made *made = m->made;
    const aw_rules *r = m->rules;
    extent e = {.low = {INFINITY, INFINITY}};
    bool fine = true;
    made->frame = (aw_frame){.metres = aw_plan_unit_metres[made->unit],
                             .base = {m->plan->base[0], m->plan->base[1]}};
    turn_frame(&made->frame, 0);
    for (size_t k = 0; fine && e.lines.n == 0 && k < sizeof roles / sizeof *roles; k++)
        fine = measure(m, roles[k], &e);
    made->lies_at = aw_main_direction(&e.lines, &made->lies_share);
    if (r->has_origin)
        memcpy(made->frame.origin, r->origin, sizeof made->frame.origin);
    else if (e.farthest > FAR_FROM_ORIGIN && isfinite(e.low.x)) {
        made->frame.origin[0] = floor(e.low.x);
        made->frame.origin[1] = floor(e.low.y);
    }
    turn_frame(&made->frame, r->turn_auto      ? round(made->lies_at * 1e6) / 1e6
                             : !isnan(r->turn) ? r->turn
                                               : 0);
    m->lies = made->lies_at - made->frame.turn;
    free(e.lines.list);
    return fine;
}

/* --- notes --- */

static void note(aw_made *made, const char *text)
{
    aw_errors_add(&made->notes, AW_WARNING, 0, 0, "%s", text);
}

static void note_frame(aw_making *m, const aw_unit_verdict *v)
{
    const aw_made *made = m->made;
    char text[300];
    if (v->unit != made->unit) {
        snprintf(text, sizeof text, "the unit given is %s; the drawing's witnesses say %s",
                 aw_plan_unit_names[made->unit],
                 v->unit == AW_PLAN_UNSURE ? "unsure" : aw_plan_unit_names[v->unit]);
        note(m->made, text);
    }
    if (made->frame.origin[0] != 0 || made->frame.origin[1] != 0) {
        snprintf(text, sizeof text,
                 "the origin is moved: 0, 0 lies at %.10g m, %.10g m of the plan",
                 made->frame.origin[0], made->frame.origin[1]);
        note(m->made, text);
    }
    if (made->lies_share >= TURN_SHARE && fabs(m->lies) > LEAST_TURN) {
        snprintf(text, sizeof text,
                 "%.0f %% of the walls' length lies %.2f degrees off the axes: --turn auto lays "
                 "them along",
                 100 * made->lies_share, m->lies);
        note(m->made, text);
    }
}

static size_t count_rule(const aw_making *m, const aw_rule *rule)
{
    size_t n = 0;
    for (size_t s = 0; s < m->n_sources; s++)
        n += m->sources[s].rule == rule;
    return n;
}

/* Layers that no rule fits, and rules that fit nothing. */
static bool note_rules(aw_making *m)
{
    char text[300];
    bool fine = true;
    for (size_t s = 0; fine && s < m->n_sources; s++)
        if (m->sources[s].rule == NULL || m->sources[s].rule->role == AW_ROLE_NONE)
            fine = aw_making_leave(m, m->sources[s].name, "pieces that no rule fits",
                                   m->sources[s].n, NAN);
        else if (m->sources[s].rule->role == AW_ROLE_IGNORE)
            fine = aw_making_leave(m, m->sources[s].name, "pieces ignored by a rule",
                                   m->sources[s].n, NAN);
    for (size_t i = 0; i < m->rules->n; i++) {
        const aw_rule *rule = &m->rules->list[i];
        if (rule->role == AW_ROLE_IGNORE || *rule->why != '\0' || count_rule(m, rule) > 0)
            continue;
        snprintf(text, sizeof text, "the rule \"%.100s\" fits no %s", rule->pattern,
                 rule->of_blocks ? "block" : "layer");
        note(m->made, text);
    }
    return fine;
}

static bool leave_pieces(aw_making *m, size_t n_far)
{
    const aw_plan *p = m->plan;
    size_t hidden = 0;
    for (size_t i = 0; i < p->n_pieces; i++)
        hidden += p->pieces[i].hidden && !m->rules->hidden;
    return aw_making_leave(m, "", "pieces frozen, off or invisible", hidden, NAN) &&
           aw_making_leave(m, "", "pieces far from all others", n_far, NAN) &&
           aw_making_leave(m, "", "pieces on sheets (paper space)", p->n_paper, NAN) &&
           aw_making_leave(m, "", "pieces without a geometry", p->n_empty, NAN) &&
           aw_making_leave(m, "", "entities that GDAL could not read", p->n_dropped, NAN);
}

/* --- the parts --- */

static bool make_source(aw_making *m, const aw_source *s)
{
    m->n_numbered = 0;
    switch (s->rule != NULL ? s->rule->role : AW_ROLE_NONE) {
    case AW_ROLE_WALL:
        return aw_make_walls(m, s);
    case AW_ROLE_OBSTACLE:
        return aw_make_solids(m, s);
    case AW_ROLE_ZONE:
    case AW_ROLE_LEVEL:
    case AW_ROLE_FORBIDDEN:
        return aw_make_rings(m, s);
    case AW_ROLE_CANDIDATES:
        return aw_make_candidates(m, s);
    case AW_ROLE_ANCHOR:
        return aw_make_anchors(m, s);
    default:
        return true;
    }
}

static bool make_all(aw_making *m, const aw_unit_verdict *verdict)
{
    size_t n_far = 0;
    m->counts =
        aw_frame_near(m->plan, aw_plan_unit_metres[m->made->unit], m->rules->hidden, &n_far);
    bool fine = m->counts != NULL && share_out(m) && place_frame(m);
    if (!fine)
        return false;
    note_frame(m, verdict);
    aw_watch_stage(m->run->watch, m->n_sources, "making walls and obstacles");
    for (size_t s = 0; fine && s < m->n_sources && !aw_run_stopped(m->run); s++)
        fine = make_source(m, &m->sources[s]);
    return fine && !aw_run_stopped(m->run) && aw_make_outline(m) && note_rules(m) &&
           leave_pieces(m, n_far);
}

bool aw_made_make(aw_made *made, const aw_plan *plan, const aw_rules *rules,
                  const aw_unit_verdict *verdict, const aw_run *run)
{
    aw_making m = {.made = made, .plan = plan, .rules = rules, .run = run};
    *made = (aw_made){.unit = rules->unit != AW_PLAN_UNSURE ? rules->unit : verdict->unit,
                      .ceiling = (double)NAN,
                      .memory = aw_arena_create()};
    if (made->unit == AW_PLAN_UNSURE) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0,
                      "the unit is unsure: 'import' with the plan alone shows why; say it with "
                      "--unit mm, cm, m, in or ft");
        return false;
    }
    const bool fine = made->memory != NULL && make_all(&m, verdict);
    if (!fine && run->errors->n_errors == 0 && !aw_run_stopped(run))
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the parts of the plan");
    free(m.counts);
    free(m.sources);
    free(m.walls.list);
    return fine;
}

void aw_made_free(aw_made *made)
{
    free(made->items);
    free(made->left);
    aw_errors_free(&made->notes);
    aw_arena_free(made->memory);
    *made = (aw_made){0};
}
