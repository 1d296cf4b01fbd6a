/** @file
 *  What a report tells of: the studies that its sections need, each run once. */
#ifndef AW_BOOK_STUDIES_H
#define AW_BOOK_STUDIES_H

#include "anchorwise.h"
#include "draw/sheet.h"

/* Sections, in the order of the page. */
typedef enum aw_client_section {
    AW_CLIENT_ZONES,
    AW_CLIENT_CHART,
    AW_CLIENT_SPOT,
    AW_CLIENT_ANCHORS,
    AW_CLIENT_WHY,
    AW_CLIENT_BILL,
    AW_CLIENT_CONFIRM,
    AW_CLIENT_BASIS,
    AW_CLIENT_PROOF,
    AW_CLIENT_CARE,
    AW_CLIENT_SECTIONS
} aw_client_section;

/* Their names for --sections. */
extern const char *const aw_client_section_ids[AW_CLIENT_SECTIONS];

typedef struct aw_studies_plan {
    const aw_scenario *scenario, *against; /* against: NULL, or of the same floor */
    const char *file, *checksum;           /* its checksum as sheets have it */
    const char *against_file;
    bool wanted[AW_CLIENT_SECTIONS];
    bool quick;                 /* without freedom, sensitivity and sweeps */
    bool cheapest;              /* looks for the cheapest layout */
    const struct aw_pale *pale; /* the client's plan under charts; NULL: none */
    int paper;                  /* aw_paper, of charts */
    const char *date;           /* these as they shall stand on charts; NULL: nothing */
    const char *revision, *client, *author;
} aw_studies_plan;

/* Figures that the report shows, and what each is. */
typedef enum aw_picture_kind {
    AW_PICTURE_CHART,
    AW_PICTURE_ROSE,
    AW_PICTURE_CURVES
} aw_picture_kind;
typedef struct aw_picture {
    aw_picture_kind kind;
    size_t tag; /* of a chart */
    aw_sheet sheet;
} aw_picture;

/* Those that were not run are zeroed, and their flag says so. */
typedef struct aw_studies {
    const aw_studies_plan *plan;
    aw_assessment assessment;
    size_t weakest; /* zone that fails worst, or is least sure; n_zones: no need is stated */
    bool is_explained, has_outage, has_freedom, has_sensitivity, has_counts, has_heights,
        has_comparison, has_placing;
    aw_explanation explanation; /* of the weakest zone's worst spot */
    const char *hiders[2]; /* what hides two thirds of the lost links of its cells that fail, at
                              most two things, the scenario's names; NULL: no more */
    bool are_several;      /* more than two do */
    aw_outage outage;
    aw_freedoms freedoms;
    aw_sensitivity sensitivity;
    aw_sweep counts, heights; /* counts: of the layout's own places */
    aw_comparison comparison; /* with `against` */
    aw_placing placing;
    aw_picture *pictures; /* owned */
    size_t n_pictures;
} aw_studies;

/* Runs what the sections need. False if stopped (no complaint) or if a study could not be run (an
 * error); aw_studies_free() it either way. */
bool aw_studies_run(aw_studies *studies, const aw_studies_plan *plan, const aw_run *run);
void aw_studies_free(aw_studies *studies);

/* The picture of a kind, its number from `from` on; n_pictures if there is none. */
size_t aw_studies_picture(const aw_studies *studies, aw_picture_kind kind, size_t from);

#endif
