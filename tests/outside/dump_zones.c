/* Assesses the zones of a scenario under changes, many times in one process and without the floor,
 * for programs that try hundreds. Each line of input is a list of changes, PATH=VALUE with tabs
 * between; each zone is a line of output, "NAME VERDICT CELLS KEY VALUE ASKED ..." with tabs
 * between, VERDICT one of met, unmet, undecided, none; an empty line ends them. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise.h"

#define MOST_CHANGES 200

static const char *const verdicts[] = {
    [AW_NOT_MET] = "unmet", [AW_MET] = "met", [AW_UNDECIDED] = "undecided", [AW_NO_NEED] = "none"};

static int write_zone(const aw_scenario *s, const aw_zone *zone)
{
    aw_zone_result r;
    aw_errors errors = {0};
    if (!aw_assess_zone(&r, s, zone, &(aw_run){1, NULL, &errors}))
        return 1;
    printf("%s\t%s\t%zu", zone->name, verdicts[r.verdict], r.errors.cells);
    for (int k = 0; k < AW_PARTS; k++)
        if (r.parts[k].verdict != AW_NO_NEED)
            printf("\t%s\t%.17g\t%.17g", aw_part_rows[k].key, r.parts[k].found.value,
                   r.parts[k].asked);
    printf("\n");
    return 0;
}

static int try(const char *text, size_t length, char *line)
{
    aw_change changes[MOST_CHANGES];
    aw_errors errors = {0};
    aw_scenario s;
    aw_text varied = {0};
    size_t n = 0;
    aw_text_add_bytes(&varied, text, length);
    for (char *word = strtok(line, "\t\n"); word != NULL && n < MOST_CHANGES;
         word = strtok(NULL, "\t\n")) {
        char *value = strchr(word, '=');
        if (value == NULL)
            return 1;
        *value = 0;
        changes[n++] = (aw_change){word, value + 1};
    }
    if (!aw_scenario_vary(&s, &varied, changes, n, &errors)) {
        aw_errors_write(&errors, "dump_zones", false, stderr);
        return 1;
    }
    int failed = 0;
    for (size_t z = 0; z < s.n_zones; z++)
        failed |= write_zone(&s, &s.zones[z]);
    printf("\n");
    fflush(stdout);
    aw_scenario_free(&s);
    aw_text_free(&varied);
    aw_errors_free(&errors);
    return failed;
}

int main(int argc, char **argv)
{
    static char text[1 << 20], line[1 << 16];
    FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
    if (file == NULL)
        return 1;
    const size_t length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    while (fgets(line, sizeof line, stdin) != NULL)
        if (try(text, length, line) != 0)
            return 1;
    return 0;
}
