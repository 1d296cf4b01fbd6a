/* A task owns what it works on; what it finds goes back under the lock of the plan. */
#include "live/tasks.h"

#include <errno.h>
#include <math.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "anchorwise/edit.h"
#include "anchorwise/placing.h"
#include "base/plane.h"
#include "live/answer.h"
#include "live/shown.h"
#include "plan/picture.h"

enum { OK = 200, WRONG = 400, OVERTAKEN = 409, FAILED = 500 };

/* The errors, or that the task was stopped. */
static void tell_trouble(aw_waiter *waiter, unsigned status, const aw_run *run)
{
    aw_told told = {.status = status};
    if (run->errors->n_errors == 0)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "overtaken by a change");
    aw_mistake_json(run->errors, NULL, NULL, &told.text);
    aw_waiter_tell(waiter, &told);
}

/* --- a spot --- */

typedef struct explaining {
    aw_reading *reading;
    aw_point at;
    size_t tag;
    aw_waiter *waiter;
} explaining;

static void explain(void *task, const aw_run *run)
{
    explaining *t = task;
    const aw_scenario *s = &t->reading->of.scenario;
    aw_explanation e = {0};
    aw_told told = {.status = OK};
    const bool on_floor = aw_polygon_holds(&s->floor.outline, t->at.x, t->at.y);
    if (!on_floor)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "this spot is off the floor");
    if (on_floor && aw_explain_run(&e, s, t->at, t->tag, run)) {
        aw_spot_json(&e, s, &told.text);
        aw_waiter_tell(t->waiter, &told);
    } else {
        tell_trouble(t->waiter, run->errors->n_errors > 0 ? WRONG : OVERTAKEN, run);
    }
    aw_explanation_free(&e);
    aw_reading_let_go(t->reading);
    aw_waiter_let_go(t->waiter);
    free(t);
}

bool aw_task_explain(aw_floor_plan *plan, aw_reading *reading, aw_point at, size_t tag,
                     aw_waiter *waiter)
{
    explaining *t = malloc(sizeof *t);
    if (t != NULL) {
        *t = (explaining){reading, at, tag, waiter};
        if (aw_desk_ask(plan->desk, explain, t, false))
            return true;
    }
    free(t);
    aw_reading_let_go(reading);
    aw_waiter_let_go(waiter);
    return false;
}

/* --- places --- */

typedef struct finding {
    aw_floor_plan *plan;
    aw_reading *reading;
    aw_reply *reply;
    bool sturdy;
} finding;

/* A stage of the work, as the watch writes it: "anchorwise: 1.2 s: looking for layouts". */
static ssize_t put_progress(void *reply, const char *bytes, size_t n)
{
    aw_text line = {0}, json = {0};
    aw_text_add_bytes(&line, bytes, n);
    char *end = line.failed ? NULL : strchr(line.at, '\n');
    const char *words = line.failed ? NULL : strstr(line.at, " s: ");
    if (end != NULL)
        *end = '\0';
    if (words != NULL) {
        aw_progress_json(words + strlen(" s: "), &json);
        if (!json.failed)
            aw_reply_put(reply, &(aw_frame){.kind = AW_FRAME_JSON, .body = json.at, .n = json.n});
    }
    aw_text_free(&line);
    aw_text_free(&json);
    return (ssize_t)n;
}

static bool write_layout(const aw_placing *p, const aw_reading *reading, const aw_text *text,
                         aw_text *out, aw_errors *errors)
{
    size_t n;
    aw_edit *edit = aw_edit_create(text->at, text->n, errors);
    const bool done = edit != NULL && aw_placing_write(p, &reading->of.scenario, edit, errors);
    const char *bytes = done ? aw_edit_text(edit, &n) : NULL;
    if (done)
        aw_text_add_bytes(out, bytes, n);
    aw_edit_free(edit);
    return done && !out->failed;
}

/* The layout as a step, and a look at it by the reply that told of the search. */
static bool keep_layout(const finding *t, const aw_placing *p, aw_errors *errors)
{
    aw_session *s = &t->plan->session;
    aw_text text = {0}, words = {0};
    aw_reading *was = aw_reading_hold(s->reading);
    aw_text_format(&words, "places found for %zu anchors", p->n_anchors);
    if (!aw_placing_is_sufficient(p))
        aw_text_add(&words, ", which do not meet every need for sure");
    bool done = s->reading == t->reading && !words.failed &&
                write_layout(p, t->reading, &s->text, &text, errors) &&
                aw_session_replace(s, &text, words.at, true, errors);
    if (s->reading != t->reading && !done && errors->n_errors == 0)
        aw_errors_add(errors, AW_ERROR, 0, 0, "overtaken by a change");
    if (done)
        aw_plan_show_step(t->plan, t->reply, was);
    aw_reading_let_go(was);
    aw_text_free(&text);
    aw_text_free(&words);
    return done;
}

static void find_places(void *task, const aw_run *run)
{
    finding *t = task;
    static const cookie_io_functions_t progress = {.write = put_progress};
    aw_placing placing = {0};
    aw_text json = {0};
    FILE *lines = fopencookie(t->reply, "w", progress);
    if (lines != NULL)
        setvbuf(lines, NULL, _IOLBF, 1024);
    run->watch->lines = lines;
    const aw_placing_plan plan = {
        .scenario = &t->reading->of.scenario, .sturdy = t->sturdy, .afresh = true};
    bool done = aw_placing_run(&placing, &plan, run) && !aw_run_stopped(run);
    run->watch->lines = NULL;
    if (lines != NULL)
        fclose(lines);
    aw_desk_make_way(t->plan->desk);
    pthread_mutex_lock(&t->plan->lock);
    done = done && keep_layout(t, &placing, run->errors);
    pthread_mutex_unlock(&t->plan->lock);
    if (!done) {
        if (run->errors->n_errors == 0)
            aw_errors_add(run->errors, AW_ERROR, 0, 0, "stopped; nothing was changed");
        aw_mistake_json(run->errors, NULL, NULL, &json);
        aw_reply_put(
            t->reply,
            &(aw_frame){.kind = AW_FRAME_ERROR, .body = json.at, .n = json.failed ? 0 : json.n});
        aw_reply_end(t->reply);
        aw_reply_let_go(t->reply);
    }
    aw_text_free(&json);
    aw_placing_free(&placing);
    aw_reading_let_go(t->reading);
    free(t);
}

bool aw_task_place(aw_floor_plan *plan, aw_reading *reading, bool sturdy, aw_reply *reply)
{
    finding *t = malloc(sizeof *t);
    if (t != NULL) {
        *t = (finding){plan, reading, reply, sturdy};
        if (aw_desk_ask(plan->desk, find_places, t, true))
            return true;
    }
    free(t);
    aw_reading_let_go(reading);
    return false;
}

/* --- files to hand out --- */

/* Each is made by a command of the program, from the file. */
static const struct {
    const char *what, *ending, *words[4];
} papers[] = {
    {"report", "-report.html", {"report", "client"}},
    {"chart", "-chart.pdf", {"chart"}},
    {"installers", "-installers.pdf", {"report", "installers"}},
    {"drawing", ".dxf", {"export"}},
};

bool aw_can_hand_out(const char *what)
{
    for (size_t i = 0; i < sizeof papers / sizeof *papers; i++)
        if (strcmp(papers[i].what, what) == 0)
            return true;
    return false;
}

typedef struct handing_out {
    char *path; /* of the scenario */
    aw_text out;
    size_t paper, folder; /* bytes of its folder in the path */
    aw_desk *desk;
    aw_waiter *waiter;
} handing_out;

/* Waits for the command, and ends it when the task is to stop. Its exit status, -1: stopped. */
static int await(pid_t child, const aw_run *run)
{
    int status = 0;
    bool told = false;
    while (waitpid(child, &status, WNOHANG) == 0) {
        if (aw_run_stopped(run) && !told)
            kill(child, SIGTERM);
        told = aw_run_stopped(run);
        nanosleep(&(struct timespec){.tv_nsec = 20000000}, NULL);
    }
    return told || !WIFEXITED(status) ? -1 : WEXITSTATUS(status);
}

static int make_paper(const handing_out *t, const aw_run *run)
{
    char program[] = "anchorwise", quiet[] = "--quiet", out[] = "--out";
    char *words[12] = {program}, *kept[4] = {0};
    size_t n = 1;
    pid_t child;
    for (size_t i = 0; i < 4 && papers[t->paper].words[i] != NULL; i++)
        words[n++] = kept[i] = strdup(papers[t->paper].words[i]);
    words[n++] = quiet;
    words[n++] = out;
    words[n++] = t->out.at;
    words[n++] = t->path;
    const int why = posix_spawn(&child, "/proc/self/exe", NULL, NULL, words, environ);
    const int status = why == 0 ? await(child, run) : 127;
    for (size_t i = 0; i < 4; i++)
        free(kept[i]);
    return status;
}

static void hand_out(void *task, const aw_run *run)
{
    handing_out *t = task;
    aw_told told = {.status = OK};
    const int status = make_paper(t, run);
    aw_desk_make_way(t->desk);
    /* 1: made, and a need is not met. */
    if (status == 0 || status == 1) {
        aw_written_json(t->out.at + t->folder, &told.text);
        aw_waiter_tell(t->waiter, &told);
    } else {
        if (status > 1)
            aw_errors_add(run->errors, AW_ERROR, 0, 0, "%s could not be made",
                          t->out.at + t->folder);
        tell_trouble(t->waiter, status > 1 ? FAILED : OVERTAKEN, run);
    }
    aw_waiter_let_go(t->waiter);
    aw_text_free(&t->out);
    free(t->path);
    free(t);
}

bool aw_task_hand_out(aw_floor_plan *plan, const char *what, aw_waiter *waiter)
{
    handing_out *t = calloc(1, sizeof *t);
    if (t == NULL) {
        aw_waiter_let_go(waiter);
        return false;
    }
    t->waiter = waiter;
    t->desk = plan->desk;
    t->path = strdup(plan->session.path);
    t->folder = (size_t)(plan->session.name - plan->session.path);
    while (strcmp(papers[t->paper].what, what) != 0)
        t->paper++;
    if (t->path != NULL && aw_session_free_name(&plan->session, papers[t->paper].ending, &t->out) &&
        aw_desk_ask(plan->desk, hand_out, t, true))
        return true;
    aw_waiter_let_go(waiter);
    aw_text_free(&t->out);
    free(t->path);
    free(t);
    return false;
}

/* --- the client's picture --- */

typedef struct picturing {
    char *file, *path;
    uint32_t page;
    aw_waiter *waiter;
} picturing;

static void free_picturing(picturing *t)
{
    aw_waiter_let_go(t->waiter);
    free(t->file);
    free(t->path);
    free(t);
}

static void read_picture(void *task, const aw_run *run)
{
    picturing *t = task;
    const aw_floor_picture picture = {.file = t->file, .page = t->page};
    aw_picture_file file = {0};
    if (aw_picture_read(&file, &picture, t->path, run)) {
        aw_told told = {OK, file.png, true, file.width, file.height};
        file.png = (aw_text){0};
        aw_waiter_tell(t->waiter, &told);
    } else {
        tell_trouble(t->waiter, run->errors->n_errors > 0 ? WRONG : OVERTAKEN, run);
    }
    aw_text_free(&file.png);
    free_picturing(t);
}

bool aw_task_picture(aw_floor_plan *plan, const char *file, uint32_t page, aw_waiter *waiter)
{
    picturing *t = calloc(1, sizeof *t);
    if (t == NULL) {
        aw_waiter_let_go(waiter);
        return false;
    }
    *t = (picturing){strdup(file), strdup(plan->session.path), page, waiter};
    if (t->file != NULL && t->path != NULL && aw_desk_ask(plan->desk, read_picture, t, false))
        return true;
    free_picturing(t);
    return false;
}
