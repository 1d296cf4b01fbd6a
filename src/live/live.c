/* Puts the parts together, and takes them apart so that nobody is left waiting. */
#include "live/live.h"

#include <stdlib.h>

#include "live/server.h"

struct aw_live {
    aw_floor_plan plan;
    aw_server *server;
    aw_errors warnings;
};

static void keep_effect(void *plan_of, size_t step, const char *words)
{
    aw_floor_plan *plan = plan_of;
    pthread_mutex_lock(&plan->lock);
    aw_session_tell_effect(&plan->session, step, words);
    pthread_mutex_unlock(&plan->lock);
}

aw_live *aw_live_open(const char *path, uint16_t port, unsigned threads, aw_errors *errors)
{
    aw_live *live = calloc(1, sizeof *live);
    if (live == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
        return NULL;
    }
    pthread_mutex_init(&live->plan.lock, NULL);
    live->plan.desk = aw_desk_create(threads, (aw_effect_sink){keep_effect, &live->plan});
    if (live->plan.desk == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    else if (aw_session_open(&live->plan.session, path, errors))
        live->server = aw_server_start(&live->plan, port, errors);
    for (size_t i = 0; i < errors->n; i++) /* of a session that works all the same */
        if (errors->list[i].severity == AW_WARNING)
            aw_errors_add(&live->warnings, AW_WARNING, 0, 0, "%s", errors->list[i].text);
    if (live->server != NULL)
        return live;
    aw_live_close(live);
    return NULL;
}

const char *aw_live_address(const aw_live *live)
{
    return aw_server_address(live->server);
}

const aw_errors *aw_live_warnings(const aw_live *live)
{
    return &live->warnings;
}

void aw_live_run(aw_live *live, const atomic_int *stop)
{
    aw_desk_run(live->plan.desk, stop);
}

/* First no request makes anything new to wait for, then what is waited for ends. */
void aw_live_close(aw_live *live)
{
    if (live == NULL)
        return;
    pthread_mutex_lock(&live->plan.lock);
    live->plan.closing = true;
    pthread_mutex_unlock(&live->plan.lock);
    aw_desk_free(live->plan.desk);
    aw_server_stop(live->server);
    aw_session_close(&live->plan.session);
    free(live->plan.picture);
    aw_errors_free(&live->warnings);
    pthread_mutex_destroy(&live->plan.lock);
    free(live);
}
