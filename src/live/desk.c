/* Under the lock stand only pointers; work goes on outside it, and a flag of its watch ends it. */
#include "live/desk.h"

#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <time.h>

#include "live/answer.h"

#define MOST_TASKS 8
/* How often it looks whether it has been told to stop, ns. */
#define GLANCE 100000000L

typedef struct task {
    aw_desk_task *run;
    void *context;
    bool patient;
} task;

/* Figures of a scenario, for what the next step did to them. */
typedef struct standing {
    aw_reading *reading;
    aw_outlook figures;
} standing;

struct aw_desk {
    pthread_mutex_t lock;
    pthread_cond_t changed;
    unsigned threads;
    aw_effect_sink sink;
    aw_watch watch; /* of what is at work */
    aw_look next;   /* not begun; its reading NULL: none */
    task tasks[MOST_TASKS];
    size_t n_tasks;
    bool at_task, patient, at_first, ended; /* at_first: a look's first figures are made */
    /* The computing thread's own: */
    aw_look now;
    int stage;          /* that comes next */
    standing before[2]; /* by estimate, and by all draws */
    aw_text effect;     /* of the step that is looked at, as far as it is known */
    aw_linear linear;
};

/* Draws of each stage: none, few, the study's. */
enum { ESTIMATE, FEW, MORE, ALL, STAGES };
static const uint32_t stage_draws[STAGES] = {0, AW_FEW, AW_FEWER_THAN_ALL, 0};

aw_desk *aw_desk_create(unsigned threads, aw_effect_sink sink)
{
    aw_desk *d = calloc(1, sizeof *d);
    if (d == NULL)
        return NULL;
    pthread_mutex_init(&d->lock, NULL);
    pthread_cond_init(&d->changed, NULL);
    d->threads = threads;
    d->sink = sink;
    return d;
}

/* Its reply ends with it. */
static void drop_look(aw_look *look)
{
    if (look->reply != NULL) {
        aw_reply_end(look->reply);
        aw_reply_let_go(look->reply);
    }
    aw_reading_let_go(look->reading);
    aw_reading_let_go(look->base);
    aw_reading_let_go(look->was);
    free(look->scene);
    free(look->words);
    *look = (aw_look){0};
}

static void forget_standing(standing *s)
{
    aw_outlook_free(&s->figures);
    aw_reading_let_go(s->reading);
    *s = (standing){0};
}

static void work_on_task(aw_desk *d, task t)
{
    aw_errors errors = {0};
    t.run(t.context, &(aw_run){d->threads, &d->watch, &errors});
    aw_errors_free(&errors);
    pthread_mutex_lock(&d->lock);
    d->at_task = false;
    pthread_mutex_unlock(&d->lock);
}

void aw_desk_free(aw_desk *d)
{
    if (d == NULL)
        return;
    atomic_store(&d->watch.stop, 1);
    for (size_t i = 0; i < d->n_tasks; i++)
        work_on_task(d, d->tasks[i]);
    drop_look(&d->next);
    drop_look(&d->now);
    forget_standing(&d->before[0]);
    forget_standing(&d->before[1]);
    aw_text_free(&d->effect);
    aw_linear_free(&d->linear);
    pthread_cond_destroy(&d->changed);
    pthread_mutex_destroy(&d->lock);
    free(d);
}

/* What no answer has told yet, the next one has to. */
static void hand_on_scene(aw_look *from, aw_look *to)
{
    if (to->scene != NULL)
        return;
    to->scene = from->scene;
    from->scene = NULL;
}

/* --- what others ask --- */

void aw_desk_show(aw_desk *d, aw_look *look)
{
    pthread_mutex_lock(&d->lock);
    aw_look overtaken = d->next;
    d->next = *look;
    hand_on_scene(&overtaken, &d->next);
    if (!(d->at_task && d->patient) && !d->at_first)
        atomic_store(&d->watch.stop, 1);
    pthread_cond_signal(&d->changed);
    pthread_mutex_unlock(&d->lock);
    drop_look(&overtaken);
    *look = (aw_look){0};
}

bool aw_desk_ask(aw_desk *d, aw_desk_task *run, void *context, bool patient)
{
    pthread_mutex_lock(&d->lock);
    const bool taken = d->n_tasks < MOST_TASKS;
    if (taken)
        d->tasks[d->n_tasks++] = (task){run, context, patient};
    if (taken && !d->at_task && !d->at_first)
        atomic_store(&d->watch.stop, 1);
    pthread_cond_signal(&d->changed);
    pthread_mutex_unlock(&d->lock);
    return taken;
}

void aw_desk_stop_task(aw_desk *d)
{
    pthread_mutex_lock(&d->lock);
    if (d->at_task)
        atomic_store(&d->watch.stop, 1);
    pthread_mutex_unlock(&d->lock);
}

void aw_desk_make_way(aw_desk *d)
{
    pthread_mutex_lock(&d->lock);
    d->patient = false;
    pthread_mutex_unlock(&d->lock);
}

bool aw_desk_is_busy(aw_desk *d)
{
    pthread_mutex_lock(&d->lock);
    bool busy = d->at_task && d->patient;
    for (size_t i = 0; i < d->n_tasks; i++)
        busy = busy || d->tasks[i].patient;
    pthread_mutex_unlock(&d->lock);
    return busy;
}

void aw_desk_end(aw_desk *d)
{
    pthread_mutex_lock(&d->lock);
    d->ended = true;
    atomic_store(&d->watch.stop, 1);
    pthread_cond_signal(&d->changed);
    pthread_mutex_unlock(&d->lock);
}

/* --- a look --- */

/* Figures of one kind that the next step is measured against: NULL for those on the way. */
static standing *kind_of(aw_desk *d, int stage)
{
    return stage == ESTIMATE ? &d->before[0] : stage == ALL ? &d->before[1] : NULL;
}

/* The step in words, with its effect by figures of the same kind. */
static void word_step(aw_desk *d, const aw_outlook *f, int stage, aw_text *out)
{
    const aw_look *l = &d->now;
    const standing *before = kind_of(d, stage);
    if (l->words == NULL)
        return;
    if (before != NULL && before->reading != NULL && before->reading == l->was) {
        d->effect.n = 0;
        aw_effect_words(&before->figures, &before->reading->of.scenario, f,
                        &l->reading->of.scenario, &d->effect);
        if (!d->effect.failed)
            d->sink.tell(d->sink.context, l->step, d->effect.at);
    }
    aw_text_add(out, l->words);
    if (d->effect.n > 0 && !d->effect.failed)
        aw_text_format(out, " – %s", d->effect.at);
}

/* Takes figures over that stand for what is kept, and not for what is held. */
static void keep_standing(aw_desk *d, int stage, aw_outlook *f)
{
    standing *before = kind_of(d, stage);
    if (before == NULL || d->now.held)
        return;
    forget_standing(before);
    *before = (standing){aw_reading_hold(d->now.reading), *f};
    *f = (aw_outlook){0};
}

static bool put_stage(aw_desk *d, const aw_outlook *f, int stage)
{
    static const char *const names[STAGES] = {"estimate", "draws", "draws", "stands"};
    aw_look *l = &d->now;
    aw_text json = {0}, log = {0};
    if (f != NULL)
        word_step(d, f, stage, &log);
    const aw_answer answer = {.rev = l->rev,
                              .stage = names[f != NULL ? stage : ALL],
                              .scenario = &l->reading->of.scenario,
                              .tag = l->tag,
                              .figures = f,
                              .log = log.failed ? NULL : log.at,
                              .scene = l->scene};
    aw_answer_json(&answer, &json);
    const uint32_t draws = f != NULL ? f->draws : 0;
    const aw_frame told = {l->rev, AW_FRAME_JSON, stage == ESTIMATE, draws, json.at, json.n};
    bool done = !json.failed && aw_reply_put(l->reply, &told);
    if (done && f != NULL) {
        const aw_frame grid = {l->rev, AW_FRAME_GRID, stage == ESTIMATE,
                               draws,  f->p95,        f->grid.nx * f->grid.ny * sizeof *f->p95};
        done = aw_reply_put(l->reply, &grid);
    }
    aw_text_free(&json);
    aw_text_free(&log);
    free(l->scene);
    l->scene = NULL;
    return done;
}

static void put_error(aw_look *l, const aw_errors *errors)
{
    aw_text json = {0};
    aw_mistake_json(errors, NULL, NULL, &json);
    aw_reply_put(l->reply,
                 &(aw_frame){l->rev, AW_FRAME_ERROR, false, 0, json.at, json.failed ? 0 : json.n});
    aw_text_free(&json);
}

static void end_look(aw_desk *d)
{
    aw_reply_put(d->now.reply, &(aw_frame){d->now.rev, AW_FRAME_STANDS, false, 0, "", 0});
    drop_look(&d->now);
}

/* Stages that the study's own draws make needless are passed over. */
static int next_stage(const aw_scenario *s, int stage)
{
    do
        stage++;
    while (stage < ALL && stage_draws[stage] >= s->study.draws);
    return stage;
}

static void work_on_look(aw_desk *d)
{
    aw_look *l = &d->now;
    const aw_scenario *s = &l->reading->of.scenario;
    const int stage = d->stage;
    aw_outlook f = {0};
    aw_errors errors = {0};
    const aw_run run = {d->threads, &d->watch, &errors};
    const aw_linear_plan plan = {s, l->base, l->moved, l->tag};
    if (!l->reading->sound || l->reading->of.bare) {
        put_stage(d, NULL, ALL);
        end_look(d);
        return;
    }
    const bool done = stage == ESTIMATE ? aw_outlook_estimate(&f, &d->linear, &plan, &run)
                                        : aw_outlook_draw(&f, s, l->tag, stage_draws[stage], &run);
    const bool put = done && put_stage(d, &f, stage);
    if (put)
        keep_standing(d, stage, &f);
    if (put)
        d->stage = next_stage(s, stage);
    else if (done)
        drop_look(l);
    else if (errors.n_errors > 0) {
        put_error(l, &errors);
        drop_look(l);
    }
    if (put && stage == ALL)
        end_look(d);
    aw_outlook_free(&f);
    aw_errors_free(&errors);
}

/* --- the loop --- */

/* Waits for something to do, at most for a glance; true if `t` is a task to be done. */
static bool take_work(aw_desk *d, task *t)
{
    aw_look overtaken = {0};
    pthread_mutex_lock(&d->lock);
    if (d->n_tasks == 0 && d->next.reading == NULL && d->now.reading == NULL && !d->ended) {
        struct timespec until;
        clock_gettime(CLOCK_REALTIME, &until);
        until.tv_nsec += GLANCE;
        until.tv_sec += until.tv_nsec / 1000000000L;
        until.tv_nsec %= 1000000000L;
        pthread_cond_timedwait(&d->changed, &d->lock, &until);
    }
    if (!d->ended)
        atomic_store(&d->watch.stop, 0);
    if (d->next.reading != NULL) {
        overtaken = d->now;
        d->now = d->next;
        d->next = (aw_look){0};
        hand_on_scene(&overtaken, &d->now);
        d->stage = ESTIMATE;
        d->effect.n = 0;
    }
    d->at_first = d->now.reading != NULL && d->stage == ESTIMATE;
    const bool found = d->n_tasks > 0 && !d->at_first;
    if (found) {
        *t = d->tasks[0];
        for (size_t i = 1; i < d->n_tasks; i++)
            d->tasks[i - 1] = d->tasks[i];
        d->n_tasks--;
        d->at_task = true;
        d->patient = t->patient;
    }
    pthread_mutex_unlock(&d->lock);
    drop_look(&overtaken);
    return found;
}

void aw_desk_run(aw_desk *d, const atomic_int *stop)
{
    while (!atomic_load(stop)) {
        task t;
        pthread_mutex_lock(&d->lock);
        const bool ended = d->ended;
        pthread_mutex_unlock(&d->lock);
        if (ended)
            return;
        if (take_work(d, &t))
            work_on_task(d, t);
        else if (d->now.reading != NULL)
            work_on_look(d);
    }
}
