# new: halls of every size give a scenario that is sound, is assessed at once and meets ordinary needs.
# Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"
. "$here/locales.sh"
fast="--draws 256 --quiet"

# --- a table of halls ---
is_sound() { # options of new: the scenario draws no error and no warning
    "$PROGRAM" new "$@" > "$folder/hall.yaml" &&
        "$PROGRAM" check "$folder/hall.yaml" > /dev/null 2> "$folder/complaints" &&
        [ ! -s "$folder/complaints" ] || { cat "$folder/complaints"; return 1; }
}
verdict() { # status, options of new
    local want=$1
    shift
    is_sound "$@" && ends_with "$want" "$PROGRAM" assess $fast "$folder/hall.yaml"
}
while read -r want hall options; do
    # shellcheck disable=SC2086
    ok "a_hall_of_${hall}_${options:+with_${options// /_}_}ends_with_$want" verdict "$want" --hall "$hall" $options
done << 'HALLS'
0 72x38x9.5
0 72x38x9.5 --need 1
0 72x38x9.5 --need 0.5
0 72x38x9.5 --need 0.3
1 72x38x9.5 --need 0.05
0 3x3x2.4
0 3x3x2.4 --need 0.8
1 3x3x2.4 --need 0.05
0 2x2x2
0 8x6x3 --need 0.5
0 24x12x6 --need 0.5
0 12x24x6 --need 0.5
0 200x12x6 --need 0.5
0 12x200x6
0 500x2x2
0 41x41x20 --need 0.5
0 15x10x25 --need 0.5
0 120x60x12 --need 0.5
0 400x300x30 --need 0.5
0 400x300x30
0 500x500x50
0 240x125x31 --units ft --need 1.5
0 6.6x1640x164 --units ft
HALLS

# --- what is in it ---
has() { # text, options of new
    local text=$1
    shift
    "$PROGRAM" new "$@" | grep -qF -- "$text"
}
H="--hall 72x38x9.5"
# shellcheck disable=SC2086
{
    ok the_hall_stands_as_it_was_given has '[[0, 0], [72.125, 0], [72.125, 38.1], [0, 38.1]]' --hall '72.125 X 38.1 x 9.55'
    ok the_ceiling_stands_as_it_was_given has '  ceiling: 9.55 ' --hall '72.125 X 38.1 x 9.55'
    ok the_need_stands_as_it_was_given has 'need: {p95: 0.47}}' $H --need 0.47
    ok without_a_need_none_is_asked bash -c "! $PROGRAM new $H | grep -v '^#' | grep -q need"
    ok the_example_of_an_obstacle_is_of_metal has 'material: metal}' $H
    ok the_starting_point_is_named has '  start: not measured' $H
    ok a_site_in_feet_says_so has 'units: ft ' $H --units ft
}
numbers_are_short() { # at most three decimals, in metres and in feet
    for units in m ft; do
        ! "$PROGRAM" new --hall 71x37x9 --units $units | grep -v '^#' | grep -E '[0-9]\.[0-9]{4}' || return 1
    done
}
ok numbers_have_no_noise numbers_are_short
heard() { # hall, least: every cell of the work area hears so many anchors
    "$PROGRAM" new --hall "$1" --out "$folder/hall.yaml" &&
        "$PROGRAM" assess "$folder/hall.yaml" --draws 1 --quiet --cells "$folder/cells.csv" --out /dev/null &&
        awk -F, -v hall="$1" -v least="$2" 'BEGIN { split(hall, side, "x") }
            NR > 1 && $1 > 1 && $1 < side[1] - 1 && $2 > 1 && $2 < side[2] - 1 { n++; short += $4 < least }
            END { exit !(n > 100 && short == 0) }' "$folder/cells.csv"
}
for hall in 72x38x9.5 200x12x6 90x90x12 400x300x30; do
    ok "every_spot_of_${hall}_hears_five_anchors" heard $hall 5
done
anchors_of() { "$PROGRAM" new "$@" | grep -c '^  - {name: A'; }
more_for_less() { # a stricter need takes more anchors, and a hall that links reach across has none inside
    # shellcheck disable=SC2086
    [ "$(anchors_of $H --need 0.3)" -gt "$(anchors_of $H --need 0.5)" ] &&
        "$PROGRAM" new --hall 400x300x30 | grep -q 'inside, on columns' &&
        ! "$PROGRAM" new $H | grep -q 'inside, on columns'
}
ok a_stricter_need_takes_more_anchors more_for_less
takes_candidates() { # what the hints at the end say
    {
        "$PROGRAM" new --hall 24x12x6 --need 0.8
        echo 'candidates: {lines: [{name: W, path: [[0.3, 0.3], [23.7, 0.3], [23.7, 11.7], [0.3, 11.7]], spacing: 4, low: 5}]}'
    } > "$folder/places.yaml"
    # shellcheck disable=SC2086
    "$PROGRAM" place "$folder/places.yaml" --afresh $fast
}
ok it_takes_candidates_and_is_placed takes_candidates

# --- a need that is out of reach ---
said_of_need() { # text or nothing, need
    "$PROGRAM" new --hall 72x38x9.5 --need "$2" | sed '/^[^#]/,$d' > "$folder/head"
    if [ -n "$1" ]; then grep -q "$1" "$folder/head"; else ! grep -qE 'NEED|EDGE' "$folder/head"; fi
}
ok a_need_out_of_reach_is_told said_of_need 'NEED NOT REACHED: p95 0.05 m' 0.05
ok an_ordinary_need_is_not_remarked_on said_of_need '' 0.5
ok a_need_on_the_edge_is_told bash -c "$PROGRAM new --hall 9.7x7.5x4.8 --need 0.36 | grep -q 'ON THE EDGE.* too near to 0.36 m'"
# By the row that the reference has of the starting point: white, spot and tail.
arrival_error() {
    local sum
    sum=$("$PROGRAM" help scenario | awk -F'|' '/^\| not measured / {
        s = $3 ^ 2 + (1 - $5) * $4 ^ 2 + $5 * $6 ^ 2; printf "%.3f", sqrt(s) }')
    said_of_need "errs by $sum m (1 sigma)" 0.05
}
ok the_error_that_is_told_is_that_of_the_starting_point arrival_error

# --- the same everywhere ---
# shellcheck disable=SC2086
"$PROGRAM" new $H --need 0.3 > "$folder/once.yaml"
# shellcheck disable=SC2086
ok the_same_bytes_twice bash -c "$PROGRAM new $H --need 0.3 | cmp - $folder/once.yaml"
ok a_locale_with_a_comma_is_made make_comma "$folder/locales"
same_in() { in_locale "$1" "$PROGRAM" new --hall 72x38x9.5 --need 0.3 | cmp - "$folder/once.yaml"; }
for name in $LOCALES; do
    ok "the_same_bytes_in_locale_$name" same_in "$name"
done
one_hall_in_two_units() {
    "$PROGRAM" new --hall 72x38x9.5 --need 0.5 --out "$folder/m.yaml"
    "$PROGRAM" new --hall 236.2205x124.6719x31.168 --need 1.6404 --units ft --out "$folder/ft.yaml"
    for unit in m ft; do
        "$PROGRAM" assess "$folder/$unit.yaml" --quiet --json --out "$folder/$unit.json" || return 1
    done
    /usr/bin/python3 - "$folder/m.json" "$folder/ft.json" << 'PYTHON'
import json, sys
metres, feet = (json.load(open(path)) for path in sys.argv[1:])
assert metres["met"] is True and feet["met"] is True
assert len(metres["anchors"]) == len(feet["anchors"])
for a, b in zip(metres["anchors"], feet["anchors"]):
    assert max(abs(p - q) for p, q in zip(a["at_m"], b["at_m"])) < 0.01, (a, b)
a, b = metres["zones"][0], feet["zones"][0]
assert abs(a["p95_m"] / b["p95_m"] - 1) < 0.02, (a["p95_m"], b["p95_m"])
PYTHON
}
ok feet_and_metres_of_a_hall_agree one_hall_in_two_units

# --- files ---
mkdir "$folder/day one"
ok a_file_may_have_a_space bash -c "$PROGRAM new $H --need 0.3 --out '$folder/day one/a hall.yaml' &&
    cmp '$folder/day one/a hall.yaml' $folder/once.yaml && $PROGRAM check '$folder/day one/a hall.yaml'"
ok a_dash_is_standard_output bash -c "$PROGRAM new $H --need 0.3 --out - | cmp - $folder/once.yaml"
ok it_goes_straight_to_assess bash -c "$PROGRAM new --hall 9x7x4 --need 0.8 | $PROGRAM assess - $fast"
ok a_full_disk_is_told ends_with 3 bash -c "$PROGRAM new $H > /dev/full"
kept() { # a file that is there stays as it is when the hall is wrong
    echo old > "$folder/old"
    ends_with 2 "$PROGRAM" new --hall 0x3x3 --out "$folder/old" && [ "$(cat "$folder/old")" = old ]
}
ok a_wrong_hall_writes_nothing kept

# --- what is refused ---
refused() { # complaint, options of new
    local complaint=$1
    shift
    "$PROGRAM" new "$@" > "$folder/result" 2> "$folder/complaint"
    [ $? -eq 2 ] && [ ! -s "$folder/result" ] && grep -qxF -- "anchorwise: $complaint" "$folder/complaint" ||
        { cat "$folder/complaint"; return 1; }
}
shape="is not LENGTHxWIDTHxHEIGHT, three numbers such as 72x38x9.5"
for hall in 72x38 72 x 72x38x9.5x2 ax3x3 3x3xb 3,5x3x3 72x0x38x9 nanx3x3 infx3x3 1e400x3x3 72xx9 '7 2x38x9' 3x3x3m 72×38×9; do
    ok "no_hall_is_${hall// /_}" refused "--hall: '$hall' $shape" --hall "$hall"
done
ok a_side_of_nothing_is_refused refused "--hall: width 0 is outside [2, 500] m" --hall 9x0x3
ok a_negative_side_is_refused refused "--hall: length -1 is outside [2, 500] m" --hall -1x9x3
ok an_absurd_side_is_refused refused "--hall: width 501 is outside [2, 500] m" --hall 9x501x3
ok an_absurd_height_is_refused refused "--hall: height 51 is outside [2, 50] m" --hall 9x9x51
ok every_wrong_side_is_told bash -c "[ \$($PROGRAM new --hall 0x1x99 2>&1 | grep -c 'is outside') -eq 3 ]"
ok limits_are_told_in_feet refused "--hall: height 6 is outside [6.562, 164] ft" --hall 99x99x6 --units ft
ok the_limits_themselves_are_allowed is_sound --hall 6.562x6.562x6.562 --units ft
for need in 0 -0.5 x 1,5 nan 1001 0x1; do
    ok "no_need_is_$need" refused "--need: '$need' is not a number in (0, 1000] m" --hall 9x9x3 --need "$need"
done
ok the_limit_of_a_need_has_the_units refused "--need: '0' is not a number in (0, 1000] ft" --hall 9x9x9 --need 0 --units ft
ok an_unknown_unit_is_refused refused "--units: 'yd' is not one of m, ft" --hall 9x9x3 --units yd
ok a_missing_hall_is_told refused "new needs --hall LENGTHxWIDTHxHEIGHT, such as --hall 72x38x9.5"
ok it_takes_no_scenario refused "new takes no scenario; 'hall.yaml' is one too many" --hall 9x9x3 hall.yaml
exit $failed
