/* Exit status 1: a need is not met or undecided. */
#include "app/cli/cli.h"

#include <string.h>

bool cli_falls_short(aw_verdict verdict)
{
    return verdict == AW_NOT_MET || verdict == AW_UNDECIDED;
}

/* A line for each part that falls short. */
static void tell(const aw_zone_result *r, const aw_scenario *s, size_t zone, const char *name)
{
    aw_text text = {0};
    aw_zone_shortfall(r, s->zones[zone].name, s->study.seed, s->units, &text);
    for (char *line = text.failed ? NULL : strtok(text.at, "\n"); line != NULL;
         line = strtok(NULL, "\n"))
        fprintf(stderr, "%s: %s\n", name, line);
    aw_text_free(&text);
}

int cli_judge(const cli_options *options, const aw_scenario *s, const char *name, unsigned threads,
              aw_verdict verdicts[])
{
    aw_watch *watch = cli_watch(options);
    aw_errors errors = {0};
    bool short_of = false, done = true;
    for (size_t i = 0; done && i < s->n_zones; i++) {
        aw_zone_result r;
        verdicts[i] = AW_NO_NEED;
        if (!aw_need_is_stated(&s->zones[i].need))
            continue;
        aw_watch_stage(watch, 0, "need of zone %zu of %zu, %s", i + 1, s->n_zones,
                       s->zones[i].name);
        done = aw_assess_zone(&r, s, &s->zones[i], &(aw_run){threads, watch, &errors});
        if (done)
            verdicts[i] = r.verdict;
        if (done && cli_falls_short(r.verdict)) {
            short_of = true;
            if (!options->quiet)
                tell(&r, s, i, name);
        }
    }
    const int status = cli_report(&errors, watch);
    aw_errors_free(&errors);
    return status == STATUS_DONE && short_of ? STATUS_NOT_MET : status;
}
