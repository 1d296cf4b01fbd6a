#include "plan/plan.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <fcntl.h>

#include "anchorwise/text.h"
#include "plan/build.h"
#include "plan/scan.h"

/* What a file is by its first bytes, if no plan that can be read. */
static const struct {
    const char *begin, *is;
} others[] = {
    {"AC10", "a DWG; save it as text DXF (R12 or later) in the drawing program"},
    {"AutoCAD Binary DXF", "a binary DXF; save it as text DXF in the drawing program"},
    {"%PDF", "a PDF; ask for the drawing as DXF"},
    {"\x89PNG", "a picture; ask for the drawing as DXF"},
    {"\xFF\xD8\xFF", "a picture; ask for the drawing as DXF"},
};

static bool complain(const aw_run *run, const char *what)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "%s", what);
    return false;
}

static bool read_stream(int file, aw_text *text, const aw_run *run)
{
    static char piece[1 << 16];
    ssize_t n;
    while ((n = read(file, piece, sizeof piece)) != 0) {
        if (n < 0 && errno == EINTR && !aw_run_stopped(run))
            continue;
        if (n < 0) {
            aw_errors_add(run->errors, AW_ERROR, 0, 0, "cannot be read: %s", strerror(errno));
            return false;
        }
        if (text->n + (size_t)n > AW_PLAN_BYTES)
            return complain(run, "over 200 MB, which is the limit");
        aw_text_add_bytes(text, piece, (size_t)n);
        if (text->failed)
            return aw_plan_run_out(run);
    }
    return true;
}

static bool read_file(const char *path, aw_text *text, const aw_run *run)
{
    if (strcmp(path, "-") == 0)
        return read_stream(STDIN_FILENO, text, run);
    const int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "cannot be read: %s", strerror(errno));
        return false;
    }
    const bool done = read_stream(file, text, run);
    close(file);
    return done;
}

static bool read_form(aw_plan *plan, const aw_text *text, const aw_run *run)
{
    const char *at = text->at != NULL ? text->at : "";
    size_t n = text->n;
    if (n >= 3 && memcmp(at, "\xEF\xBB\xBF", 3) == 0)
        at += 3, n -= 3;
    while (n > 0 && strchr(" \t\r\n", *at) != NULL)
        at++, n--;
    if (n == 0)
        return complain(run, "empty");
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (n >= strlen(others[i].begin) &&
            memcmp(at, others[i].begin, strlen(others[i].begin)) == 0)
            return complain(run, others[i].is);
    if (memchr(at, '\0', n) != NULL)
        return complain(run, "holds NUL bytes, so it is neither a text DXF nor GeoJSON");
    return *at == '{' ? aw_plan_read_geojson(plan, at, n, run) : aw_plan_read_dxf(plan, at, n, run);
}

bool aw_plan_read(aw_plan *plan, const char *path, const aw_run *run)
{
    aw_text text = {0};
    *plan = (aw_plan){.header_unit = -1, .memory = aw_arena_create()};
    aw_watch_stage(run->watch, 0, "reading %s", path);
    const bool done = (plan->memory != NULL || aw_plan_run_out(run)) &&
                      read_file(path, &text, run) && read_form(plan, &text, run);
    aw_text_free(&text);
    if (done)
        aw_plan_count(plan);
    return done;
}
