/* check: is this scenario sound, and what does it describe. */
#include "app/cli/cli.h"

int cli_check(const cli_options *options)
{
    aw_scenario scenario;
    aw_text text = {0};
    int status = cli_threads(options) > 0 ? STATUS_DONE : STATUS_WRONG;
    if (status != STATUS_DONE)
        return status;
    status = cli_read_scenario(&scenario, options);
    if (status == STATUS_DONE) {
        if (options->json)
            aw_scenario_summary_json(&scenario, options->scenario, &text);
        else
            aw_scenario_summary(&scenario, options->scenario, &text);
        status = cli_write(&text, options->out);
    }
    aw_text_free(&text);
    aw_scenario_free(&scenario);
    return status;
}
