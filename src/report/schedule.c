#include "report/schedule.h"

#include <math.h>

#include "anchorwise/cost.h"
#include "report/csv.h"

/* NaN and NULL where a line has no such thing. */
typedef struct line {
    const char *kind, *name, *unit;
    double x, y, z, east, north, cable;
    double count, price, amount;
} line;

AW_GETTER(get_set)
{
    const aw_scenario *scenario = s->with;
    aw_csv_set(scenario, &v->room);
    v->text = v->room.at;
    return scenario->n_changes > 0;
}

static const aw_member members[] = {
    AW_TEXT("line", line, kind, "anchor or bill"),
    AW_TEXT("name", line, name, "of the anchor, or what is paid for"),
    AW_NUMBER("x_m", line, x, "m", "on the site"),
    AW_NUMBER("y_m", line, y, "m", "likewise"),
    AW_NUMBER("height_m", line, z, "m", "above the finished floor"),
    AW_NUMBER("plan_east_m", line, east, "m", "on the plan"),
    AW_NUMBER("plan_north_m", line, north, "m", "likewise"),
    AW_NUMBER("cable_m", line, cable, "m", "from the cabinet along x, y and height"),
    AW_NUMBER("count", line, count, "", "how many"),
    AW_TEXT("unit", line, unit, "of them; of an anchor what holds it"),
    AW_NUMBER("price", line, price, "currency", "of each"),
    AW_NUMBER("amount", line, amount, "currency", "of all"),
    AW_MAY("set", TEXT, get_set, 0, NULL, "what was set in the scenario"),
};
static const aw_shape shape = AW_SHAPE("schedule_line", "A line of the schedule", members);

static double cable_of(const aw_scenario *s, const double at[3])
{
    const double *c = s->prices.cabinet;
    return s->prices.currency == NULL
               ? (double)NAN
               : fabs(at[0] - c[0]) + fabs(at[1] - c[1]) + fabs(at[2] - c[2]);
}

static line anchor_line(const aw_scenario *s, size_t i)
{
    const double none = (double)NAN, *at = s->anchors[i].at;
    const double turn = s->plan.turn * M_PI / 180;
    const aw_mount *mount = s->prices.currency != NULL ? aw_mount_at(&s->prices, at[2]) : NULL;
    return (line){"anchor",
                  s->anchors[i].name,
                  mount != NULL ? mount->name : NULL,
                  at[0],
                  at[1],
                  at[2],
                  s->plan.east + cos(turn) * at[0] - sin(turn) * at[1],
                  s->plan.north + sin(turn) * at[0] + cos(turn) * at[1],
                  cable_of(s, at),
                  1,
                  none,
                  s->prices.currency != NULL ? aw_anchor_price(s, at) : none};
}

bool aw_schedule_csv(const aw_scenario *s, aw_text *out)
{
    const double none = (double)NAN;
    aw_bill bill = {0};
    const bool priced = aw_has_prices(s), fine = !priced || aw_bill_make(&bill, s);
    for (size_t i = 0; fine && i < s->n_anchors; i++) {
        const line l = anchor_line(s, i);
        const aw_subject row = {&l, s, i, 0};
        if (i == 0)
            aw_csv_head(&shape, &row, out);
        aw_csv_row(&shape, &row, out);
    }
    for (size_t i = 0; fine && i < bill.n; i++) {
        const aw_bill_line *b = &bill.lines[i];
        const line l = {"bill", b->what, b->unit, none,     none,     none,
                        none,   none,    none,    b->count, b->price, b->amount};
        aw_csv_row(&shape, &(aw_subject){&l, s, i, 0}, out);
    }
    aw_bill_free(&bill);
    return fine && !out->failed;
}
