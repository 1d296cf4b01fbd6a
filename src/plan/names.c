#include "plan/names.h"

#include <ctype.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unicase.h>
#include <unictype.h>
#include <uninorm.h>
#include <unistr.h>

const char *const aw_thing_names[] = {"nothing to compute with",
                                      "beam",
                                      "door",
                                      "window",
                                      "rack",
                                      "crane",
                                      "column",
                                      "machine",
                                      "wall",
                                      "outline",
                                      "zone",
                                      "unknown"};

/* Without accents and in small letters; ae, oe, ue stand for what German writes so. Words from
 * memory: the five languages' plain terms of the trade. */
static const char *const words[AW_THINGS] = {
    [AW_THING_NOTHING] =
        "dim dims dimension dimensions text texts note notes hatch hatching axis axes grid "
        "furniture plant plants title frame defpoints viewport viewports projection footing "
        "foundation stem bemassung masse text texte schraffur achse achsen moebel mobel rahmen "
        "fundament hilfslinien cote cotes cotation hachure hachures axe mobilier cadre cota cotas "
        "texto textos eje ejes mobiliario marco wymiary wymiar tekst teksty osie meble ramka",
    [AW_THING_BEAM] = "beam beams girder girders truss trusses traeger trager binder querbalken "
                      "poutre poutres viga vigas belka belki dzwigar dzwigary",
    [AW_THING_DOOR] = "door doors gate gates tuer tur tueren turen tor tore porte portes portail "
                      "puerta puertas porton drzwi brama bramy",
    [AW_THING_WINDOW] = "window windows glazing glass fenster verglasung fenetre fenetres vitrage "
                        "ventana ventanas vidrio cancel okno okna szyba szyby",
    [AW_THING_RACK] = "rack racks racking shelf shelves shelving regal regale rayonnage rayonnages "
                      "etagere etageres estanteria estanterias estante estantes regaly polka polki",
    [AW_THING_CRANE] = "crane cranes kran krane kranbahn pont grua gruas suwnica suwnice",
    [AW_THING_COLUMN] =
        "column columns pillar pillars stuetze stutze stuetzen stutzen saeule saule "
        "saeulen saulen pfeiler poteau poteaux pilier piliers colonne colonnes "
        "pilar pilares columna columnas slup slupy",
    [AW_THING_MACHINE] = "machine machines machinery equipment maschine maschinen anlage anlagen "
                         "equipement equipements maquina maquinas equipo equipos maszyna maszyny "
                         "urzadzenie urzadzenia",
    [AW_THING_WALL] = "wall walls partition partitions drywall wand wande waende mauer mauern "
                      "mauerwerk mur murs cloison cloisons muro muros pared paredes tabique "
                      "tabiques sciana sciany",
    [AW_THING_OUTLINE] = "outline boundary footprint umriss aussenkante contour enveloppe contorno "
                         "perimetro obrys",
    [AW_THING_ZONE] = "room rooms zone zones area areas space spaces raum raeume raume flaeche "
                      "flache flaechen flachen piece pieces local locaux zona zonas sala salas "
                      "pomieszczenie pomieszczenia strefa strefy",
};

/* Groups of four letters behind a discipline, seen in drawings and public lists. */
static const struct {
    const char *group;
    aw_thing thing;
} groups[] = {
    {"PATT", AW_THING_NOTHING}, {"IDEN", AW_THING_NOTHING}, {"DIMS", AW_THING_NOTHING},
    {"TEXT", AW_THING_NOTHING}, {"NOTE", AW_THING_NOTHING}, {"SYMB", AW_THING_NOTHING},
    {"ANNO", AW_THING_NOTHING}, {"GRID", AW_THING_NOTHING}, {"FURN", AW_THING_NOTHING},
    {"FLOR", AW_THING_NOTHING}, {"CLNG", AW_THING_NOTHING}, {"ROOF", AW_THING_NOTHING},
    {"PLNT", AW_THING_NOTHING}, {"STEM", AW_THING_NOTHING}, {"FNDN", AW_THING_NOTHING},
    {"BEAM", AW_THING_BEAM},    {"WALL", AW_THING_WALL},    {"PRTN", AW_THING_WALL},
    {"COLS", AW_THING_COLUMN},  {"DOOR", AW_THING_DOOR},    {"GLAZ", AW_THING_WINDOW},
    {"EQPM", AW_THING_MACHINE}, {"SHEL", AW_THING_RACK},    {"AREA", AW_THING_ZONE},
    {"ROOM", AW_THING_ZONE},    {"SPCE", AW_THING_ZONE},
};

/* A letter alone at the beginning, then groups of four; what is minor and says nothing to compute
 * with counts before what is major. */
static aw_thing by_groups(const char *name, char why[64])
{
    aw_thing found = AW_THING_UNKNOWN;
    const size_t discipline = strcspn(name, "-");
    if (discipline < 1 || discipline > 2 || name[discipline] == '\0' ||
        !isalpha((unsigned char)name[0]))
        return AW_THING_UNKNOWN;
    for (const char *at = name + discipline; *at == '-'; at += strcspn(at, "-")) {
        const size_t n = strcspn(++at, "-");
        for (size_t i = 0; n == 4 && i < sizeof groups / sizeof *groups; i++)
            if (strncasecmp(at, groups[i].group, 4) == 0 &&
                (found == AW_THING_UNKNOWN || groups[i].thing == AW_THING_NOTHING)) {
                found = groups[i].thing;
                snprintf(why, 64, "code %s", groups[i].group);
            }
    }
    return found;
}

/* Agent (2), element (6, with a digit), presentation (2) and more: ISO 13567-2, fields after its
 * public summary. Only the presentation means the same in every country. */
static aw_thing by_presentation(const char *name, char why[64])
{
    if (strlen(name) < 10 || !isupper((unsigned char)name[0]))
        return AW_THING_UNKNOWN;
    bool digit = false;
    for (size_t i = 1; i < 8; i++) {
        if (!isupper((unsigned char)name[i]) && !isdigit((unsigned char)name[i]) && name[i] != '-')
            return AW_THING_UNKNOWN;
        digit |= i >= 2 && isdigit((unsigned char)name[i]);
    }
    if (!digit || strchr("THDJKGUBV", name[8]) == NULL)
        return AW_THING_UNKNOWN;
    snprintf(why, 64, "presentation %c of ISO 13567", name[8]);
    return AW_THING_NOTHING;
}

/* A piece of a name in small letters without accents; a NUL follows. */
static void fold(const uint8_t text[], size_t n, char out[64])
{
    size_t length = 0, used = 0;
    uint8_t *folded = u8_casefold(text, n, NULL, UNINORM_NFD, NULL, &length);
    for (size_t i = 0; folded != NULL && i < length;) {
        ucs4_t c;
        const int width = u8_mbtouc(&c, folded + i, length - i);
        i += (size_t)width;
        if (c == 0x142) /* the Polish l with a stroke has no parts */
            c = 'l';
        if (c < 128 && used < 63)
            out[used++] = (char)c;
    }
    out[used] = '\0';
    free(folded);
}

/* Whole words; from five letters also the beginning or the end of a compound. */
static bool says(const char *token, const char *list, char why[64])
{
    const size_t n = strlen(token);
    while (*list != '\0') {
        const size_t k = strcspn(list, " ");
        const bool whole = n == k && memcmp(token, list, k) == 0;
        const bool part =
            k >= 5 && n > k && (memcmp(token, list, k) == 0 || memcmp(token + n - k, list, k) == 0);
        if (whole || part) {
            snprintf(why, 64, "word %.*s", (int)k, list);
            return true;
        }
        list += k + (list[k] == ' ');
    }
    return false;
}

#define MOST_TOKENS 24

typedef struct tokens {
    char list[MOST_TOKENS][64];
    size_t n;
} tokens;

static void add_token(tokens *t, const char *from, size_t n)
{
    if (n > 0 && t->n < MOST_TOKENS)
        fold((const uint8_t *)from, n, t->list[t->n++]);
}

/* Parted at what is no letter, and where a capital follows a small letter. */
static void split(tokens *t, const char *name)
{
    const size_t length = strlen(name);
    size_t from = 0;
    ucs4_t before = 0;
    for (size_t i = 0; i < length;) {
        ucs4_t c;
        const size_t width = (size_t)u8_mbtouc(&c, (const uint8_t *)name + i, length - i);
        const bool letter = uc_is_alpha(c);
        if (!letter || (uc_is_lower(before) && uc_is_upper(c))) {
            add_token(t, name + from, i - from);
            from = letter ? i : i + width;
        }
        before = c;
        i += width;
    }
    add_token(t, name + from, length - from);
}

static aw_thing by_words(const char *name, char why[64])
{
    tokens all = {.n = 0};
    split(&all, name);
    for (int thing = 0; thing < AW_THINGS; thing++)
        for (size_t i = 0; i < all.n; i++)
            if (says(all.list[i], words[thing], why))
                return (aw_thing)thing;
    return AW_THING_UNKNOWN;
}

/* Behind what an external reference puts before it. */
static const char *own_name(const char *name)
{
    const char *dollars = strstr(name, "$0$"), *bar = strrchr(name, '|');
    if (bar != NULL)
        name = bar + 1;
    return dollars != NULL && dollars + 3 > name ? dollars + 3 : name;
}

aw_thing aw_name_thing(const char *name, char why[64])
{
    name = own_name(name);
    why[0] = '\0';
    aw_thing thing = by_groups(name, why);
    if (thing == AW_THING_UNKNOWN)
        thing = by_presentation(name, why);
    return thing != AW_THING_UNKNOWN ? thing : by_words(name, why);
}
