/* The phrases in English. */
#include "book/phrases.h"

static const char *const phrases[AW_PHRASES] = {
    /* Small words. */
    [AW_SAY_DASH] = "–",
    [AW_SAY_NONE] = "none",
    [AW_SAY_ALL] = "all",
    [AW_SAY_NO_P95] = "lost",
    [AW_SAY_TO] = "{0} to {1}",
    [AW_SAY_LIST_COMMA] = "{0}, {1}",
    [AW_SAY_LIST_AND] = "{0} and {1}",
    [AW_SAY_FLOOR] = "floor",
    [AW_SAY_MISSED] = "{0} ✗",
    [AW_SAY_MARK_NOT_MET] = "✗ {0}",
    [AW_SAY_MARK_MET] = "✓ {0}",
    [AW_SAY_MARK_UNDECIDED] = "? {0}",
    [AW_SAY_NOT_ASKED] = "not asked",
    [AW_SAY_CONTENTS] = "Contents",
    [AW_SAY_PAGE_OF] = "{0} of {1}",
    [AW_SAY_CONTINUED] = "continued",
    [AW_SAY_CENTIMETRES] = "centimetres",
    [AW_SAY_INCHES] = "inches",
    /* Titles. */
    [AW_SAY_TITLE] = "{0}: how exactly tags can be located",
    [AW_SAY_ZONES] = "What was asked and what is reached",
    [AW_SAY_CHART] = "The accuracy chart",
    [AW_SAY_SPOT] = "The weakest spot",
    [AW_SAY_ANCHORS] = "The anchors",
    [AW_SAY_WHY] = "Why this layout",
    [AW_SAY_BILL] = "Materials and labour",
    [AW_SAY_CONFIRM] = "What to confirm",
    [AW_SAY_BASIS] = "How the figures were made",
    [AW_SAY_PROOF] = "How to prove it on site",
    [AW_SAY_CARE] = "Cautions",
    /* Headline. */
    [AW_SAY_HEAD_NO_NEED] = "No need is stated: figures only.",
    [AW_SAY_HEAD_ONE_NOT_MET] = "The need is not met.",
    [AW_SAY_HEAD_ONE_UNDECIDED] = "The need is too close to call.",
    [AW_SAY_HEAD_ONE_WITH_MARGIN] = "The need is met with margin.",
    [AW_SAY_HEAD_ONE_MET] = "The need is met.",
    [AW_SAY_HEAD_BOTH_WITH_MARGIN] = "Both needs are met with margin.",
    [AW_SAY_HEAD_BOTH_MET] = "Both needs are met.",
    [AW_SAY_HEAD_BOTH_ONE_WITH_MARGIN] = "Both needs are met, one of them with margin.",
    [AW_SAY_HEAD_ALL_WITH_MARGIN] = "All {0} needs are met with margin.",
    [AW_SAY_HEAD_ALL_MET] = "All {0} needs are met.",
    [AW_SAY_HEAD_ALL_MET_SOME_WITH_MARGIN] = "All {0} needs are met, {1} of them with margin.",
    [AW_SAY_HEAD_NONE_MET] = "None of the {0} needs is met.",
    [AW_SAY_HEAD_NONE_SURE] = "None of the {0} needs is surely met.",
    [AW_SAY_HEAD_ONE_OF_OPEN] = "One of {0} needs is met; the {1} is too close to call.",
    [AW_SAY_HEAD_SOME_OPEN] = "{0} of {1} needs are met; the {2} is too close to call.",
    [AW_SAY_HEAD_ONE_OF_BAD] = "One of {0} needs is met. The {1} is not.",
    [AW_SAY_HEAD_SOME_BAD] = "{0} of {1} needs are met. The {2} is not.",
    [AW_SAY_HEAD_SOME_TWO_BAD] = "{0} of {1} needs are met. The {2} and the {3} are not.",
    [AW_SAY_HEAD_ONE_OF] = "One of {0} needs is met.",
    [AW_SAY_HEAD_SOME] = "{0} of {1} needs are met.",
    /* Boxes. */
    [AW_SAY_IS_IT_MET] = "Is it met?",
    [AW_SAY_WITH_WHAT_CHANCE] = "With what chance?",
    [AW_SAY_WHAT_DOES_IT_COST] = "What does it cost?",
    [AW_SAY_WHAT_MUST_BE_CONFIRMED] = "What must be confirmed?",
    [AW_SAY_NO_NEED_STATED] = "no need is stated",
    [AW_SAY_FIGURES_ONLY] = "section 1 has the figures",
    [AW_SAY_MET_OF_ONE] = "{0} of 1 need",
    [AW_SAY_MET_OF] = "{0} of {1} needs",
    [AW_SAY_TIGHTEST] = "least sure: {0}, {1}",
    [AW_SAY_FAILS] = "{0} {1}: {2}",
    [AW_SAY_NOT_TOLD] = "not told",
    [AW_SAY_CHANCE_TAKES_A_NEED] = "a chance takes a need",
    [AW_SAY_NO_NEED_MET] = "no need is met",
    [AW_SAY_NO_NEED_SURE] = "no need is surely met",
    [AW_SAY_AS_DRAWN] = "{0} {1} as drawn",
    [AW_SAY_NO_CHANCE_ASKED] = "the needs ask for a margin or for no error, not for a chance",
    [AW_SAY_CHANCE_EACH] = "{0} or more for each need met",
    [AW_SAY_CHANCE_THE_ONE] = "{0} for the need met",
    [AW_SAY_LEAST_SURE_AND_SHORT] = "least sure: {0}. {1}: {2} as drawn",
    [AW_SAY_LEAST_SURE] = "least sure: {0}",
    [AW_SAY_NOT_PRICED] = "not priced",
    [AW_SAY_NO_PRICES] = "{0} anchors; the scenario states no prices",
    [AW_SAY_TAKES_ALL] = "{0} anchors, {1} of cable, {2} h on a lift",
    [AW_SAY_TAKES_CABLE] = "{0} anchors, {1} of cable",
    [AW_SAY_TAKES_LIFT] = "{0} anchors, {1} h on a lift",
    [AW_SAY_TAKES_ANCHORS] = "{0} anchors",
    [AW_SAY_SITE_ERRORS] = "the errors of this site",
    [AW_SAY_MEASURED_ALREADY] = "measured; the assumptions beside them were not looked at",
    [AW_SAY_MEASURE_TWENTY] = "20 spots measured there narrow the range of p95 from {0} to {1}; "
                              "single assumptions were not looked at",
    [AW_SAY_CONFIRM_FIRST] = "{0}",
    [AW_SAY_CONFIRM_THEN] = "then {0} (What to confirm)",
    [AW_SAY_CONFIRM_ALONE] = "nothing else moves a need (What to confirm)",
    /* Sentences. */
    [AW_SAY_ASKED_FLOOR] = "You asked how exactly tags can be located in {0}.",
    [AW_SAY_ASKED_NOTHING] =
        "You asked how exactly tags can be located in {0} zones of {1}, without a need.",
    [AW_SAY_ASKED_ONE_OTHER] =
        "You asked whether the need of the {0} of {1} is met, which states no p95.",
    [AW_SAY_ASKED_OTHER] =
        "You asked whether the needs of {0} zones of {1} are met, which state no p95.",
    [AW_SAY_ASKED_ONE] = "You asked how exactly tags can be located in the {0} of {1}, with a p95 "
                         "error of at most {2}.",
    [AW_SAY_ASKED_EQUAL] = "You asked how exactly tags can be located in {0} zones of {1}, with "
                           "p95 errors of at most {2}.",
    [AW_SAY_ASKED_RANGE] = "You asked how exactly tags can be located in {0} zones of {1}, with "
                           "p95 errors of at most {2} to {3}.",
    [AW_SAY_REACHED_FIGURES] = "The layout as drawn has {0} anchors.",
    [AW_SAY_REACHED_THE_NEED] = "As drawn, {0} anchors meet the need.",
    [AW_SAY_REACHED_NOT_THE_NEED] = "As drawn, {0} anchors do not surely meet the need.",
    [AW_SAY_REACHED_NONE] = "As drawn, {0} anchors meet none of the {1} needs.",
    [AW_SAY_REACHED_NONE_SURE] = "As drawn, {0} anchors surely meet none of the {1} needs.",
    [AW_SAY_REACHED] = "As drawn, {0} anchors meet {1} of the {2} needs.",
    [AW_SAY_REACHED_WITH_MARGIN] = "As drawn, {0} anchors meet {1} of the {2} needs, with margin.",
    [AW_SAY_REACHED_SOME_WITH_MARGIN] =
        "As drawn, {0} anchors meet {1} of the {2} needs, {3} of them with margin.",
    [AW_SAY_TOO_CLOSE] =
        "The {0} is too close to call: more draws, a smaller need or one more anchor would tell.",
    [AW_SAY_LENGTH_MISSING] =
        "The {0} is not met: too many positions fail for a {1}, and {2} was asked.",
    [AW_SAY_LENGTH_FAILS] = "The {0} is not met: {1} is {2} and {3} was asked.",
    [AW_SAY_SHARE_FAILS] =
        "The {0} is not met: {1} of its places are good enough and {2} were asked.",
    [AW_SAY_SHARE_FAILS_BEHIND_MANY] = "The {0} is not met: {1} of its places are good enough and "
                                       "{2} were asked; the weak ones lie behind several things.",
    [AW_SAY_SHARE_FAILS_BEHIND] = "The {0} is not met: {1} of its places are good enough and {2} "
                                  "were asked; the weak ones lie mostly behind {3}.",
    [AW_SAY_SHARE_FAILS_BEHIND_TWO] =
        "The {0} is not met: {1} of its places are good enough and {2} were asked; the weak ones "
        "lie mostly behind {3} and {4}.",
    [AW_SAY_CHANCE_FAILS] = "The {0} is not met: its chance is {1} and {2} was asked.",
    [AW_SAY_OTHER_FAILS] = "The {0} is not met: its {1} is {2} and {3} was asked.",
    [AW_SAY_SURE] = "Of the needs that are met, the {0} is least sure, with a chance of {1}.",
    [AW_SAY_SURE_LOST_IF] = "Of the needs that are met, the {0} is least sure, with a chance of "
                            "{1}; it is lost if {2} is {3}.",
    [AW_SAY_SURE_NONE_TAKES] = "Of the needs that are met, the {0} is least sure, with a chance of "
                               "{1}; no single assumption takes it away.",
    [AW_SAY_COSTS] = "The layout costs {0} by the prices stated.",
    [AW_SAY_COSTS_UNTOLD] = "What it costs is not told: the scenario states no prices.",
    [AW_SAY_AGAINST_MEETS] = "Layout B meets the {0}: {1}.",
    [AW_SAY_AGAINST_FAILS] = "Layout B does not surely meet the {0}: {1}.",
    [AW_SAY_DEARER_MEETS] = "Layout B costs {0} more and meets the {1}: {2}.",
    [AW_SAY_DEARER_FAILS] = "Layout B costs {0} more and does not surely meet the {1}: {2}.",
    [AW_SAY_CHEAPER_MEETS] = "Layout B costs {0} less and meets the {1}: {2}.",
    [AW_SAY_CHEAPER_FAILS] = "Layout B costs {0} less and does not surely meet the {1}: {2}.",
    /* Zones and chart. */
    [AW_SAY_ZONES_CAPTION] = "Needs and results: errors in {0}, places in {1}",
    [AW_SAY_COL_ZONE] = "zone and tag",
    [AW_SAY_COL_ZONE_ALONE] = "zone",
    [AW_SAY_COL_ASKED] = "asked",
    [AW_SAY_COL_P50] = "p50",
    [AW_SAY_COL_P95] = "p95",
    [AW_SAY_COL_RANGE] = "range of p95",
    [AW_SAY_COL_GOOD] = "places good enough",
    [AW_SAY_COL_CHANCE] = "chance",
    [AW_SAY_COL_VERDICT] = "verdict",
    [AW_SAY_COL_WORST] = "worst spot",
    [AW_SAY_ZONES_NOTE] =
        "p50 and p95: half, and 95 of 100, of all positions in the zone err by no more. The range "
        "is where p95 is expected at nine sites in ten. The chance is that of a site meeting what "
        "the zone asks of errors; met with margin: it is 95 % or more. A need may ask for several "
        "things; the one that fails is marked.",
    [AW_SAY_CHART_CAPTION] = "p95 of a {0} at {1}, figures in {2}: 95 of 100 positions err by no "
                             "more. Plan north is up. Every mark is explained on the sheet.",
    /* The weakest spot. */
    [AW_SAY_WORST_NEAR] = "The worst spot of the {0} is at {1} {2}, {3} from {4}.",
    [AW_SAY_WORST_AT] = "The worst spot of the {0} is at {1} {2}.",
    [AW_SAY_TOO_FEW_REACH] = "{0} of {1} anchors reach it; a position needs {2}.",
    [AW_SAY_REACH_WITHOUT_P95] = "{0} of {1} anchors reach it, too seldom for a p95.",
    [AW_SAY_REACH_IT] =
        "{0} of {1} anchors reach it; 95 of 100 positions there err by at most {2}.",
    [AW_SAY_BLIND_ARC] = "Round the compass {0} are without an anchor.",
    [AW_SAY_HIDES] = "{0} hides {1}.",
    [AW_SAY_ROSE_CAPTION] =
        "Bearings from the spot. Thick, ending in a dot: reaches it. Broken, ending in a cross: "
        "hidden, by what stands there. Broken, ending in a dot: reaches it through something. "
        "Ring on the rim: out of range. The table has those whose names find no room.",
    [AW_SAY_NOTHING_MENDS] =
        "No single anchor added, raised, lowered or moved lowers its p95 by more than 15 %.",
    [AW_SAY_REMEDIES_CAPTION] = "What would mend it, best first; p95 in {0}",
    [AW_SAY_COL_CHANGE] = "change",
    [AW_SAY_COL_P95_HERE] = "p95 here",
    [AW_SAY_COL_PRICE] = "price",
    [AW_SAY_COL_P95_OF] = "p95 of {0}",
    [AW_SAY_COL_ITS_NEED] = "its need then",
    [AW_SAY_COL_AT_THE_COST] = "at the cost of",
    [AW_SAY_BREAKS] = "breaks the need of {0}",
    [AW_SAY_TAKES_P95] = "takes p95 from {0}",
    [AW_SAY_WORSENS] = "raises p95 of {0} by over 15 %",
    [AW_SAY_BEARINGS_CAPTION] = "Bearings from the spot, clockwise from plan north",
    [AW_SAY_COL_ANCHOR] = "anchor",
    [AW_SAY_COL_BEARING] = "bearing",
    [AW_SAY_COL_UP] = "up",
    [AW_SAY_COL_DISTANCE] = "distance, {0}",
    [AW_SAY_COL_SIGHT] = "line of sight",
    [AW_SAY_LACK_SPOT] =
        "No zone states a need: one with a need would say which spot is the weakest.",
    /* The anchors. */
    [AW_SAY_ANCHORS_CAPTION] = "Anchor schedule: x east and y north of the site's zero, height "
                               "over the finished floor, lengths in {0}",
    [AW_SAY_COL_X] = "x",
    [AW_SAY_COL_Y] = "y",
    [AW_SAY_COL_HEIGHT] = "height",
    [AW_SAY_COL_MOUNT] = "mount",
    [AW_SAY_COL_CABLE] = "cable",
    [AW_SAY_COL_SERVES] = "serves, of floor",
    [AW_SAY_COL_IF_LOST] = "if it fails",
    [AW_SAY_COL_MOVES] = "may move, at its height",
    [AW_SAY_COL_HEIGHTS] = "heights that do",
    [AW_SAY_FALLS] = "{0} falls",
    [AW_SAY_FALLS_BY] = "{0} falls: {1}",
    [AW_SAY_NONE_FALLS] = "no need falls",
    [AW_SAY_FALL_MORE] = "{0} and {1} more",
    [AW_SAY_ALL_SIDES] = "{0} on all sides",
    [AW_SAY_VITAL] = "{0} anchors ({1}) cannot be lost without a need failing: the layout is not "
                     "proof against the loss of any one anchor.",
    [AW_SAY_SO_MANY_MORE] = "{0} more",
    [AW_SAY_VITAL_ONE] = "{0} cannot be lost without a need failing: the layout is not proof "
                         "against the loss of any one anchor.",
    [AW_SAY_STURDY] = "Every need is met with any one anchor lost.",
    [AW_SAY_STURDY_UNDECIDED] = "With one anchor lost some need is too close to call.",
    [AW_SAY_NONE_MORE_FALLS] = "No anchor's loss makes a need fail that is met as drawn.",
    [AW_SAY_LOSS_NOTE] = "If it fails: where a share or an error stands beside the zone, it was "
                         "drawn; else it follows from a linear estimate.",
    [AW_SAY_MOVES_NOTE] =
        "May move: one anchor alone, all others in their places; {0} was the farthest looked at "
        "(+). What carries an anchor, walls and the hall end a side sooner.",
    [AW_SAY_MOVES_NOTE_NOT_KEPT] =
        "May move: one anchor alone, all others in their places; {0} was the farthest looked at "
        "(+). What carries an anchor, walls and the hall end a side sooner. Not protected, since "
        "not met as drawn: {1}.",
    [AW_SAY_LACK_FREEDOM] = "How far each anchor may move is left out by --quick.",
    [AW_SAY_LACK_NEED_TO_KEEP] =
        "How far each anchor may move: no need is met as drawn, so there is none to keep.",
    /* Why this layout. */
    [AW_SAY_HOW_MANY] = "Number of anchors",
    [AW_SAY_HOW_HIGH] = "Height of all anchors",
    [AW_SAY_OTHER_LAYOUT] = "The other layout",
    [AW_SAY_CHEAPEST] = "The cheapest layout found",
    [AW_SAY_CURVES_CAPTION] = "p95 over what is asked, by the number of anchors: under the line at "
                              "1 p95 is within the need. Curves end at three times the need.",
    [AW_SAY_COUNTS_CAPTION] = "The best of these places for each count of anchors; p95 in {0}",
    [AW_SAY_HEIGHTS_CAPTION] = "All anchors at one height; p95 in {0}",
    [AW_SAY_COL_ANCHORS] = "anchors",
    [AW_SAY_COL_ALL_AT] = "height, {0}",
    [AW_SAY_COL_PRICE_IN] = "price, {0}",
    [AW_SAY_COL_ZONE_NEED] = "{0}, need {1}",
    [AW_SAY_COL_NEEDS_MET] = "needs met",
    [AW_SAY_MET_OF_SHORT] = "{0} of {1}",
    [AW_SAY_COUNT_MEETS] =
        "{0} of these places are the fewest found that meet every need by all its parts.",
    [AW_SAY_COUNT_P95_ALONE] = "From {0} anchors on every zone's p95 is within its need, yet up to "
                               "{1} some need is not surely met by its other parts.",
    [AW_SAY_COUNT_NEVER] = "Up to {0} of these places some zone's p95 is over its need.",
    [AW_SAY_AGAINST_CAPTION] = "A: {0}, {1}; B: {2}, {3}; p95 in {4}",
    [AW_SAY_UNPRICED] = "not priced",
    [AW_SAY_COL_PLACE] = "place",
    [AW_SAY_COL_A] = "A",
    [AW_SAY_COL_B] = "B",
    [AW_SAY_COL_BETTER] = "better",
    [AW_SAY_COL_GOOD_A] = "places good enough, A",
    [AW_SAY_COL_GOOD_B] = "places good enough, B",
    [AW_SAY_COL_NEED_A] = "need, A",
    [AW_SAY_COL_NEED_B] = "need, B",
    [AW_SAY_B_BETTER] = "B, by {0}",
    [AW_SAY_B_WORSE] = "A, by {0}",
    [AW_SAY_NEARLY_EQUAL] = "less than 15 % apart",
    [AW_SAY_NOT_APART] = "not told apart",
    [AW_SAY_NEITHER_HAS] = "neither has a p95",
    [AW_SAY_ONLY_A_HAS] = "only A has a p95",
    [AW_SAY_ONLY_B_HAS] = "only B has a p95",
    [AW_SAY_NEAR_NOTE] = "What is less than 15 % apart ranks no layouts: measured systems that "
                         "near do not keep the predicted order.",
    [AW_SAY_SO_MANY_ANCHORS] = "{0} anchors",
    [AW_SAY_SO_MANY_FOR] = "{0} anchors for {1}",
    [AW_SAY_CHEAPEST_CONFIRMED] = "an independent simulation meets every need with it too",
    [AW_SAY_CHEAPEST_REFUSED] = "an independent simulation finds a need not met with it",
    [AW_SAY_CHEAPEST_OPEN] = "an independent simulation leaves a need too close to call",
    [AW_SAY_CHEAPEST_FOUND] =
        "Over the {0} places where anchors may hang, a search found {1}; {2}.",
    [AW_SAY_CHEAPEST_NOT_FOUND] = "Over the {0} places where anchors may hang, a search found no "
                                  "layout that meets every need; the nearest has {1}.",
    [AW_SAY_CHEAPEST_BOUND] =
        "By linear estimates no layout of these places can meet the needs for less than {0}.",
    [AW_SAY_LACK_SWEEP] = "Left out by --quick.",
    [AW_SAY_LACK_PLACES] = "The layout has fewer anchors than a position takes.",
    [AW_SAY_LACK_AGAINST] =
        "--against OTHER.yaml would compare the layout with another one of this hall.",
    [AW_SAY_LACK_CHEAPEST] = "--cheapest would look for it, which takes minutes.",
    /* Materials and labour. */
    [AW_SAY_BILL_CAPTION] = "Bill of material, {0}, by the prices stated",
    [AW_SAY_COL_ITEM] = "item",
    [AW_SAY_COL_QUANTITY] = "quantity",
    [AW_SAY_COL_EACH] = "each",
    [AW_SAY_COL_TOGETHER] = "together",
    [AW_SAY_TOTAL] = "together",
    [AW_SAY_BILL_NOTE] =
        "Prices are those that the scenario states. No cable is counted: it states no cabinet.",
    [AW_SAY_BILL_NOTE_CABINET] =
        "Cables run from the cabinet at {0} along walls and straight up; add slack and waste as "
        "you do. Prices are those that the scenario states.",
    [AW_SAY_LACK_PRICES] = "The scenario states no prices: the block 'prices' would bring a bill.",
    /* What to confirm. */
    [AW_SAY_CONFIRM_CAPTION] = "What can turn the result, the strongest first",
    [AW_SAY_COL_ASSUMPTION] = "assumption",
    [AW_SAY_COL_OFF] = "how far it may be off",
    [AW_SAY_COL_THEN] = "what then",
    [AW_SAY_COL_HOW] = "how to confirm it",
    [AW_SAY_OFF_BY] = "{0} to {1}, stated {2}",
    [AW_SAY_THEN] = "{0}: with {1} p95 is {2}, {3}",
    [AW_SAY_THEN_LOST] = "{0}: with {1} p95 is {2} ✗ need lost",
    [AW_SAY_BREAKING_NOTE] = "A line with ✗ takes away a need that is met as drawn. Each "
                             "assumption was changed alone, with the same random numbers.",
    [AW_SAY_ALONE_NOTE] = "No line takes away a need that is met as drawn. Each assumption was "
                          "changed alone, with the same random numbers.",
    [AW_SAY_TOLERANCES_CAPTION] = "How exact work has to be (1 sigma, {0}), thing by thing",
    [AW_SAY_COL_TOLERANCE] = "tolerance of",
    [AW_SAY_COL_TODAY] = "assumed",
    [AW_SAY_COL_AT_MOST] = "at most",
    [AW_SAY_COL_LIMIT] = "the limit",
    [AW_SAY_COL_TAKES] = "what that takes (common practice)",
    [AW_SAY_NO_ROOM] = "no room",
    [AW_SAY_LACK_CONFIRM] = "Left out by --quick, or by --sections without it.",
    [AW_SAY_LACK_NEED] = "No zone states a need.",
    /* How the figures were made. */
    [AW_SAY_FACT_DRAWS] = "position errors",
    [AW_SAY_DRAWN_SO] = "Monte Carlo of the fix itself: {0} in every cell of {1}, seed {2}",
    [AW_SAY_FACT_WHITE] = "noise of an arrival",
    [AW_SAY_WHITE_IS] = "{0}, new for every position; {1}",
    [AW_SAY_FACT_SPOT] = "reflection error",
    [AW_SAY_SPOT_IS] = "{0}, constant while a tag lies still; {1}",
    [AW_SAY_FACT_TAIL] = "large errors",
    [AW_SAY_TAIL_IS] = "in {0} of spots {1} instead; {2}",
    [AW_SAY_FACT_SURVEY] = "survey of anchors",
    [AW_SAY_FACT_DELAY] = "delay of anchors",
    [AW_SAY_ONCE_DRAWN] = "{0}, one draw for each installation; stated by the scenario",
    [AW_SAY_FACT_RANGE] = "radio range",
    [AW_SAY_FACT_BUDGET] = "loss a link bears",
    [AW_SAY_STATED_BY_SCENARIO] = "{0}, stated by the scenario",
    [AW_SAY_FACT_RADIO] = "radio",
    [AW_SAY_RADIO_IS] =
        "channel {0}, {1} MHz, environment {2}; links follow from power, noise and paths",
    [AW_SAY_FACT_SCATTERED] = "what is scattered",
    [AW_SAY_SCATTERED_IS] =
        "out of sight, what the paths lack of the environment's law, found 8 dB lower; how late: "
        "174 links of one laboratory (J. Fontaine et al., IEEE Internet of Things Journal, 2023)",
    [AW_SAY_SCATTERED_NOT] = "left out, by the scenario: links out of sight are weaker, fewer late",
    [AW_SAY_MATERIAL_IS] =
        "{0} dB and {1} late for each one crossed; stated by the scenario or its defaults",
    [AW_SAY_MATERIAL_BY_TABLE] = "from permittivity and thickness (ITU-R P.2040-3)",
    [AW_SAY_FROM_START] = "from {0}: {1}",
    [AW_SAY_FROM_AUTHOR] = "stated by the scenario",
    [AW_SAY_FACT_FILE] = "scenario",
    [AW_SAY_FILE_IS] = "{0}, its SHA-256 begins with {1}",
    [AW_SAY_FACT_SET] = "set",
    [AW_SAY_SET_TO] = "{0} = {1}",
    [AW_SAY_FACT_PROGRAM] = "program",
    [AW_SAY_PROGRAM_IS] = "anchorwise {0}",
    [AW_SAY_LIMITS] = "What the prediction leaves out: people and vehicles in the way, other "
                      "radio, clock faults, mistakes in cabling and in anchor names, and whatever "
                      "stands in the hall that the scenario does not hold. Walls and things are "
                      "upright prisms; each anchor's antenna is taken as alike in all directions.",
    /* How to prove it on site. */
    [AW_SAY_PROOF_HOW] =
        "Measure with the tag at its working height at spots spread evenly over each zone, half a "
        "metre or more apart, weak spots not left out; at each spot the distance of one minute of "
        "positions from where a survey says the tag is. Do so on two days or more, with the hall "
        "as it is described here. Agree before on the number of spots, on how many may be over, "
        "and on who surveys.",
    [AW_SAY_PROOF_CAPTION] = "Spots to measure, by how many of them may be over",
    [AW_SAY_COL_SPOTS_0] = "spots, none over",
    [AW_SAY_COL_SPOTS_1] = "spots, one over",
    [AW_SAY_COL_SPOTS_2] = "spots, two over",
    [AW_SAY_COL_PASSED] = "a spot is over if",
    [AW_SAY_PASSED] = "its p95 is over {0}",
    [AW_SAY_PASSED_OTHER] = "what the need asks is missed there",
    [AW_SAY_PROOF_NOTE] = "So many spots that a zone which just misses its share of good places "
                          "passes in at most 5 of 100 tests (one-sided binomial limit). Without a "
                          "share of places in the need, 95 % is taken.",
    /* Cautions. */
    [AW_SAY_CARE_PREDICTION] = "A prediction from stated assumptions, not a promise: measure on "
                               "site before anything rests on it.",
    [AW_SAY_CARE_SAFETY] =
        "A position is not a safety function. Never let the safety of people depend on it.",
    [AW_SAY_CARE_HEIGHT] =
        "Work at height, on lifts and near cranes is for trained people under local rules.",
    [AW_SAY_CARE_MAINS] = "Mains and powered network cables are the work of licensed trades where "
                          "the law asks for them.",
    [AW_SAY_CARE_RADIO] =
        "Radio rules differ by place: have the use of ultra-wideband indoors confirmed for yours.",
    [AW_SAY_CARE_UNJUDGED] =
        "Explosive atmospheres, crane and tram ways, and fire protection were not judged.",
    /* Letterhead. */
    [AW_SAY_FOR] = "For: {0}",
    [AW_SAY_AUTHOR] = "Author: {0}",
    [AW_SAY_REVISION_AND_DATE] = "Revision {0}, {1}",
    [AW_SAY_REVISION_ALONE] = "Revision {0}",
    [AW_SAY_DATE_ALONE] = "{1}",
    /* The installers' sheet. */
    [AW_SAY_WHERE_ANCHORS_HANG] = "Where the anchors hang",
    [AW_SAY_SCALE] = "Scale {0} on {1}. Lengths in {2}.",
    [AW_SAY_SHEET_OF] = "Sheet {0} of {1}.",
    [AW_SAY_SHEET_LEVEL] = "Anchors of the level {0}, its floor at {1}.",
    [AW_SAY_SHEET_PART] = "Part {0} of {1}; the key plan shows which.",
    [AW_SAY_WEST] = "west",
    [AW_SAY_EAST] = "east",
    [AW_SAY_SOUTH] = "south",
    [AW_SAY_NORTH] = "north",
    [AW_SAY_FROM_FACE] = "{0} from {1}",
    [AW_SAY_EAST_OF_ZERO] = "{0} east of zero",
    [AW_SAY_NORTH_OF_ZERO] = "{0} north of zero",
    [AW_SAY_BEYOND_LINE] = "{0} beyond {1}",
    [AW_SAY_LINE_EAST] = "line E {0}",
    [AW_SAY_LINE_NORTH] = "line N {0}",
    [AW_SAY_FROM_WEST_WALL] = "from west wall",
    [AW_SAY_FROM_SOUTH_WALL] = "from south wall",
    [AW_SAY_NAME] = "{0}",
    [AW_SAY_UNDER_IT] = "{0}, under it {1}",
    [AW_SAY_PLAN_NORTH] = "plan N",
    [AW_SAY_SCHEDULE] = "Anchor schedule",
    [AW_SAY_SCHEDULE_CONTINUED] = "Anchor schedule, continued",
    [AW_SAY_COL_EAST_WEST] = "east–west",
    [AW_SAY_COL_NORTH_SOUTH] = "north–south",
    [AW_SAY_COL_MAY_HANG] = "may hang at",
    [AW_SAY_COL_BUILT_EW] = "built: E–W",
    [AW_SAY_COL_BUILT_NS] = "N–S",
    [AW_SAY_COL_BUILT_HEIGHT] = "height",
    [AW_SAY_COL_DONE] = "done",
    [AW_SAY_NOTE_FACES] = "Measure from the inner face of the wall named; from the face of a "
                          "partition, not from its middle.",
    [AW_SAY_NOTE_HEIGHTS] = "Heights: finished floor to the middle of the antenna.",
    [AW_SAY_NOTE_STEEL] = "Keep 0.3 m clear of steel, pipes, lamps.",
    [AW_SAY_NOTE_BUILT] = "Write what you built to the centimetre.",
    [AW_SAY_NOTE_CARE] = "Work at height and on powered cables: trained people, local rules.",
    [AW_SAY_NOTE_LINES] =
        "Lines E and N: set out first, so far east of the west wall and north of the "
        "south wall as they are called; anchors lie beyond them.",
    [AW_SAY_NOTE_NUMBERS] = "Numbers on the plan are those of the schedule.",
    [AW_SAY_NOTE_SET] = "Otherwise than in the file: {0} = {1}.",
    [AW_SAY_NUMBERED] = "{0}  \u2068{1}\u2069",
    [AW_SAY_NOTE_FREEDOM] =
        "Tinted bar: how far one anchor may hang from its place along what carries it, all others "
        "in theirs; {0} was looked at. Beyond it, and where there is no bar, ask the planner.",
    [AW_SAY_NOTE_NOT_KEPT] = "Not protected by it, since not met as drawn: {0}.",
    [AW_SAY_NOTE_NO_FREEDOM] = "How far an anchor may hang from its place: ask the planner.",
    [AW_SAY_MARK_ANCHOR] = "anchor",
    [AW_SAY_MARK_MAY_HANG] = "may hang here",
    [AW_SAY_MARK_THING] = "wall, obstacle",
    [AW_SAY_MARK_OVERHEAD] = "the same overhead",
    [AW_SAY_FIELD_CLIENT] = "Client",
    [AW_SAY_FIELD_AUTHOR] = "Drawn by",
    [AW_SAY_FIELD_REVISION] = "Revision",
    [AW_SAY_FIELD_FILE] = "File",
    [AW_SAY_FIELD_PROGRAM] = "Program",
    [AW_SAY_FIELD_HUNG_BY] = "Hung by",
    [AW_SAY_FIELD_SIGNED] = "Date, signature",
    /* The site visit. */
    [AW_SAY_VISIT_TITLE] = "{0}: what to find out on site",
    [AW_SAY_VISIT_HEADLINE] = "Before the bid is signed, what moves the result most first.",
    [AW_SAY_VISIT_MEASURE] = "What to measure and photograph",
    [AW_SAY_VISIT_MEASURE_CAPTION] = "Assumptions, by what they can turn",
    [AW_SAY_COL_NUMBER] = "no.",
    [AW_SAY_COL_WHAT] = "what",
    [AW_SAY_COL_MEASURE] = "measure",
    [AW_SAY_COL_PHOTOGRAPH] = "photograph and ask",
    [AW_SAY_COL_FOUND] = "found",
    [AW_SAY_VISIT_BREAKS] = "What stands in rose can take away a need that is met as drawn.",
    [AW_SAY_LACK_RANK] =
        "Not ranked: --quick leaves the sensitivity out, or no zone states a need.",
    [AW_SAY_VISIT_THINGS] = "Things in the hall",
    [AW_SAY_VISIT_THINGS_CAPTION] = "What the scenario holds, heights in {0}",
    [AW_SAY_COL_MATERIAL] = "material",
    [AW_SAY_COL_BASE] = "lower edge",
    [AW_SAY_COL_TOP] = "top",
    [AW_SAY_LACK_THINGS] = "The scenario holds no obstacle and no wall: list what stands there.",
    [AW_SAY_VISIT_PLACES] = "Where anchors are to hang",
    [AW_SAY_VISIT_PLACES_CAPTION] = "Places of the layout, lengths in {0}",
    [AW_SAY_COL_CARRIES] = "what carries it there",
    [AW_SAY_COL_STEEL] = "steel, pipes, lamps near",
    [AW_SAY_VISIT_ASK] = "What to ask",
    [AW_SAY_ASK_STATES] =
        "Which vehicles and goods stand where, when the hall is full and when it is empty.",
    [AW_SAY_ASK_POWER] =
        "Where the network cabinet is, which ports and cable ways are free, who may lay cables.",
    [AW_SAY_ASK_ACCESS] = "Which lift may be used, when the hall is free, which permits it takes.",
    [AW_SAY_ASK_ZONES] =
        "What each zone decides: what a wrong position costs, and how often one may be wrong.",
    [AW_SAY_ASK_TAGS] = "How tags are fixed, at which height they ride, whether metal covers them.",
    [AW_SAY_ASK_RADIO] =
        "Which radio is in the hall already, and what the rules of the place allow.",
    [AW_SAY_ASK_PROOF] =
        "Who surveys for the acceptance, by what instrument, and what counts as passed.",
    [AW_SAY_CARE_VISIT] = "Walk with a guide of the site: vehicles, cranes and pits are live.",
};

const aw_language aw_english = {
    .phrases = phrases,
    .numbers = aw_english_numbers,
    .first_numbers = aw_english_first_numbers,
    .assumed = aw_english_assumed,
    .confirmed_by = aw_english_confirmed_by,
    .pictured = aw_english_pictured,
};
