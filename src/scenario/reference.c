/* The scenario reference: the fields table as Markdown, so that page and program cannot disagree.
 */
#include <math.h>

#include "anchorwise/scenario.h"
#include "scenario/reader.h"

static void write_choices(const aw_field *field, FILE *out)
{
    for (const aw_choice *choice = field->choices; choice->text != NULL; choice++)
        fprintf(out, "%s%s", choice == field->choices ? "" : ", ", choice->text);
}

static void write_count(const aw_field *field, const char *noun, FILE *out)
{
    if (!isinf(field->range.high))
        fprintf(out, "%.0f to %.0f %s", field->range.low, field->range.high, noun);
    else if (field->range.low > 0)
        fprintf(out, "at least %.0f", field->range.low);
    else
        fputs("a list", out);
}

static void write_allowed(const aw_field *field, FILE *out)
{
    aw_scenario metric = {0};
    const aw_reader reader = {.scenario = &metric};
    switch (field->type) {
    case AW_FIELD_TEXT:
        write_count(field, "characters", out);
        break;
    case AW_FIELD_LIST:
        write_count(field, "of them", out);
        break;
    case AW_FIELD_POLYGON:
        write_count(field, "corners, simple, area > 0.01 m²", out);
        break;
    case AW_FIELD_PATH:
        write_count(field, "points", out);
        break;
    case AW_FIELD_CHOICE:
        write_choices(field, out);
        break;
    case AW_FIELD_VERSION:
        fputs("1", out);
        break;
    case AW_FIELD_FLAG:
        fputs("true, false", out);
        break;
    case AW_FIELD_LAYERS:
        write_count(field, "leaves", out);
        break;
    case AW_FIELD_PINS:
        fputs("two of four", out);
        break;
    case AW_FIELD_BETWEEN:
        fprintf(out, "two in %s", aw_range_shown(&reader, field).text);
        break;
    case AW_FIELD_MATERIAL:
    case AW_FIELD_TAG:
    case AW_FIELD_START:
    case AW_FIELD_BASE:
        fputs("a name", out);
        break;
    case AW_FIELD_BLOCK:
    case AW_FIELD_MATERIALS:
        fputs("a mapping", out);
        break;
    default:
        fputs(field->to_ceiling ? "[0, the ceiling]" : aw_range_shown(&reader, field).text, out);
        break;
    }
}

static void write_block(aw_block_id block, FILE *out)
{
    fprintf(out, "\n## %s\n\n", aw_blocks[block].heading);
    fputs("| key | unit | default | allowed | meaning |\n|---|---|---|---|---|\n", out);
    for (size_t i = 0; i < aw_fields_n; i++) {
        const aw_field *field = &aw_fields[i];
        if (field->block != block)
            continue;
        fprintf(out, "| `%s` | %s | ", field->key,
                aw_field_is_length(field) ? "`units`"
                : field->unit != NULL     ? field->unit
                                          : "");
        fprintf(out, "%s | ", aw_field_standard(field).text);
        write_allowed(field, out);
        fprintf(out, " | %s |\n", field->help);
    }
}

static void write_materials(FILE *out)
{
    fputs(
        "\n## Built-in materials\n\n"
        "Without `radio`, loss_db and delay of each obstacle crossed, whatever its size: the slab "
        "formula of ITU-R P.2040-3, channel 5, normal incidence, usual thickness. With `radio`, "
        "the slab formula at the channel, the true thickness and the angle, with relative "
        "permittivity a and conductivity c·f^d in S/m, f in GHz (Table 3 of P.2040-3, 08/2023); "
        "thickness is that of a wall that gives none. A row given in `materials` replaces the "
        "built-in row whole; its missing keys are 0.\n\n"
        "A material by permittivity or layers, or an opaque one, has no loss of its own without "
        "`radio`: there it needs loss_db beside, and its lack is an error. One by loss_db has "
        "that loss with `radio` too, whatever the angle. Nothing goes through metal. A channel "
        "outside the GHz that the table gives its figures for gets a warning.\n\n"
        "| material | loss_db | delay, m | a | c, S/m | d | GHz | thickness, m |\n"
        "|---|---|---|---|---|---|---|---|\n",
        out);
    for (size_t i = 0; i < aw_materials_built_in_n; i++) {
        const aw_material *m = &aw_materials_built_in[i];
        const aw_dielectric *d = &m->dielectric;
        fprintf(out, "| %s | %g | %g | %g | %g | %g | ", m->name, m->loss_db, m->delay, d->a, d->c,
                d->d);
        if (m->highest > 0)
            fprintf(out, "%g to %g | ", m->lowest / 1e9, m->highest / 1e9);
        else
            fputs("– | ", out);
        if (m->default_thickness > 0)
            fprintf(out, "%g |\n", m->default_thickness);
        else
            fputs("– |\n", out);
    }
    fputs("\n| stands for what is built | which is |\n|---|---|\n", out);
    for (size_t i = 0; i < aw_materials_built_in_n; i++)
        if (aw_material_note(i) != NULL)
            fprintf(out, "| %s | %s |\n", aw_materials_built_in[i].name, aw_material_note(i));
}

static void write_starts(FILE *out)
{
    fputs("\n## Starting points of `ranging`\n\n"
          "Terms, and where they come from. For a bid take `not measured`: no start is a "
          "measurement of your site, and `anchorwise help starts` tells which share of sites is "
          "expected to be no worse than each. A key given beside `start` overrides.\n\n"
          "| start | sigma | spot_sigma | tail_share | tail_sigma | delay_sigma | "
          "measured | source |\n|---|---|---|---|---|---|---|---|\n",
          out);
    for (size_t i = 0; i < aw_starts_n; i++) {
        const aw_start *t = &aw_starts[i];
        fprintf(out, "| %s | %g m | %g m | %g | %g m | %g m | %s | %s |\n", t->name, t->sigma,
                t->spot_sigma, t->tail_share, t->tail_sigma, t->delay_sigma, t->measured,
                t->source);
    }
}

void aw_scenario_reference_write(FILE *out)
{
    fputs("# Scenario reference\n\n"
          "A scenario is one YAML file that describes one floor and one layout. Lengths are in "
          "`units`; defaults and limits stand here in metres whatever the units, and a key that "
          "ends in a unit always has that unit. x and y lie on the floor, z is up from it. A key "
          "that is not listed here is an error. Numbers are plain decimal ones; YAML aliases "
          "work. The file is UTF-8. Names and titles hold no control and no other invisible "
          "character: no mark or override of direction, no space without width; the joiners "
          "U+200C and U+200D only inside words of scripts that are written with them.\n",
          out);
    for (int block = 0; block < AW_BLOCKS; block++)
        write_block((aw_block_id)block, out);
    write_materials(out);
    write_starts(out);
    fputs("\n## Limits\n\n"
          "Every coordinate lies within ±100 000 m. Corners repeated within 1 mm are dropped. A "
          "file holds at most 16 MiB, one document, a million values (aliases counted in full) "
          "and lists and mappings 32 deep. A floor has at most 4 000 000 cells, and cells × draws "
          "× anchors is at most 1e12.\n",
          out);
}
