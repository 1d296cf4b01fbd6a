/** @file
 *  Results declared once. A shape lists the members of one kind of object: key, kind, unit, meaning
 *  and where the value is found. JSON, its schema and the reference page all follow from that.
 *
 *      static const aw_member members[] = {
 *          AW_NUMBER("p95_m", aw_pooled, p95, "m", "95 of 100 fixes err by at most this"),
 *          ...
 *      };
 *      const aw_shape aw_pooled_shape = AW_SHAPE("errors", "Errors of a place", members);
 *
 *  What is not just a member of a struct has a getter. The order of the members is that of the
 *  JSON. */
#ifndef AW_REPORT_SHAPE_H
#define AW_REPORT_SHAPE_H

#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/text.h"
#include "base/json.h"

/* What an object tells of: a struct, what stands around it, and which of several it is. */
typedef struct aw_subject {
    const void *of, *with;
    size_t i, k;
} aw_subject;

typedef enum aw_member_kind {
    AW_MEMBER_NUMBER,  /* null if it does not exist */
    AW_MEMBER_COUNT,   /* whole, from 0 on */
    AW_MEMBER_TEXT,    /* null for none */
    AW_MEMBER_WORD,    /* one of a list of texts */
    AW_MEMBER_TRUTH,   /* null if it is not told */
    AW_MEMBER_VERDICT, /* true: met, false: not met, null: undecided or nothing asked */
    AW_MEMBER_NUMBERS, /* a list of numbers */
    AW_MEMBER_EITHER,  /* a text where there is one, else a number */
    AW_MEMBER_ROWS,    /* a list of lists of numbers */
    AW_MEMBER_TEXTS,   /* a list of texts */
    AW_MEMBER_TRUTHS,  /* a list of truths */
    AW_MEMBER_OBJECT,  /* null for none */
    AW_MEMBER_LIST     /* of objects */
} aw_member_kind;

/* What a getter gives of a member, or of the i-th of a list: the field of its kind. */
typedef struct aw_value {
    double number;
    uint64_t count;
    const char *text; /* may be room.at */
    int truth;        /* 1, 0, or -1: not told; of a verdict itself */
    const double *numbers;
    size_t n;          /* of numbers, or of the items of a list of texts or truths */
    aw_subject object; /* of == NULL: none */
    double own[4];     /* room for numbers */
    aw_text room;      /* freed by the caller */
} aw_value;

struct aw_shape;

typedef struct aw_member {
    const char *key;
    aw_member_kind kind;
    const char *unit; /* "" for none */
    const char *help; /* ends without a full stop */
    size_t at, n;     /* offset in the struct; how many numbers, or which one a getter is asked */
    size_t size;      /* of a count, bytes: 4 or 8 */
    /* Gives the member, `i` being its n, or item i of a list; false: there is none (left out if it
     * may be, else null), or the list has ended. */
    bool (*get)(const aw_subject *subject, size_t i, aw_value *value);
    const struct aw_shape *of;
    const char *const *words; /* of a word; ends with NULL */
    bool may_lack;            /* left out where it has no value */
} aw_member;

typedef struct aw_shape {
    const char *name, *help;
    const aw_member *members;
    size_t n;
} aw_shape;

#define AW_GETTER(name)                                                                            \
    static bool name(__attribute__((unused)) const aw_subject *s,                                  \
                     __attribute__((unused)) size_t i, aw_value *v)

#define AW_SHAPE(name, help, members)                                                              \
    {                                                                                              \
        name, help, members, sizeof(members) / sizeof *(members)                                   \
    }

/* The offset of a member that has to be of that type. */
#define AW_OFFSET(type, member, wanted)                                                            \
    (offsetof(type, member) +                                                                      \
     0 * sizeof(char[_Generic(((type *)0)->member, wanted : 1, const wanted : 1, default           \
                              : -1)]))

#define AW_NUMBER(key_, type, member, unit_, help_)                                                \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_NUMBER, .unit = unit_, .help = help_,                       \
        .at = AW_OFFSET(type, member, double)                                                      \
    }
#define AW_NUMBERS(key_, type, member, n_, unit_, help_)                                           \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_NUMBERS, .unit = unit_, .help = help_,                      \
        .at = AW_OFFSET(type, member[0], double), .n = n_                                          \
    }
/* uint32_t, uint64_t or size_t. */
#define AW_COUNT(key_, type, member, unit_, help_)                                                 \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_COUNT, .unit = unit_, .help = help_,                        \
        .at = offsetof(type, member),                                                              \
        .size = sizeof(((type *)0)->member) /                                                      \
                _Generic(((type *)0)->member, uint32_t : 1, uint64_t : 1)                          \
    }
#define AW_TEXT(key_, type, member, help_)                                                         \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_TEXT, .unit = "", .help = help_,                            \
        .at = offsetof(type, member)                                                               \
    }
#define AW_TRUTH(key_, type, member, help_)                                                        \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_TRUTH, .unit = "", .help = help_,                           \
        .at = AW_OFFSET(type, member, bool)                                                        \
    }
#define AW_VERDICT(key_, type, member, help_)                                                      \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_VERDICT, .unit = "", .help = help_,                         \
        .at = AW_OFFSET(type, member, aw_verdict)                                                  \
    }
/* A member of any kind by its getter. */
#define AW_GOT(key_, kind_, get_, unit_, help_)                                                    \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_##kind_, .unit = unit_, .help = help_, .get = get_          \
    }
#define AW_WHICH(key_, kind_, get_, which_, unit_, help_)                                          \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_##kind_, .unit = unit_, .help = help_, .get = get_,         \
        .n = which_                                                                                \
    }
/* The same of an object, and of a word. */
#define AW_WHICH_OBJECT(key_, get_, which_, shape, help_)                                          \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_OBJECT, .unit = "", .help = help_, .get = get_,             \
        .n = which_, .of = shape                                                                   \
    }
#define AW_WHICH_WORD(key_, get_, which_, words_, help_)                                           \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_WORD, .unit = "", .help = help_, .get = get_, .n = which_,  \
        .words = words_                                                                            \
    }
/* A struct inside the struct, told by a shape. */
#define AW_INSIDE(key_, type, member, shape, help_)                                                \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_OBJECT, .unit = "", .help = help_,                          \
        .at = offsetof(type, member), .of = shape                                                  \
    }
/* Left out where it does not exist. */
#define AW_MAY(key_, kind_, get_, which_, shape, help_)                                            \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_##kind_, .unit = "", .help = help_, .get = get_,            \
        .n = which_, .of = shape, .may_lack = true                                                 \
    }
/* Objects, or an object, found by a getter. */
#define AW_LIST(key_, get_, shape, help_)                                                          \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_LIST, .unit = "", .help = help_, .get = get_, .of = shape   \
    }
#define AW_OBJECT(key_, get_, shape, help_)                                                        \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_OBJECT, .unit = "", .help = help_, .get = get_, .of = shape \
    }
#define AW_WORD(key_, get_, words_, help_)                                                         \
    {                                                                                              \
        .key = key_, .kind = AW_MEMBER_WORD, .unit = "", .help = help_, .get = get_,               \
        .words = words_                                                                            \
    }

/* Finds a member's value, or item i of a list. False if it does not exist. */
bool aw_member_find(const aw_member *member, const aw_subject *subject, size_t i, aw_value *value);

/* 1: met, 0: not met, -1: undecided, or nothing is asked. */
int aw_verdict_truth(aw_verdict verdict);

/* An object with all its members. */
void aw_shape_json(const aw_shape *shape, const aw_subject *subject, const char *key,
                   aw_json *json);

/* A whole document, ended by a newline. */
void aw_document_json(const aw_shape *shape, const aw_subject *subject, aw_text *out);

#endif
