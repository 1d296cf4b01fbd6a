/* One function a request, and the table that names them. */
#include "live/requests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "live/answer.h"
#include "live/shown.h"
#include "live/tasks.h"

/* What a place may be off the origin, m. */
#define FARTHEST 1e5
/* Within so many bytes an SVG says that it is one. */
#define SVG_HEAD ((size_t)4096)
#define PICTURE  "/picture"

enum {
    OK = 200,
    WRONG = 400,
    NOT_FOUND = 404,
    NOT_ALLOWED = 405,
    CONFLICT = 409,
    FAILED = 500,
    BUSY = 503
};

typedef struct asked {
    aw_floor_plan *plan;
    const aw_request *request;
    aw_answering *out;
    json_t *body; /* of a POST: an object */
} asked;

static void refuse(const asked *a, unsigned status, const char *why)
{
    aw_errors errors = {0};
    aw_errors_add(&errors, AW_ERROR, 0, 0, "%s", why);
    a->out->status = status;
    aw_mistake_json(&errors, NULL, NULL, &a->out->text);
    aw_errors_free(&errors);
}

/* --- looks --- */

/* Starts a reply that goes on; false after a refusal. */
static bool begin_reply(const asked *a)
{
    a->out->status = OK;
    a->out->reply = aw_reply_create(a->request->wake);
    if (a->out->reply == NULL)
        refuse(a, BUSY, "out of memory");
    return a->out->reply != NULL;
}

/* A refusal as the only frame. */
static void end_with_errors(const asked *a, const aw_errors *errors, const char *item)
{
    aw_text json = {0};
    aw_mistake_json(errors, item, &a->plan->session.text, &json);
    aw_reply_put(a->out->reply, &(aw_frame){.rev = a->plan->session.rev,
                                            .kind = AW_FRAME_ERROR,
                                            .body = json.at,
                                            .n = json.failed ? 0 : json.n});
    aw_reply_end(a->out->reply);
    aw_reply_let_go(a->out->reply);
    aw_text_free(&json);
}

/* The anchor whose place is all that operations change; AW_NONE_MOVES if there is more to them. */
static size_t find_moved(json_t *ops, const aw_scenario *s)
{
    json_t *op = json_array_get(ops, 0), *at = json_object_get(op, "at");
    const char *steps[3] = {"", "", ""}, *what = json_string_value(json_object_get(op, "op"));
    for (size_t i = 0; i < 3 && json_is_string(json_array_get(at, i)); i++)
        steps[i] = json_string_value(json_array_get(at, i));
    const bool moves = json_array_size(ops) == 1 && json_array_size(at) == 3 && what != NULL &&
                       strcmp(what, "set") == 0 && strcmp(steps[0], "anchors") == 0 &&
                       strcmp(steps[2], "at") == 0;
    for (size_t i = 0; moves && i < s->n_anchors; i++)
        if (strcmp(s->anchors[i].name, steps[1]) == 0)
            return i;
    return AW_NONE_MOVES;
}

/* Gives a look its tag, and shows it; of what is kept with the scene and the step's words. */
/* Shows a reading, which it takes over; `was`: that before operations, or NULL. */
static void show(const asked *a, aw_reading *reading, bool held, aw_reading *was)
{
    json_t *ops = json_object_get(a->body, "do");
    aw_look look = {.reading = reading, .reply = a->out->reply, .held = held};
    look.moved = was != NULL ? find_moved(ops, &was->of.scenario) : AW_NONE_MOVES;
    look.base = aw_reading_hold(look.moved != AW_NONE_MOVES ? was : reading);
    look.was = was != NULL && !held ? aw_reading_hold(was) : NULL;
    aw_plan_show(a->plan, &look);
}

/* Where the first operation acts: "anchors.C2". */
static void name_item(json_t *ops, aw_text *out)
{
    json_t *at = json_object_get(json_array_get(ops, 0), "at");
    for (size_t i = 0; i < json_array_size(at) && i < 2; i++) {
        const char *step = json_string_value(json_array_get(at, i));
        aw_text_add(out, i > 0 && step != NULL ? "." : "");
        aw_text_add(out, step != NULL ? step : "");
    }
}

static void answer_edit(const asked *a)
{
    aw_session *s = &a->plan->session;
    json_t *ops = json_object_get(a->body, "do");
    const char *tag = json_string_value(json_object_get(a->body, "tag"));
    const bool hold = json_is_true(json_object_get(a->body, "hold"));
    const bool changes = json_array_size(ops) > 0;
    aw_errors errors = {0};
    aw_text item = {0};
    if (!begin_reply(a))
        return;
    if (tag != NULL && strlen(tag) < sizeof a->plan->tag)
        strncpy(a->plan->tag, tag, sizeof a->plan->tag - 1);
    aw_reading *was = aw_reading_hold(s->reading), *is = NULL;
    if (ops != NULL && !json_is_array(ops))
        aw_errors_add(&errors, AW_ERROR, 0, 0, "`do` is no list of operations");
    else if (aw_desk_is_busy(a->plan->desk))
        aw_errors_add(&errors, AW_ERROR, 0, 0, "something else is at work: stop that first");
    else if (changes && hold)
        is = aw_session_look(s, ops, &errors);
    else if (!changes || aw_session_step(s, ops, &errors))
        is = aw_reading_hold(s->reading);
    if (is != NULL) {
        show(a, is, hold, changes ? was : NULL);
    } else {
        name_item(ops, &item);
        end_with_errors(a, &errors, item.n > 0 && !item.failed ? item.at : NULL);
    }
    aw_reading_let_go(was);
    aw_text_free(&item);
    aw_errors_free(&errors);
}

static void answer_go(const asked *a)
{
    const json_t *step = json_object_get(a->body, "step");
    aw_errors errors = {0};
    if (!json_is_integer(step) || json_integer_value(step) < 0) {
        refuse(a, WRONG, "`step` is a whole number from 0 on");
        return;
    }
    if (!begin_reply(a))
        return;
    if (aw_desk_is_busy(a->plan->desk))
        aw_errors_add(&errors, AW_ERROR, 0, 0, "something else is at work: stop that first");
    if (errors.n_errors == 0 &&
        aw_session_go(&a->plan->session, (size_t)json_integer_value(step), &errors))
        show(a, aw_reading_hold(a->plan->session.reading), false, NULL);
    else
        end_with_errors(a, &errors, NULL);
    aw_errors_free(&errors);
}

/* --- the file --- */

static void refuse_by(const asked *a, unsigned status, const aw_errors *errors)
{
    a->out->status = status;
    aw_mistake_json(errors, NULL, NULL, &a->out->text);
}

static bool find_conflict(aw_conflict *c, const aw_session *s, const aw_text *disk)
{
    const bool found = aw_conflict_find(c, &s->base, &s->text, disk);
    c->gone = aw_session_is_gone(s);
    return found;
}

static void refuse_conflict(const asked *a, const aw_text *disk)
{
    aw_conflict conflict;
    const aw_session *s = &a->plan->session;
    a->out->status = CONFLICT;
    if (find_conflict(&conflict, s, disk))
        aw_conflict_json(&conflict, &a->out->text);
    else
        refuse(a, BUSY, "out of memory");
    aw_conflict_free(&conflict);
}

static bool is_wanted(const asked *a, const char *key)
{
    return json_is_true(json_object_get(a->body, key));
}

/* One of four, all of which leave a file and steps that belong together. */
static bool save(const asked *a, aw_text *written, aw_errors *errors)
{
    aw_session *s = &a->plan->session;
    if (is_wanted(a, "as"))
        return aw_session_save_beside(s, written, errors);
    if (is_wanted(a, "take_disk"))
        return aw_session_take_disk(s, errors);
    if (is_wanted(a, "put_on_top"))
        return aw_session_put_on_top(s, errors);
    return aw_session_save(s, errors);
}

static void answer_save(const asked *a)
{
    aw_errors errors = {0};
    aw_text disk = {0}, written = {0};
    bool changed;
    const bool asks = !is_wanted(a, "as") && !is_wanted(a, "force") && !is_wanted(a, "take_disk") &&
                      !is_wanted(a, "put_on_top");
    if (!aw_session_look_at_disk(&a->plan->session, &disk, &changed, &errors))
        refuse_by(a, FAILED, &errors);
    else if (asks && changed)
        refuse_conflict(a, &disk);
    else if (save(a, &written, &errors)) {
        a->out->status = OK;
        aw_saved_json(&a->plan->session, written.at, &a->out->text);
    } else
        refuse_by(a, FAILED, &errors);
    aw_text_free(&disk);
    aw_text_free(&written);
    aw_errors_free(&errors);
}

static void answer_disk(const asked *a)
{
    const aw_session *s = &a->plan->session;
    aw_errors errors = {0};
    aw_text disk = {0};
    aw_conflict conflict = {0};
    bool changed;
    a->out->status = OK;
    if (!aw_session_look_at_disk(s, &disk, &changed, &errors))
        refuse_by(a, FAILED, &errors);
    else if (changed && !find_conflict(&conflict, s, &disk))
        refuse(a, BUSY, "out of memory");
    else
        aw_disk_json(&disk, changed ? &conflict : NULL, &a->out->text);
    aw_conflict_free(&conflict);
    aw_text_free(&disk);
    aw_errors_free(&errors);
}

static void answer_recover(const asked *a)
{
    aw_errors errors = {0};
    if (!begin_reply(a))
        return;
    if (aw_session_recover(&a->plan->session, is_wanted(a, "take"), &errors))
        show(a, aw_reading_hold(a->plan->session.reading), false, NULL);
    else
        end_with_errors(a, &errors, NULL);
    aw_errors_free(&errors);
}

/* --- tasks --- */

/* The sender's share of a waiter is in the answer; the task's is returned. NULL after a refusal. */
static aw_waiter *begin_waiting(const asked *a)
{
    a->out->waiter = aw_waiter_create(a->request->wake);
    if (a->out->waiter == NULL)
        refuse(a, BUSY, "out of memory");
    return a->out->waiter;
}

/* The task was not taken, and has let go of its share. */
static void end_waiting(const asked *a)
{
    aw_waiter_let_go(a->out->waiter);
    a->out->waiter = NULL;
    refuse(a, BUSY, "too much is asked for at once");
}

static bool has_figures(const asked *a)
{
    const aw_reading *reading = a->plan->session.reading;
    if (!reading->sound || reading->of.bare)
        refuse(a, CONFLICT, "there is no layout to be looked at");
    return reading->sound && !reading->of.bare;
}

static void answer_spot(const asked *a)
{
    aw_point at;
    aw_reading *reading = a->plan->session.reading;
    if (json_unpack(json_object_get(a->body, "at"), "[F, F]", &at.x, &at.y) != 0 ||
        fabs(at.x) > FARTHEST || fabs(at.y) > FARTHEST)
        refuse(a, WRONG, "`at` is two lengths");
    else if (has_figures(a) && begin_waiting(a) != NULL &&
             !aw_task_explain(a->plan, aw_reading_hold(reading), at, aw_shown_tag(a->plan, reading),
                              a->out->waiter))
        end_waiting(a);
}

/* What a picture's first bytes say it is, as an ending; NULL: nothing that is read. */
static const char *kind_of(const char *bytes, size_t n)
{
    static const struct {
        const char *head, *ending;
    } kinds[] = {
        {"\x89PNG", "-picture.png"}, {"\xFF\xD8\xFF", "-picture.jpg"}, {"%PDF-", "-picture.pdf"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (n > strlen(kinds[i].head) && memcmp(bytes, kinds[i].head, strlen(kinds[i].head)) == 0)
            return kinds[i].ending;
    const size_t looked = n < SVG_HEAD ? n : SVG_HEAD;
    return memmem(bytes, looked, "<svg", 4) != NULL ? "-picture.svg" : NULL;
}

/* Kept as it came, beside the scenario. */
static void take_picture(const asked *a)
{
    const aw_request *r = a->request;
    const char *ending = r->n > 0 ? kind_of(r->body, r->n) : NULL;
    aw_session *s = &a->plan->session;
    aw_text path = {0}, bytes = {0};
    aw_errors errors = {0};
    aw_text_add_bytes(&bytes, r->n > 0 ? r->body : "", r->n);
    if (ending == NULL)
        refuse(a, WRONG, "the picture is neither PNG, JPEG, SVG nor PDF");
    else if (!aw_session_may_change(s, &errors) || !aw_session_free_name(s, ending, &path) ||
             !aw_text_write(&bytes, path.at, &errors))
        refuse_by(a, FAILED, &errors);
    else {
        free(a->plan->picture);
        a->plan->picture = strdup(path.at + (s->name - s->path));
        a->out->status = OK;
        aw_written_json(path.at + (s->name - s->path), &a->out->text);
    }
    aw_text_free(&path);
    aw_text_free(&bytes);
    aw_errors_free(&errors);
}

/* The scenario's, else the one that was taken last. */
static void answer_picture(const asked *a)
{
    const aw_floor_picture *own = &a->plan->session.reading->of.scenario.floor.picture;
    const char *file = own->file != NULL ? own->file : a->plan->picture;
    if (file == NULL)
        refuse(a, NOT_FOUND, "there is no picture");
    else if (begin_waiting(a) != NULL &&
             !aw_task_picture(a->plan, file, own->file != NULL ? own->page : 1, a->out->waiter))
        end_waiting(a);
}

static void answer_hand_out(const asked *a)
{
    const char *what = json_string_value(json_object_get(a->body, "what"));
    if (what == NULL || !aw_can_hand_out(what))
        refuse(a, WRONG, "`what` is none of report, chart, installers, drawing");
    else if (!a->plan->session.exists || aw_session_unsaved(&a->plan->session) > 0)
        refuse(a, CONFLICT, "save first: what is handed out names the file that it was made from");
    else if (has_figures(a) && begin_waiting(a) != NULL &&
             !aw_task_hand_out(a->plan, what, a->out->waiter))
        end_waiting(a);
}

static void answer_run(const asked *a)
{
    const char *what = json_string_value(json_object_get(a->body, "what"));
    json_t *options = json_object_get(a->body, "options");
    aw_errors errors = {0};
    if (what == NULL || strcmp(what, "place") != 0) {
        refuse(a, WRONG, "`what` is not place");
        return;
    }
    if (!has_figures(a) || !begin_reply(a))
        return;
    if (aw_desk_is_busy(a->plan->desk))
        aw_errors_add(&errors, AW_ERROR, 0, 0, "something else is at work: stop that first");
    else if (aw_session_may_change(&a->plan->session, &errors) &&
             !aw_task_place(a->plan, aw_reading_hold(a->plan->session.reading),
                            json_is_true(json_object_get(options, "sturdy")), a->out->reply))
        aw_errors_add(&errors, AW_ERROR, 0, 0, "too much is asked for at once");
    if (errors.n_errors > 0)
        end_with_errors(a, &errors, NULL);
    aw_errors_free(&errors);
}

static void answer_stop(const asked *a)
{
    aw_desk_stop_task(a->plan->desk);
    a->out->status = OK;
    aw_text_add(&a->out->text, "{}\n");
}

/* --- the rest --- */

static void answer_scene(const asked *a)
{
    const aw_session *s = &a->plan->session;
    aw_scene_json(s, aw_shown_tag(a->plan, s->reading), &a->out->text);
    a->out->status = OK;
}

static const struct {
    const char *method, *path;
    void (*answer)(const asked *a);
} requests[] = {
    {"GET", "/scene", answer_scene}, {"POST", "/edit", answer_edit},
    {"POST", "/go", answer_go},      {"POST", "/save", answer_save},
    {"POST", "/spot", answer_spot},  {"POST", "/hand-out", answer_hand_out},
    {"POST", "/run", answer_run},    {"POST", "/stop", answer_stop},
    {"POST", PICTURE, take_picture}, {"GET", PICTURE, answer_picture},
    {"GET", "/disk", answer_disk},   {"POST", "/recover", answer_recover},
};

size_t aw_request_room(const char *path)
{
    return strcmp(path, PICTURE) == 0 ? AW_MOST_PICTURE : AW_MOST_BODY;
}

bool aw_request_is_known(const char *path)
{
    for (size_t i = 0; i < sizeof requests / sizeof *requests; i++)
        if (strcmp(requests[i].path, path) == 0)
            return true;
    return false;
}

static void answer(const asked *a)
{
    const aw_request *r = a->request;
    for (size_t i = 0; i < sizeof requests / sizeof *requests; i++)
        if (strcmp(requests[i].path, r->path) == 0 && strcmp(requests[i].method, r->method) == 0) {
            requests[i].answer(a);
            return;
        }
    if (aw_request_is_known(r->path))
        refuse(a, NOT_ALLOWED, "not by this method");
    else
        refuse(a, NOT_FOUND, "there is nothing here");
}

void aw_request_answer(aw_floor_plan *plan, const aw_request *request, aw_answering *outcome)
{
    asked a = {plan, request, outcome, NULL};
    const bool reads = strcmp(request->method, "POST") == 0 && strcmp(request->path, PICTURE) != 0;
    *outcome = (aw_answering){0};
    if (reads)
        a.body = json_loadb(request->n > 0 ? request->body : "", request->n, JSON_REJECT_DUPLICATES,
                            NULL);
    pthread_mutex_lock(&plan->lock);
    if (plan->closing)
        refuse(&a, BUSY, "the program is ending");
    else if (reads && !json_is_object(a.body))
        refuse(&a, WRONG, "the body is no JSON object");
    else
        answer(&a);
    pthread_mutex_unlock(&plan->lock);
    json_decref(a.body);
    if (outcome->text.failed) {
        aw_text_free(&outcome->text);
        outcome->status = BUSY;
    }
}
