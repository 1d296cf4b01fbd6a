/* links: what each anchor measures at one spot, laid open. */
#include "app/cli/cli.h"
#include "radio/paths.h"
#include "report/links.h"

#include <stdlib.h>

static int write_traces(const cli_options *options, const aw_scenario *s, const double spot[3],
                        const aw_link_trace traces[])
{
    aw_text text = {0};
    if (options->json)
        aw_traces_json(traces, s, options->scenario, spot, &text);
    else
        aw_traces_table(traces, s, options->scenario, spot, &text);
    const int status = cli_write_result(&text, options->out, options);
    aw_text_free(&text);
    return status;
}

static int trace_links(const cli_options *options, const aw_scenario *s, const double spot[3])
{
    aw_scene *scene = aw_scene_create(s);
    aw_link_trace *traces = calloc(s->n_anchors, sizeof *traces);
    int status = STATUS_FAILED;
    if (scene == NULL || traces == NULL) {
        fprintf(stderr, "anchorwise: out of memory for the links\n");
    } else {
        for (size_t i = 0; i < s->n_anchors; i++)
            aw_link_trace_at(scene, spot, &s->anchors[i], &traces[i]);
        status = write_traces(options, s, spot, traces);
    }
    free(traces);
    aw_scene_free(scene);
    return status;
}

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

int cli_links(const cli_options *options)
{
    aw_scenario s;
    double spot[3];
    size_t tag = 0;
    if (options->at == NULL)
        return cli_complain("links needs --at X,Y or X,Y,Z");
    int status = cli_read_scenario(&s, options);
    if (status == STATUS_DONE && options->tag != NULL && !cli_find_tag(options, &s, &tag))
        status = STATUS_WRONG;
    if (status == STATUS_DONE && !read_spot(options, &s, tag, spot))
        status = cli_complain("--at: '%s' is not X,Y or X,Y,Z, lengths within %s", options->at,
                              cli_farthest(&s));
    if (status == STATUS_DONE)
        status = trace_links(options, &s, spot);
    aw_scenario_free(&s);
    return status;
}
