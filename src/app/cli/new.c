/* new: a first scenario, from the dimensions of a hall. */
#include "app/cli/cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Room for one of the numbers of a hall, as it is typed. */
#define MOST_TYPED 64

/* A plain number with blanks about it. A piece by itself: strtod() would take "0x38" for one. */
static bool read_piece(const char *text, size_t length, double *value)
{
    char piece[MOST_TYPED], *end;
    if (length >= sizeof piece)
        return false;
    snprintf(piece, sizeof piece, "%.*s", (int)length, text);
    *value = strtod(piece, &end);
    return end > piece && end[strspn(end, " ")] == '\0' &&
           strspn(piece, " +-.0123456789eE") == length && isfinite(*value);
}

/* Three numbers with an x between, "72x38x9.5" or "72 x 38 x 9.5". */
static bool read_three(const char *text, double three[3])
{
    for (int k = 0; k < 3; k++) {
        const size_t length = strcspn(text, "xX");
        if (!read_piece(text, length, &three[k]) || (text[length] == '\0') != (k == 2))
            return false;
        text += length + 1;
    }
    return true;
}

static bool read_hall(const cli_options *o, aw_hall *hall)
{
    double three[3];
    if (o->hall == NULL) {
        cli_complain("new needs --hall LENGTHxWIDTHxHEIGHT, such as --hall 72x38x9.5");
        return false;
    }
    if (!read_three(o->hall, three)) {
        cli_complain("--hall: '%s' is not LENGTHxWIDTHxHEIGHT, three numbers such as 72x38x9.5",
                     o->hall);
        return false;
    }
    *hall = (aw_hall){three[0], three[1], three[2], (double)NAN, hall->units};
    const bool feet = hall->units == AW_FEET;
    return o->need == NULL || cli_read_amount("--need", o->need, AW_HALL_MOST_NEED, false,
                                              feet ? " ft" : " m", &hall->need);
}

static bool check_hall(const aw_hall *hall)
{
    aw_errors errors = {0};
    const bool sound = aw_hall_check(hall, &errors);
    aw_errors_write(&errors, "anchorwise: --hall", false, stderr);
    aw_errors_free(&errors);
    return sound;
}

int cli_new(const cli_options *options)
{
    aw_hall hall;
    aw_text text = {0};
    aw_errors errors = {0};
    if (!cli_read_units(options, &hall.units) || !read_hall(options, &hall) || !check_hall(&hall))
        return STATUS_WRONG;
    int status = STATUS_FAILED;
    if (aw_first_scenario_write(&hall, &text, &errors))
        status = cli_write(&text, options->out);
    else
        aw_errors_write(&errors, "anchorwise", false, stderr);
    aw_errors_free(&errors);
    aw_text_free(&text);
    return status;
}
