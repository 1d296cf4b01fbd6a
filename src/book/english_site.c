/* What numbers and assumptions are called in English, and how each of these is confirmed on a
 * visit. */
#include "book/phrases.h"

const char *const aw_english_numbers[AW_MOST_NUMBER + 1] = {
    "no",    "one",   "two",  "three", "four",   "five",  "six",
    "seven", "eight", "nine", "ten",   "eleven", "twelve"};

const char *const aw_english_first_numbers[AW_MOST_NUMBER + 1] = {
    "None",  "One",   "Two",  "Three", "Four",   "Five",  "Six",
    "Seven", "Eight", "Nine", "Ten",   "Eleven", "Twelve"};

const char *const aw_english_assumed[AW_ASSUMPTIONS] = {
    [AW_ASSUME_TOPS] = "height of obstacles",
    [AW_ASSUME_LOSSES] = "loss through materials",
    [AW_ASSUME_DELAYS] = "delay through materials",
    [AW_ASSUME_SIGMA] = "noise of an arrival",
    [AW_ASSUME_SPOT] = "reflection error",
    [AW_ASSUME_TAIL_SHARE] = "share of large errors",
    [AW_ASSUME_TAIL] = "size of large errors",
    [AW_ASSUME_SURVEY] = "survey of the anchors",
    [AW_ASSUME_DELAY] = "cable and antenna delay of anchors",
    [AW_ASSUME_TAG_HEIGHTS] = "height of tags",
    [AW_ASSUME_HEIGHT_SIGMAS] = "spread of tag heights",
    [AW_ASSUME_RANGE] = "radio range",
    [AW_ASSUME_BUDGET] = "loss that a link bears",
    [AW_ASSUME_FLOOR] = "error of the strongest arrival",
    [AW_ASSUME_POWER] = "power sent",
    [AW_ASSUME_RECEIVER] = "receiver's sensitivity",
    [AW_ASSUME_SHADOWING] = "scatter of reception",
};

const char *const aw_english_confirmed_by[AW_ASSUMPTIONS] = {
    [AW_ASSUME_TOPS] = "Measure the top of each obstacle, and its lower edge where it is raised.",
    [AW_ASSUME_LOSSES] = "Measure one obstacle of each kind: a tag behind it, an anchor before it, "
                         "and the same without it.",
    [AW_ASSUME_DELAYS] =
        "Measure the extra distance that a tag behind one obstacle of each kind shows.",
    [AW_ASSUME_SIGMA] = "A tag at rest in clear sight of one pair of anchors for ten minutes: the "
                        "spread of its distance difference.",
    [AW_ASSUME_SPOT] = "A tag at twenty surveyed spots half a metre apart: how the mean of its "
                       "errors differs between them.",
    [AW_ASSUME_TAIL_SHARE] =
        "The same twenty spots: how many err by more than three times the rest.",
    [AW_ASSUME_TAIL] = "The same spots: by how much those err.",
    [AW_ASSUME_SURVEY] = "Ask by what instrument anchors are surveyed; two anchors measured twice.",
    [AW_ASSUME_DELAY] = "Ask how cable and antenna delays are calibrated, and how often.",
    [AW_ASSUME_TAG_HEIGHTS] = "Measure how high tags ride, on three things of each kind.",
    [AW_ASSUME_HEIGHT_SIGMAS] = "The same: the least and the greatest height.",
    [AW_ASSUME_RANGE] = "Walk a tag away from one anchor down the hall until its arrivals fail.",
    [AW_ASSUME_BUDGET] = "Ask the maker for the link margin of tag and anchor.",
    [AW_ASSUME_FLOOR] = "Ask the maker for the arrival error at short range.",
    [AW_ASSUME_POWER] = "Ask for the power that the tag is approved for, antenna included.",
    [AW_ASSUME_RECEIVER] = "Ask the maker for noise figure and sensitivity.",
    [AW_ASSUME_SHADOWING] = "Note reception at ten spots of equal distance: how much it scatters.",
};

const char *const aw_english_pictured[AW_ASSUMPTIONS] = {
    [AW_ASSUME_TOPS] = "Each obstacle from two sides with a staff in the picture. Ask what is "
                       "moved, raised or stacked.",
    [AW_ASSUME_LOSSES] = "Each kind of obstacle close by: sheet, mesh, goods. Ask of what it is "
                         "made and how full it is kept.",
    [AW_ASSUME_DELAYS] = "The same things. Ask how thick they are.",
    [AW_ASSUME_SIGMA] = "Nothing. Ask the maker for the arrival error of a clear link.",
    [AW_ASSUME_SPOT] = "Floor, ceiling and walls: bare metal, cladding, pipes.",
    [AW_ASSUME_TAIL_SHARE] = "Corners and niches with metal on three sides.",
    [AW_ASSUME_TAIL] = "The same corners.",
    [AW_ASSUME_SURVEY] = "Fixed points that a survey can begin from. Ask for the drawing's datum.",
    [AW_ASSUME_DELAY] = "Cable ways. Ask who calibrates and how often.",
    [AW_ASSUME_TAG_HEIGHTS] = "Where tags are fixed on vehicles, goods and people.",
    [AW_ASSUME_HEIGHT_SIGMAS] = "The highest and the lowest way that a tag rides.",
    [AW_ASSUME_RANGE] = "The longest clear way down the hall.",
    [AW_ASSUME_BUDGET] = "Nothing. Ask the maker for the link margin.",
    [AW_ASSUME_FLOOR] = "Nothing. Ask the maker for the arrival error at short range.",
    [AW_ASSUME_POWER] = "The type plate of the tag.",
    [AW_ASSUME_RECEIVER] = "The type plate of the anchor.",
    [AW_ASSUME_SHADOWING] = "What moves in the hall while it works.",
};
