/* Layouts side by side, for programs. */
#include <stdlib.h>

#include "anchorwise.h"
#include "report/sentences.h"
#include "report/told.h"
#include "report/words.h"

/* One of the comparisons, of the first layout with layout k. */
typedef aw_told_comparisons told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

static const aw_comparison *comparison_of(const aw_subject *s)
{
    return &told_of(s)->comparisons[s->k - 1];
}

/* --- a place --- */

AW_GETTER(get_area_name)
{
    v->text = aw_area_name(&told_of(s)->scenarios[0], s->i);
    return true;
}

static const char *const letters[] = {"a", "b", NULL};

AW_GETTER(get_better)
{
    const aw_area_result *r = s->of;
    v->text = r->ranking == AW_B_BETTER ? letters[1] : r->ranking == AW_B_WORSE ? letters[0] : NULL;
    return true;
}

AW_GETTER(get_area_sentence)
{
    aw_area_sentence(s->of, aw_area_name(&told_of(s)->scenarios[0], s->i), AW_METRES, &v->room);
    v->text = v->room.at;
    return true;
}

/* Of a and of b; the floor has no need. */
AW_GETTER(get_area_met)
{
    if (s->i == 0 || i > 1)
        return false;
    v->truth = aw_verdict_truth(comparison_of(s)->judged[i][s->i - 1].verdict);
    return true;
}

AW_GETTER(get_told_apart)
{
    v->truth = ((const aw_area_result *)s->of)->ranking != AW_NOT_TOLD_APART;
    return true;
}

static const aw_member area_members[] = {
    AW_GOT("name", TEXT, get_area_name, "", "\"floor\", or the zone's name"),
    AW_COUNT("cells", aw_area_result, cells, "", "cells that a tag can be in"),
    AW_NUMBERS("p50_m", aw_area_result, p50, 2, "m", "p50 of a and b"),
    AW_NUMBERS("p95_m", aw_area_result, p95, 2, "m", "p95 of a and b"),
    AW_NUMBERS("share_meeting", aw_area_result, share_meeting, 2, "share",
               "cells of a and b whose p95 is within the need"),
    AW_NUMBER("p95_difference_m", aw_area_result, difference, "m", "p95 of b less that of a"),
    AW_NUMBER("p95_difference_low_m", aw_area_result, difference_low, "m",
              "lower end of its 95 % simulation interval"),
    AW_NUMBER("p95_difference_high_m", aw_area_result, difference_high, "m", "upper end"),
    AW_COUNT("cells_better", aw_area_result, better, "", "cells in which b is better"),
    AW_COUNT("cells_worse", aw_area_result, worse, "", "cells in which b is worse"),
    AW_WORD("better", get_better, letters, "the better layout; null: neither is"),
    AW_NUMBERS("odds", aw_area_result, odds, 2, "share",
               "installations of a and b that meet the need of p95"),
    AW_NUMBERS("odds_low", aw_area_result, odds_low, 2, "share",
               "lower ends of the 95 % intervals of the odds"),
    AW_NUMBERS("odds_high", aw_area_result, odds_high, 2, "share", "upper ends"),
    AW_GOT("verdict", TEXT, get_area_sentence, "", "the same in a sentence"),
    AW_MAY("met", TRUTHS, get_area_met, 0, NULL,
           "whether a and b meet the zone's need; null: undecided, or none is stated"),
    AW_GOT("told_apart", TRUTH, get_told_apart, "",
           "whether these draws tell the layouts' p95 apart"),
    AW_COUNT("cells_near", aw_area_result, near, "", "cells that differ by less than 15 %"),
    AW_NUMBERS(
        "chance", aw_area_result, chance, 2, "share",
        "sites that meet what is asked of errors; null: none is asked, or another part is not "
        "met"),
};
static const aw_shape area_shape =
    AW_SHAPE("compared_place", "Two layouts at one place", area_members);

/* --- a comparison --- */

AW_GETTER(get_file)
{
    v->text = told_of(s)->files[i == 0 ? 0 : s->k];
    return true;
}

AW_GETTER(get_prices)
{
    const aw_scenario *list = told_of(s)->scenarios;
    v->own[0] = aw_layout_price(&list[0]);
    v->own[1] = aw_layout_price(&list[s->k]);
    v->numbers = v->own;
    v->n = 2;
    return true;
}

AW_GETTER(get_area)
{
    if (i > told_of(s)->scenarios[0].n_zones)
        return false;
    v->object = (aw_subject){aw_compared_area(comparison_of(s), i), s->with, i, s->k};
    return true;
}

AW_GETTER(get_sentence)
{
    aw_whole_sentence(comparison_of(s), &told_of(s)->scenarios[0], &v->room);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_met)
{
    if (i > 1)
        return false;
    v->truth = aw_verdict_truth(comparison_of(s)->verdict[i]);
    return true;
}

AW_GETTER(get_settings)
{
    v->object = (aw_subject){&told_of(s)->scenarios[0].study, s->with, 0, 0};
    return true;
}

AW_GETTER(get_difference)
{
    const aw_mismatches *all = &told_of(s)->mismatches[s->k - 1];
    if (i >= all->n)
        return false;
    v->object.of = &all->list[i];
    return true;
}

AW_GETTER(get_what)
{
    v->text = ((const aw_mismatch *)s->of)->what;
    return true;
}

AW_GETTER(get_value)
{
    const aw_mismatch *m = s->of;
    v->text = m->unit == NULL ? m->words[i] : NULL;
    v->number = m->number[i];
    return true;
}

static const aw_member difference_members[] = {
    AW_GOT("what", TEXT, get_what, "", "what differs"),
    AW_TEXT("unit", aw_mismatch, unit, "of the numbers; null: a and b are words"),
    AW_WHICH("a", EITHER, get_value, 0, "", "in a"),
    AW_WHICH("b", EITHER, get_value, 1, "", "in b"),
};
static const aw_shape difference_shape =
    AW_SHAPE("difference", "What differs beside the anchors", difference_members);

static const aw_member comparison_members[] = {
    AW_WHICH("a", TEXT, get_file, 0, "", "file of layout a"),
    AW_WHICH("b", TEXT, get_file, 1, "", "file of layout b"),
    AW_GOT("price", NUMBERS, get_prices, "currency", "price of a and b; null without prices"),
    AW_LIST("places", get_area, &area_shape, "the floor, then every zone"),
    AW_GOT("verdict", TEXT, get_sentence, "", "the whole in a sentence"),
    AW_GOT("met", TRUTHS, get_met, "",
           "whether a and b meet every need; null: undecided, or none is stated"),
    AW_OBJECT("settings", get_settings, &aw_settings_shape, "how both were drawn"),
    AW_LIST("differences", get_difference, &difference_shape, "what differs beside the anchors"),
};
static const aw_shape comparison_shape =
    AW_SHAPE("comparison", "Layout a against layout b", comparison_members);

AW_GETTER(get_comparison)
{
    const told *t = s->of;
    if (i + 1 >= t->n)
        return false;
    v->object = (aw_subject){&t->comparisons[i], t, 0, i + 1};
    return true;
}

static const aw_member members[] = {
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),
    AW_LIST("comparisons", get_comparison, &comparison_shape,
            "the first layout against each of the others"),
    AW_MAY("set", LIST, aw_get_change, 0, &aw_change_shape,
           "changes laid over every layout, in their order; left out without any"),
    AW_RUN_END,
};
const aw_shape aw_comparisons_shape = AW_SHAPE("compare", "Layouts side by side", members);

bool aw_told_comparisons_make(told *t, const aw_comparison comparisons[],
                              const aw_scenario scenarios[], const char *const files[], size_t n)
{
    *t = (told){{&scenarios[0], files[0]},
                comparisons,
                scenarios,
                files,
                calloc(n, sizeof *t->mismatches),
                n};
    bool done = t->mismatches != NULL;
    for (size_t k = 1; done && k < n; k++)
        done = aw_mismatches_find(&t->mismatches[k - 1], &scenarios[0], &scenarios[k]);
    return done;
}

void aw_told_comparisons_free(told *t)
{
    for (size_t k = 1; t->mismatches != NULL && k < t->n; k++)
        aw_mismatches_free(&t->mismatches[k - 1]);
    free(t->mismatches);
}

void aw_comparisons_json(const aw_comparison comparisons[], const aw_scenario scenarios[],
                         const char *const files[], size_t n, aw_text *out)
{
    told t;
    if (aw_told_comparisons_make(&t, comparisons, scenarios, files, n))
        aw_document_json(&aw_comparisons_shape, &AW_DOCUMENT(t), out);
    else
        out->failed = true;
    aw_told_comparisons_free(&t);
}
