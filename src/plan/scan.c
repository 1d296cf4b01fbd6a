#include "plan/scan.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistr.h>

#include "plan/grow.h"
#include "plan/letters.h"
#include "plan/pairs.h"

/* What holds entities: the drawing itself, or a block. */
typedef struct holder {
    const char *name; /* bytes of the file; of the drawing none */
    size_t name_length;
    size_t first, n;         /* of the references made in it */
    double entities, bulges; /* with all that its references bring once it is weighed */
    enum { UNSEEN, OPEN, WEIGHED } state;
} holder;

typedef struct reference {
    const char *name;
    size_t length;
    double times;
    int line;
} reference;

typedef struct entity {
    char type[32];
    bool invisible;
    const char *handle, *name, *path;
    size_t handle_length, name_length, path_length;
    double columns, rows, bulges;
    int flags, colour, line;
} entity;

enum section { NO_SECTION, HEADER, TABLES, BLOCKS, ENTITIES, OTHER };

typedef struct scanning {
    aw_dxf_scan *scan;
    aw_errors *errors;
    aw_dxf_reader in;
    enum section section;
    bool failed, is_utf8;
    size_t n_sections, n_entity_sections;
    char variable[32];
    entity now; /* the one that is being read; no type: none */
    holder *holders;
    size_t n_holders, room_holders;
    reference *references;
    size_t n_references, room_references;
    size_t room_layers, room_blocks, room_invisible;
    size_t into; /* the holder of the next entity */
} scanning;

static bool complain(aw_errors *errors, int line, const char *what)
{
    aw_errors_add(errors, AW_ERROR, line, 1, "%s", what);
    return false;
}

static bool run_out(scanning *s)
{
    aw_errors_add(s->errors, AW_ERROR, 0, 0, "out of memory for the plan");
    s->failed = true;
    return false;
}

/* --- what an entity was --- */

static void count_type(aw_dxf_scan *scan, const char *type)
{
    for (size_t i = 0; i < scan->n_types; i++)
        if (strcmp(scan->types[i].type, type) == 0) {
            scan->types[i].n++;
            return;
        }
    if (scan->n_types < AW_DXF_TYPES) {
        aw_dxf_count *c = &scan->types[scan->n_types++];
        snprintf(c->type, sizeof c->type, "%s", type);
        c->n = 1;
    }
}

/* Whether a reference to a block: dimensions have one for what they look like. */
static bool is_reference(const entity *e)
{
    return (strcmp(e->type, "INSERT") == 0 || strcmp(e->type, "DIMENSION") == 0) && e->name != NULL;
}

static bool add_entity(scanning *s)
{
    const entity *e = &s->now;
    holder *h = &s->holders[s->into];
    const bool part = strcmp(e->type, "VERTEX") == 0 || strcmp(e->type, "SEQEND") == 0 ||
                      strcmp(e->type, "ATTRIB") == 0;
    h->bulges += e->bulges;
    h->entities += !part;
    if (s->into == 0 && !part) {
        s->scan->n_entities++;
        count_type(s->scan, e->type);
        s->scan->has_handles |= e->handle != NULL;
        s->scan->has_inserts |= strcmp(e->type, "INSERT") == 0;
    }
    if (e->invisible && e->handle != NULL) {
        if (!aw_grow(&s->scan->invisible, s->scan->n_invisible, &s->room_invisible,
                     sizeof *s->scan->invisible))
            return run_out(s);
        const char *handle = aw_arena_copy_text(s->scan->memory, e->handle, e->handle_length);
        if (handle == NULL)
            return run_out(s);
        s->scan->invisible[s->scan->n_invisible++] = handle;
    }
    if (!is_reference(e))
        return true;
    if (!aw_grow(&s->references, s->n_references, &s->room_references, sizeof *s->references))
        return run_out(s);
    s->references[s->n_references++] =
        (reference){e->name, e->name_length, e->columns * e->rows, e->line};
    h->n++;
    return true;
}

static const char *decoded(scanning *s, const char *bytes, size_t length)
{
    const char *text = aw_letters_decode(s->scan->memory, bytes, length, s->scan->encoding);
    if (text == NULL)
        run_out(s);
    return text;
}

static bool begin_holder(scanning *s, const entity *e)
{
    if (!aw_grow(&s->holders, s->n_holders, &s->room_holders, sizeof *s->holders))
        return run_out(s);
    s->holders[s->n_holders] =
        (holder){.name = e->name, .name_length = e->name_length, .first = s->n_references};
    s->into = s->n_holders++;
    return true;
}

static bool add_block(scanning *s)
{
    const entity *e = &s->now;
    aw_dxf_scan *scan = s->scan;
    if (e->name == NULL)
        return begin_holder(s, e);
    if (!aw_grow(&scan->blocks, scan->n_blocks, &s->room_blocks, sizeof *scan->blocks))
        return run_out(s);
    aw_dxf_block *b = &scan->blocks[scan->n_blocks++];
    b->name = decoded(s, e->name, e->name_length);
    b->path = (e->flags & 4) ? decoded(s, e->path != NULL ? e->path : "", e->path_length) : NULL;
    return !s->failed && begin_holder(s, e);
}

static bool add_layer(scanning *s)
{
    const entity *e = &s->now;
    aw_dxf_scan *scan = s->scan;
    if (e->name == NULL)
        return true;
    if (!aw_grow(&scan->layers, scan->n_layers, &s->room_layers, sizeof *scan->layers))
        return run_out(s);
    scan->layers[scan->n_layers].name = decoded(s, e->name, e->name_length);
    scan->layers[scan->n_layers++].hidden = (e->flags & 1) || e->colour < 0;
    return !s->failed;
}

/* What was being read has ended. */
static bool close_entity(scanning *s)
{
    bool fine = true;
    const char *type = s->now.type;
    if (*type == '\0')
        return true;
    if (s->section == TABLES)
        fine = strcmp(type, "LAYER") != 0 || add_layer(s);
    else if (s->section == BLOCKS && strcmp(type, "BLOCK") == 0)
        fine = add_block(s);
    else if (s->section == BLOCKS && strcmp(type, "ENDBLK") == 0)
        s->into = 0;
    else if (s->section == ENTITIES || (s->section == BLOCKS && s->into != 0))
        fine = add_entity(s);
    s->now = (entity){.columns = 1, .rows = 1};
    return fine;
}

static void take_value(entity *e, const aw_dxf_pair *p)
{
    switch (p->code) {
    case 1:
        e->path = p->value, e->path_length = p->length;
        break;
    case 2:
        if (e->name == NULL)
            e->name = p->value, e->name_length = p->length;
        break;
    case 5:
        e->handle = p->value, e->handle_length = p->length;
        break;
    case 42:
        e->bulges += strcmp(e->type, "INSERT") != 0 && aw_dxf_number(p) != 0;
        break;
    case 60:
        e->invisible = aw_dxf_whole(p) == 1;
        break;
    case 62:
        e->colour = aw_dxf_whole(p);
        break;
    case 70:
        e->flags = aw_dxf_whole(p);
        if (strcmp(e->type, "INSERT") == 0 && e->flags > 1)
            e->columns = aw_dxf_number(p);
        break;
    case 71:
        if (strcmp(e->type, "INSERT") == 0 && aw_dxf_whole(p) > 1)
            e->rows = aw_dxf_number(p);
        break;
    default:
        break;
    }
}

/* --- sections --- */

static void take_variable(scanning *s, const aw_dxf_pair *p)
{
    if (p->code == 9)
        aw_dxf_word(p, s->variable);
    else if (p->code == 1 && strcmp(s->variable, "$ACADVER") == 0)
        aw_dxf_word(p, s->scan->version);
    else if (p->code == 3 && strcmp(s->variable, "$DWGCODEPAGE") == 0)
        aw_dxf_word(p, s->scan->code_page);
    else if (p->code == 70 && strcmp(s->variable, "$INSUNITS") == 0)
        s->scan->unit = aw_dxf_whole(p);
}

/* Texts of the tables come behind the header, which may name the code page. */
static void choose_encoding(aw_dxf_scan *scan, bool is_utf8)
{
    const char *digits = strpbrk(scan->code_page, "0123456789");
    const bool ansi = strncasecmp(scan->code_page, "ANSI_", 5) == 0,
               dos = strncasecmp(scan->code_page, "DOS", 3) == 0;
    if (is_utf8)
        snprintf(scan->encoding, sizeof scan->encoding, "UTF-8");
    else if ((ansi || dos) && digits != NULL && strspn(digits, "0123456789") == strlen(digits))
        snprintf(scan->encoding, sizeof scan->encoding, "CP%.8s", digits);
    else
        snprintf(scan->encoding, sizeof scan->encoding, "CP1252");
}

static void begin_section(scanning *s, const aw_dxf_pair *p)
{
    static const struct {
        const char *name;
        enum section section;
    } known[] = {
        {"HEADER", HEADER}, {"TABLES", TABLES}, {"BLOCKS", BLOCKS}, {"ENTITIES", ENTITIES}};
    s->section = OTHER;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (aw_dxf_is(p, known[i].name))
            s->section = known[i].section;
    if (s->n_sections++ == 0)
        s->scan->has_header = s->section == HEADER;
    if (s->section == ENTITIES) {
        s->holders[0].first = s->n_references;
        s->n_entity_sections++;
    }
    choose_encoding(s->scan, s->is_utf8);
    s->into = 0;
}

static bool take_pair(scanning *s, const aw_dxf_pair *p, bool *named)
{
    if (p->code == 999)
        return true;
    if (p->code == 0) {
        if (!close_entity(s))
            return false;
        *named = aw_dxf_is(p, "SECTION");
        if (aw_dxf_is(p, "ENDSEC") || aw_dxf_is(p, "EOF"))
            s->section = NO_SECTION;
        else if (!*named) {
            aw_dxf_word(p, s->now.type);
            s->now.line = p->line;
        }
        s->scan->ended = aw_dxf_is(p, "EOF");
    } else if (*named) {
        if (p->code == 2)
            begin_section(s, p);
        *named = false;
        s->variable[0] = '\0';
    } else if (s->section == HEADER) {
        take_variable(s, p);
    } else {
        take_value(&s->now, p);
    }
    return true;
}

/* --- how far it expands --- */

static int compare_holders(const void *a, const void *b)
{
    const holder *h = *(holder *const *)a, *k = *(holder *const *)b;
    const size_t n = h->name_length < k->name_length ? h->name_length : k->name_length;
    const int by = strncasecmp(h->name, k->name, n);
    return by != 0 ? by : (h->name_length > k->name_length) - (h->name_length < k->name_length);
}

static holder *find_holder(holder **sorted, size_t n, const reference *r)
{
    holder wanted = {.name = r->name, .name_length = r->length};
    holder *key = &wanted;
    holder **found = bsearch(&key, sorted, n, sizeof *sorted, compare_holders);
    return found != NULL ? *found : NULL;
}

static bool is_too_much(scanning *s, const holder *h, int line)
{
    if (h->entities > AW_PLAN_ENTITIES)
        return !complain(s->errors, line,
                         "the drawing expands to over 2 000 000 entities, which is the limit");
    if (h->bulges > AW_PLAN_ENTITIES)
        return !complain(s->errors, line,
                         "the drawing expands to over 2 000 000 curved edges, which is the limit");
    return false;
}

/* Adds what the references of a holder bring. */
static bool weigh(scanning *s, holder **sorted, size_t n, holder *h, int depth, int line)
{
    if (depth > AW_PLAN_DEPTH)
        return complain(s->errors, line, "blocks stand in blocks over 64 deep, which is the limit");
    h->state = OPEN;
    for (size_t i = 0; i < h->n; i++) {
        const reference *r = &s->references[h->first + i];
        holder *block = find_holder(sorted, n, r);
        if (block == NULL)
            continue;
        if (block->state == OPEN)
            return complain(s->errors, r->line, "a block holds itself");
        if (block->state == UNSEEN && !weigh(s, sorted, n, block, depth + 1, r->line))
            return false;
        h->entities += r->times * block->entities;
        h->bulges += r->times * block->bulges;
        /* A grid of nothing is walked through all the same. */
        if (block->entities < 1)
            h->entities += r->times;
        if (is_too_much(s, h, r->line))
            return false;
    }
    h->state = WEIGHED;
    return !is_too_much(s, h, line);
}

static bool weigh_all(scanning *s)
{
    const size_t n = s->n_holders - 1;
    holder **sorted = calloc(n + 1, sizeof *sorted);
    size_t named = 0;
    if (sorted == NULL)
        return run_out(s);
    for (size_t i = 1; i <= n; i++)
        if (s->holders[i].name != NULL)
            sorted[named++] = &s->holders[i];
    qsort(sorted, named, sizeof *sorted, compare_holders);
    const bool light = weigh(s, sorted, named, &s->holders[0], 0, 1);
    free(sorted);
    return light;
}

/* --- the whole --- */

static int compare_words(const void *a, const void *b)
{
    return strcasecmp(*(const char *const *)a, *(const char *const *)b);
}

bool aw_dxf_is_invisible(const aw_dxf_scan *scan, const char *handle)
{
    return scan->n_invisible > 0 && bsearch(&handle, scan->invisible, scan->n_invisible,
                                            sizeof *scan->invisible, compare_words) != NULL;
}

/* Comments may stand before the first section. */
static bool find_begin(scanning *s)
{
    aw_dxf_pair p = {.code = 999};
    int found = 1;
    while (found == 1 && p.code == 999) {
        s->scan->begin = s->in.at;
        found = aw_dxf_next(&s->in, &p);
    }
    return (found == 1 && p.code == 0 && aw_dxf_is(&p, "SECTION")) ||
           complain(s->errors, s->in.line, "not a text DXF: it does not begin with a section");
}

static bool read_pairs(scanning *s)
{
    aw_dxf_pair p;
    bool named = true;
    int found = 1;
    while (!s->scan->ended && (found = aw_dxf_next(&s->in, &p)) == 1)
        if (!take_pair(s, &p, &named))
            return false;
    if (found < 0)
        return complain(s->errors, s->in.line, "not a text DXF: no group code where one belongs");
    return close_entity(s);
}

static bool read_all(scanning *s)
{
    if (!begin_holder(s, &s->now) || !find_begin(s) || !read_pairs(s))
        return false;
    if (s->n_entity_sections != 1)
        return complain(s->errors, s->in.line,
                        s->n_entity_sections == 0 ? "the drawing has no ENTITIES section"
                                                  : "the drawing has two ENTITIES sections");
    qsort(s->scan->invisible, s->scan->n_invisible, sizeof *s->scan->invisible, compare_words);
    return weigh_all(s);
}

bool aw_dxf_scan_read(aw_dxf_scan *scan, const char text[], size_t length, aw_errors *errors)
{
    scanning s = {.scan = scan, .errors = errors, .in = {.text = text, .length = length}};
    *scan = (aw_dxf_scan){.unit = -1, .memory = aw_arena_create()};
    s.now = (entity){.columns = 1, .rows = 1};
    s.is_utf8 = u8_check((const uint8_t *)text, length) == NULL;
    choose_encoding(scan, s.is_utf8);
    const bool done = scan->memory != NULL ? read_all(&s) : run_out(&s);
    free(s.holders);
    free(s.references);
    return done;
}

void aw_dxf_scan_free(aw_dxf_scan *scan)
{
    free(scan->layers);
    free(scan->blocks);
    free(scan->invisible);
    aw_arena_free(scan->memory);
    *scan = (aw_dxf_scan){0};
}
