/* What a scenario describes, and what is wrong with one, for programs. */
#include <math.h>

#include "anchorwise.h"
#include "base/plane.h"
#include "report/told.h"

typedef aw_told_summary told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

static const aw_scenario *scenario_of(const aw_subject *s)
{
    return told_of(s)->run.scenario;
}

/* --- complaints --- */

/* Line or column; null where a complaint has no place. */
AW_GETTER(get_position)
{
    const aw_complaint *c = s->of;
    v->number = c->line <= 0 ? (double)NAN : i == 0 ? c->line : c->column;
    return true;
}

AW_GETTER(get_complaint_text)
{
    v->text = ((const aw_complaint *)s->of)->text;
    return true;
}

AW_GETTER(get_file)
{
    v->text = told_of(s)->run.file;
    return true;
}

static const aw_member complaint_members[] = {
    AW_GOT("file", TEXT, get_file, "", "the scenario's file"),
    AW_WHICH("line", NUMBER, get_position, 0, "", "from 1 on; null: it has no place"),
    AW_WHICH("column", NUMBER, get_position, 1, "", "from 1 on"),
    AW_GOT("text", TEXT, get_complaint_text, "", "what is wrong, and what is allowed"),
};
static const aw_shape complaint_shape =
    AW_SHAPE("complaint", "What is wrong in a scenario", complaint_members);

static bool find_complaint(const aw_subject *s, aw_severity severity, size_t i, aw_value *v)
{
    const aw_errors *errors = told_of(s)->errors;
    for (size_t k = 0; k < errors->n; k++)
        if (errors->list[k].severity == severity && i-- == 0) {
            v->object = (aw_subject){&errors->list[k], s->with, 0, 0};
            return true;
        }
    return false;
}

AW_GETTER(get_error)
{
    return find_complaint(s, AW_ERROR, i, v);
}

AW_GETTER(get_warning)
{
    return find_complaint(s, AW_WARNING, i, v);
}

#define WARNINGS AW_LIST("warnings", get_warning, &complaint_shape, "what is odd")

/* --- of one that cannot be read --- */

static const aw_member file_members[] = {AW_TEXT("file", aw_report_run, file, "as given")};
static const aw_shape file_shape = AW_SHAPE("file", "A file", file_members);

AW_GETTER(get_left_out)
{
    v->count = told_of(s)->errors->n_dropped;
    return true;
}

static const aw_member errors_members[] = {
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),
    AW_OBJECT("scenario", aw_get_scenario, &file_shape, "the scenario"),
    AW_LIST("errors", get_error, &complaint_shape, "what is wrong"),
    WARNINGS,
    AW_GOT("left_out", COUNT, get_left_out, "", "how many more there were"),
    AW_RUN_END,
};
const aw_shape aw_errors_shape =
    AW_SHAPE("errors", "A scenario that cannot be read, in place of any document", errors_members);

void aw_errors_json(const aw_errors *errors, const char *file, aw_text *out)
{
    const told t = {{NULL, file}, NULL, errors, NULL};
    aw_document_json(&aw_errors_shape, &AW_DOCUMENT(t), out);
}

/* --- the bill --- */

static const aw_member bill_line_members[] = {
    AW_TEXT("what", aw_bill_line, what, "what is paid for"),
    AW_NUMBER("count", aw_bill_line, count, "", "how many"),
    AW_TEXT("unit", aw_bill_line, unit, "of them"),
    AW_NUMBER("price", aw_bill_line, price, "currency", "of each"),
    AW_NUMBER("amount", aw_bill_line, amount, "currency", "of all"),
};
static const aw_shape bill_line_shape =
    AW_SHAPE("bill_line", "A line of the bill", bill_line_members);

AW_GETTER(get_currency)
{
    v->text = scenario_of(s)->prices.currency;
    return true;
}

AW_GETTER(get_bill_line)
{
    const aw_bill *bill = s->of;
    if (i >= bill->n)
        return false;
    v->object = (aw_subject){&bill->lines[i], s->with, i, 0};
    return true;
}

static const aw_member bill_members[] = {
    AW_GOT("currency", TEXT, get_currency, "", "of the prices"),
    AW_LIST("lines", get_bill_line, &bill_line_shape, "what the layout costs"),
    AW_NUMBER("sum", aw_bill, total, "currency", "of all"),
};
static const aw_shape bill_shape = AW_SHAPE("prices", "The bill of the layout", bill_members);

/* --- of a sound one --- */

static double area_of(const aw_polygon *p)
{
    return fabs(aw_polygon_area(p->at, p->n));
}

AW_GETTER(get_floor_area)
{
    v->number = area_of(&scenario_of(s)->floor.outline);
    return true;
}

AW_GETTER(get_ceiling)
{
    v->number = scenario_of(s)->floor.ceiling;
    return true;
}

AW_GETTER(get_anchors)
{
    v->count = scenario_of(s)->n_anchors;
    return true;
}

AW_GETTER(get_levels)
{
    v->count = scenario_of(s)->n_levels;
    return v->count > 0;
}

AW_GETTER(get_obstacles)
{
    v->count = aw_named_obstacles(scenario_of(s));
    return true;
}

AW_GETTER(get_walls)
{
    v->count = scenario_of(s)->n_walls;
    return true;
}

AW_GETTER(get_tags)
{
    v->count = scenario_of(s)->n_tags;
    return true;
}

AW_GETTER(get_zone_area)
{
    v->number = area_of(&((const aw_zone *)s->of)->outline);
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_GOT("area_m2", NUMBER, get_zone_area, "m²", "its area"),
};
static const aw_shape zone_shape = AW_SHAPE("described_zone", "A zone as written", zone_members);

AW_GETTER(get_zone)
{
    if (i >= scenario_of(s)->n_zones)
        return false;
    v->object = (aw_subject){&scenario_of(s)->zones[i], s->with, i, 0};
    return true;
}

AW_GETTER(get_bill)
{
    v->object = (aw_subject){told_of(s)->bill, s->with, 0, 0};
    return v->object.of != NULL;
}

static const aw_member cost_members[] = {
    AW_NUMBER("seconds", aw_effort, seconds, "s", "of one processor"),
    AW_NUMBER("bytes", aw_effort, bytes, "bytes", "of memory"),
};
static const aw_shape cost_shape = AW_SHAPE("cost", "What an assessment takes", cost_members);

AW_GETTER(get_cost)
{
    v->object.of = told_of(s)->cost;
    return v->object.of != NULL;
}

static const aw_member members[] = {
    AW_RUN_HEAD,
    AW_GOT("floor_m2", NUMBER, get_floor_area, "m²", "area of the floor"),
    AW_GOT("ceiling_m", NUMBER, get_ceiling, "m", "its height"),
    AW_GOT("anchors", COUNT, get_anchors, "", "how many"),
    AW_MAY("levels", COUNT, get_levels, 0, NULL, "how many; left out without any"),
    AW_GOT("obstacles", COUNT, get_obstacles, "", "how many"),
    AW_GOT("walls", COUNT, get_walls, "", "how many"),
    AW_GOT("tags", COUNT, get_tags, "", "how many"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_WORD("figures", aw_get_figures, aw_figures_words,
            "site: with errors of a site; bench: white noise alone, as on a bench"),
    AW_MAY("prices", OBJECT, get_bill, 0, &bill_shape, "the bill; left out without prices"),
    AW_MAY("cost", OBJECT, get_cost, 0, &cost_shape, "what an assessment takes"),
    WARNINGS,
    AW_RUN_END,
};
const aw_shape aw_summary_shape = AW_SHAPE("check", "What a scenario describes", members);

void aw_scenario_summary_json(const aw_scenario *s, const char *file, const aw_effort *cost,
                              const aw_errors *warnings, aw_text *out)
{
    aw_bill bill = {0};
    const bool priced = aw_has_prices(s), done = !priced || aw_bill_make(&bill, s);
    const told t = {{s, file}, cost, warnings, priced ? &bill : NULL};
    aw_document_json(&aw_summary_shape, &AW_DOCUMENT(t), out);
    out->failed = out->failed || !done;
    aw_bill_free(&bill);
}
