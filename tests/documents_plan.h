/* What import prints, line by line, of a plan made by hand. */
#ifndef AW_TESTS_DOCUMENTS_PLAN_H
#define AW_TESTS_DOCUMENTS_PLAN_H

#include "documents_site.h"
#include "report/plan.h"

static aw_plan_layer plan_layers[] = {
    {"WALLS", false, {1, 2, 3, 4, 5}, 6, 7, {10, 20}, {30, 45}},
    {"OFF", true, {0, 0, 0, 0, 0}, 9, 0, {1, 1}, {0, 0}},
};
static const aw_attribute plan_attributes[] = {{"NAME", "A1"}, {"H", "6"}};
static aw_insert plan_inserts[] = {{"UWB", 0, {0, 0}, "1", plan_attributes, 2},
                                   {"UWB", 0, {1, 0}, "2", plan_attributes, 1},
                                   {"DOOR", 1, {2, 0}, "3", NULL, 0}};
static aw_left_out plan_left[] = {{"WALLS", "jambs", 3, 1.25}, {"", "far", 2, 0.5}};

static void say_import(aw_text *out)
{
    aw_errors errors = {0};
    aw_rules rules;
    aw_plan plan = {.version = "AC1015",
                    .header_unit = 1,
                    .base = {100, 200},
                    .layers = plan_layers,
                    .n_layers = 2,
                    .inserts = plan_inserts,
                    .n_inserts = 3};
    const aw_unit_verdict verdict = {
        AW_PLAN_CM, {{"doors", {5, 2, 4, 1, -3}}, {"header", {0, 0, 0, 3, 0}}}, 2, {0}, 1};
    aw_made made = {.unit = AW_PLAN_MM,
                    .outline_is = "hull",
                    .frame = {.origin = {3, 4}, .turn = 12.5},
                    .counts = {0, 0, 0, 11, 12, 13, 14, 15, 16, 17},
                    .left = plan_left,
                    .n_left = 2};
    ck_assert(aw_rules_create(&rules, &errors));
    ck_assert(aw_rules_add(&rules, "WALLS=wall: {material: brick}", &errors));
    ck_assert(aw_rules_add(&rules, "OFF=ignore", &errors));
    ck_assert(aw_rules_add(&rules, "UWB=anchor: {height: 2}", &errors));
    rules.list[0].why = "word wall";
    rules.list[2].of_blocks = true;
    aw_errors_add(&plan.notes, AW_WARNING, 0, 0, "of the plan");
    aw_errors_add(&made.notes, AW_WARNING, 0, 0, "of what was made");
    aw_plan_json(&(aw_told_plan){"a.dxf", &plan, &verdict, &rules, false, &made}, out);
    aw_errors_free(&plan.notes);
    aw_errors_free(&made.notes);
    aw_rules_free(&rules);
    aw_errors_free(&errors);
}

static void hold_plan_layers(document *d)
{
    text(d, "layers.0.name", "WALLS");
    text(d, "layers.1.name", "OFF");
    truth(d, "layers.0.hidden", 0);
    truth(d, "layers.1.hidden", 1);
    number(d, "layers.0.points", 1);
    number(d, "layers.0.texts", 2);
    number(d, "layers.0.lines", 3);
    number(d, "layers.0.rings", 4);
    number(d, "layers.0.areas", 5);
    number(d, "layers.0.hidden_pieces", 6);
    number(d, "layers.0.blocks", 7);
    numbers(d, "layers.0.low", (const double[]){110, 220}, 2);
    numbers(d, "layers.0.high", (const double[]){130, 245}, 2);
    number(d, "layers.1.low", (double)NAN);
    text(d, "layers.0.role", "wall");
    text(d, "layers.1.role", "ignore");
    text(d, "layers.0.why", "word wall");
    text(d, "layers.1.why", NULL);
    text(d, "blocks.0.name", "UWB");
    text(d, "blocks.1.name", "DOOR");
    number(d, "blocks.0.count", 2);
    number(d, "blocks.1.count", 1);
    text(d, "blocks.0.attributes.0", "NAME");
    text(d, "blocks.0.attributes.1", "H");
    text(d, "blocks.0.role", "anchor");
    text(d, "blocks.1.role", NULL);
    length(d, "blocks.1.attributes", 0);
}

static void hold_import(document *d)
{
    text(d, "anchorwise", AW_VERSION);
    number(d, "format", 1);
    text(d, "file", "a.dxf");
    text(d, "form", "dxf");
    text(d, "version", "AC1015");
    text(d, "unit", "cm");
    text(d, "header_unit", "in");
    text(d, "witnesses.0.says", "doors");
    text(d, "witnesses.1.says", "header");
    number(d, "witnesses.0.mm", 5);
    number(d, "witnesses.0.cm", 2);
    number(d, "witnesses.0.m", 4);
    number(d, "witnesses.0.in", 1);
    number(d, "witnesses.0.ft", -3);
    number(d, "witnesses.1.in", 3);
    hold_plan_layers(d);
    text(d, "notes.0", "of the plan");
    text(d, "notes.1", "of what was made");
    text(d, "made.unit", "mm");
    numbers(d, "made.origin_m", (const double[]){3, 4}, 2);
    number(d, "made.turn_deg", 12.5);
    text(d, "made.outline", "hull");
    number(d, "made.walls", 11);
    number(d, "made.obstacles", 12);
    number(d, "made.zones", 13);
    number(d, "made.levels", 14);
    number(d, "made.anchors", 15);
    number(d, "made.candidates", 16);
    number(d, "made.forbidden", 17);
    text(d, "made.left_out.0.source", "WALLS");
    text(d, "made.left_out.0.what", "jambs");
    number(d, "made.left_out.0.count", 3);
    number(d, "made.left_out.0.length_m", 1.25);
    text(d, "made.left_out.1.what", "far");
    number(d, "made.left_out.1.count", 2);
    number(d, "made.left_out.1.length_m", 0.5);
}

#endif
