/* A plan that was listed or imported, for programs. Lengths of the plan are in its own unit. */
#include "report/plan.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "report/run.h"

static const aw_told_plan *told_of(const aw_subject *s)
{
    return s->with;
}

static const aw_plan *plan_of(const aw_subject *s)
{
    return told_of(s)->plan;
}

/* --- witnesses of the unit --- */

AW_GETTER(get_says)
{
    v->text = ((const aw_unit_witness *)s->of)->says;
    return true;
}

AW_GETTER(get_points)
{
    v->number = ((const aw_unit_witness *)s->of)->points[i];
    return true;
}

static const aw_member witness_members[] = {
    AW_GOT("says", TEXT, get_says, "", "what it says"),
    AW_WHICH("mm", NUMBER, get_points, AW_PLAN_MM, "", "how much that speaks for mm"),
    AW_WHICH("cm", NUMBER, get_points, AW_PLAN_CM, "", "for cm"),
    AW_WHICH("m", NUMBER, get_points, AW_PLAN_M, "", "for m"),
    AW_WHICH("in", NUMBER, get_points, AW_PLAN_IN, "", "for inches"),
    AW_WHICH("ft", NUMBER, get_points, AW_PLAN_FT, "", "for feet"),
};
static const aw_shape witness_shape =
    AW_SHAPE("witness", "A witness of the unit of a plan", witness_members);

AW_GETTER(get_witness)
{
    if (i >= told_of(s)->verdict->n)
        return false;
    v->object = (aw_subject){&told_of(s)->verdict->witnesses[i], s->with, i, 0};
    return true;
}

/* --- layers --- */

static const aw_plan_layer *layer_of(const aw_subject *s)
{
    return s->of;
}

AW_GETTER(get_count)
{
    v->count = layer_of(s)->counts[i];
    return true;
}

AW_GETTER(get_corner)
{
    const aw_plan_layer *l = layer_of(s);
    const aw_point corner = i == 0 ? l->low : l->high;
    if (l->low.x > l->high.x)
        return false;
    v->own[0] = corner.x + plan_of(s)->base[0];
    v->own[1] = corner.y + plan_of(s)->base[1];
    v->numbers = v->own;
    v->n = 2;
    return true;
}

static const aw_rule *rule_of(const aw_subject *s)
{
    return aw_rules_of_layer(told_of(s)->rules, layer_of(s)->name);
}

AW_GETTER(get_role)
{
    const aw_rule *rule = rule_of(s);
    v->text = rule != NULL ? aw_role_names[rule->role] : "";
    return *v->text != '\0';
}

AW_GETTER(get_why)
{
    const aw_rule *rule = rule_of(s);
    v->text = rule != NULL ? rule->why : "";
    return *v->text != '\0';
}

static const aw_member layer_members[] = {
    AW_TEXT("name", aw_plan_layer, name, "its name"),
    AW_TRUTH("hidden", aw_plan_layer, hidden, "frozen or off"),
    AW_WHICH("lines", COUNT, get_count, AW_PIECE_LINE, "", "open lines, blocks taken apart"),
    AW_WHICH("rings", COUNT, get_count, AW_PIECE_RING, "", "closed lines"),
    AW_WHICH("areas", COUNT, get_count, AW_PIECE_AREA, "", "filled areas"),
    AW_WHICH("texts", COUNT, get_count, AW_PIECE_TEXT, "", "texts"),
    AW_WHICH("points", COUNT, get_count, AW_PIECE_POINT, "", "points"),
    AW_COUNT("blocks", aw_plan_layer, n_inserts, "", "references of blocks"),
    AW_COUNT("hidden_pieces", aw_plan_layer, n_hidden, "", "what is not shown"),
    AW_WHICH("low", NUMBERS, get_corner, 0, "", "lower left of what is shown, in the plan's unit"),
    AW_WHICH("high", NUMBERS, get_corner, 1, "", "upper right"),
    AW_GOT("role", TEXT, get_role, "", "what it becomes; null: no rule fits"),
    AW_GOT("why", TEXT, get_why, "", "the reason, of a guess"),
};
static const aw_shape layer_shape = AW_SHAPE("plan_layer", "A layer of a plan", layer_members);

AW_GETTER(get_layer)
{
    if (i >= plan_of(s)->n_layers)
        return false;
    v->object = (aw_subject){&plan_of(s)->layers[i], s->with, i, 0};
    return true;
}

/* --- blocks --- */

static const aw_insert *insert_of(const aw_subject *s)
{
    return s->of;
}

AW_GETTER(get_block_count)
{
    for (size_t k = 0; k < plan_of(s)->n_inserts; k++)
        v->count += strcmp(plan_of(s)->inserts[k].block, insert_of(s)->block) == 0;
    return true;
}

AW_GETTER(get_attribute)
{
    if (i >= insert_of(s)->n_attributes)
        return false;
    v->text = insert_of(s)->attributes[i].tag;
    return true;
}

AW_GETTER(get_block_role)
{
    const aw_rule *rule = aw_rules_of_block(told_of(s)->rules, insert_of(s)->block);
    v->text = rule != NULL ? aw_role_names[rule->role] : "";
    return *v->text != '\0';
}

static const aw_member block_members[] = {
    AW_TEXT("name", aw_insert, block, "its name"),
    AW_GOT("count", COUNT, get_block_count, "", "how often it stands outside other blocks"),
    AW_GOT("attributes", TEXTS, get_attribute, "", "tags of the attributes of the first"),
    AW_GOT("role", TEXT, get_block_role, "", "what it becomes; null: what its layers become"),
};
static const aw_shape block_shape = AW_SHAPE("plan_block", "A block of a plan", block_members);

/* The i-th reference whose block none before it has. */
AW_GETTER(get_block)
{
    const aw_plan *p = plan_of(s);
    size_t seen = 0;
    for (size_t k = 0; k < p->n_inserts; k++) {
        bool again = *p->inserts[k].block == '\0';
        for (size_t j = 0; !again && j < k; j++)
            again = strcmp(p->inserts[j].block, p->inserts[k].block) == 0;
        if (again || seen++ < i)
            continue;
        v->object = (aw_subject){&p->inserts[k], s->with, i, 0};
        return true;
    }
    return false;
}

/* --- what was made --- */

static const aw_made *made_of(const aw_subject *s)
{
    return told_of(s)->made;
}

AW_GETTER(get_made_count)
{
    v->count = made_of(s)->counts[i];
    return true;
}

AW_GETTER(get_origin)
{
    v->numbers = made_of(s)->frame.origin;
    v->n = 2;
    return true;
}

AW_GETTER(get_turn)
{
    v->number = made_of(s)->frame.turn;
    return true;
}

AW_GETTER(get_made_unit)
{
    v->text = aw_plan_unit_names[made_of(s)->unit];
    return true;
}

static const aw_member left_members[] = {
    AW_TEXT("source", aw_left_out, source, "layer or block; empty: of the whole plan"),
    AW_TEXT("what", aw_left_out, what, "what was left out"),
    AW_COUNT("count", aw_left_out, n, "", "how many"),
    AW_NUMBER("length_m", aw_left_out, length, "m", "of all together"),
};
static const aw_shape left_shape =
    AW_SHAPE("left_out", "What was left out of a plan", left_members);

AW_GETTER(get_left)
{
    if (i >= made_of(s)->n_left)
        return false;
    v->object = (aw_subject){&made_of(s)->left[i], s->with, i, 0};
    return true;
}

static const aw_member made_members[] = {
    AW_GOT("unit", TEXT, get_made_unit, "", "the unit that was taken"),
    AW_GOT("origin_m", NUMBERS, get_origin, "m", "of the plan, what becomes 0, 0"),
    AW_GOT("turn_deg", NUMBER, get_turn, "degrees", "by which the plan was turned back"),
    AW_TEXT("outline", aw_made, outline_is, "how the floor's outline was found; null: none was"),
    AW_WHICH("walls", COUNT, get_made_count, AW_ROLE_WALL, "", "how many"),
    AW_WHICH("obstacles", COUNT, get_made_count, AW_ROLE_OBSTACLE, "", "how many"),
    AW_WHICH("zones", COUNT, get_made_count, AW_ROLE_ZONE, "", "how many"),
    AW_WHICH("levels", COUNT, get_made_count, AW_ROLE_LEVEL, "", "how many"),
    AW_WHICH("anchors", COUNT, get_made_count, AW_ROLE_ANCHOR, "", "how many"),
    AW_WHICH("candidates", COUNT, get_made_count, AW_ROLE_CANDIDATES, "", "how many lines"),
    AW_WHICH("forbidden", COUNT, get_made_count, AW_ROLE_FORBIDDEN, "", "how many"),
    AW_LIST("left_out", get_left, &left_shape, "what was left out"),
};
static const aw_shape made_shape = AW_SHAPE("made", "What was made of a plan", made_members);

AW_GETTER(get_made)
{
    v->object = (aw_subject){made_of(s), s->with, 0, 0};
    return made_of(s) != NULL;
}

/* --- the whole --- */

AW_GETTER(get_form)
{
    v->text = plan_of(s)->form == AW_PLAN_DXF ? "dxf" : "geojson";
    return true;
}

AW_GETTER(get_version)
{
    v->text = plan_of(s)->version;
    return *v->text != '\0';
}

AW_GETTER(get_header)
{
    v->text = aw_plan_header_name(plan_of(s)->header_unit);
    return v->text != NULL;
}

AW_GETTER(get_unit)
{
    if (told_of(s)->verdict->unit == AW_PLAN_UNSURE)
        return false;
    v->text = aw_plan_unit_names[told_of(s)->verdict->unit];
    return true;
}

/* What is to be told of the plan, then of what was made. */
AW_GETTER(get_note)
{
    const aw_errors *notes = &plan_of(s)->notes;
    if (i >= notes->n && made_of(s) != NULL) {
        i -= notes->n;
        notes = &made_of(s)->notes;
    }
    if (i >= notes->n)
        return false;
    v->text = notes->list[i].text;
    return true;
}

static const char *const forms[] = {"dxf", "geojson", NULL};

static const aw_member members[] = {
    AW_GOT("anchorwise", TEXT, aw_get_version, "", "version of the program"),
    AW_TEXT("file", aw_told_plan, file, "the plan, as given"),
    AW_WORD("form", get_form, forms, "what kind of file it is"),
    AW_GOT("version", TEXT, get_version, "", "of a DXF, as its header has it"),
    AW_GOT("unit", TEXT, get_unit, "", "the unit that the witnesses name; null: unsure"),
    AW_GOT("header_unit", TEXT, get_header, "", "that of the header; null: it names none"),
    AW_LIST("witnesses", get_witness, &witness_shape, "what speaks for a unit"),
    AW_LIST("layers", get_layer, &layer_shape, "every layer"),
    AW_LIST("blocks", get_block, &block_shape, "every block that is referred to"),
    AW_GOT("notes", TEXTS, get_note, "", "what to look at"),
    AW_MAY("made", OBJECT, get_made, 0, &made_shape, "left out if the plan was only listed"),
    AW_RUN_END,
};
const aw_shape aw_plan_shape = AW_SHAPE("import", "A plan, and what was made of it", members);

void aw_plan_json(const aw_told_plan *told, aw_text *out)
{
    aw_document_json(&aw_plan_shape, &(aw_subject){told, told, 0, 0}, out);
}
