/* links: what each anchor measures at one spot, laid open. */
#include "app/cli/cli.h"
#include "anchorwise/level.h"
#include "radio/paths.h"
#include "report/links.h"

#include <stdlib.h>

/* X,Y with the tag's height there, or X,Y,Z. */
static bool read_spot(const cli_options *options, const aw_scenario *s, size_t tag, double spot[3])
{
    if (cli_read_lengths(options->at, s, 3, spot))
        return true;
    if (!cli_read_lengths(options->at, s, 2, spot))
        return false;
    spot[2] = aw_tag_at(s, tag, spot[0], spot[1]);
    return true;
}

static int trace_links(const cli_site *site, const double spot[3])
{
    const cli_options *options = site->options;
    const aw_scenario *s = &site->scenario;
    aw_scene *scene = aw_scene_create(s);
    aw_link_trace *traces = calloc(s->n_anchors, sizeof *traces);
    aw_text text = {0};
    int status = STATUS_DONE;
    if (scene == NULL || traces == NULL) {
        fprintf(stderr, "anchorwise: out of memory for the links\n");
        status = STATUS_FAILED;
    }
    for (size_t i = 0; status == STATUS_DONE && i < s->n_anchors; i++)
        aw_link_trace_at(scene, spot, &s->anchors[i], &traces[i]);
    if (status == STATUS_DONE && options->json)
        aw_traces_json(traces, s, options->scenario, spot, &text);
    else if (status == STATUS_DONE)
        aw_traces_table(traces, s, options->scenario, spot, &text);
    free(traces);
    aw_scene_free(scene);
    return cli_show(site, status, &text);
}

static int run(cli_site *site)
{
    const cli_options *options = site->options;
    double spot[3];
    size_t tag = 0;
    if (options->tag != NULL && !cli_find_tag(options, &site->scenario, &tag))
        return STATUS_WRONG;
    if (!read_spot(options, &site->scenario, tag, spot))
        return cli_complain("--at: '%s' is not X,Y or X,Y,Z, lengths within %s", options->at,
                            cli_farthest(&site->scenario));
    return trace_links(site, spot);
}

int cli_links(const cli_options *options)
{
    if (options->at == NULL)
        return cli_complain("links needs --at X,Y or X,Y,Z");
    return cli_with_site(options, NULL, run);
}
