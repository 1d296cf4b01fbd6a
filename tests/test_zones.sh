# zones and need from outside. Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

cat > "$folder/bays.yaml" <<'YAML'
anchorwise: 1
title: Bays
floor: {outline: [[0, 0], [14, 0], [14, 10], [0, 10]], ceiling: 6}
anchors:
  - {name: a, at: [0, 0, 5]}
  - {name: b, at: [14, 0, 5]}
  - {name: c, at: [14, 10, 5]}
  - {name: d, at: [0, 10, 5]}
ranging: {sigma: 0.1}
zones:
  - {name: bay 1, outline: [[2, 3], [4.7, 3], [4.7, 6], [2, 6]], need: {zone_share: 0.99, p99: 2}}
  - {name: bay 2, outline: [[4.7, 3], [7.4, 3], [7.4, 6], [4.7, 6]], need: {zone_share: 0.5, fix_share: 1}}
  - {name: slot, outline: [[9, 3], [9.2, 3], [9.2, 6], [9, 6]], need: {p50: 1, p95: 2, share: 0.5}}
study: {step: 0.25, draws: 100}
YAML
Z="$PROGRAM zones $folder/bays.yaml"
N="$PROGRAM need"

# --- zones ---
$Z --threads 1 --json --out "$folder/1.json"
$Z --threads 7 --json --out "$folder/7.json"
ok zones_have_the_same_bytes_for_any_threads cmp "$folder/1.json" "$folder/7.json"
cat > "$folder/shape.py" <<'PY'
import json
import sys
d = json.load(open(sys.argv[1]))
assert list(d) == ["anchorwise", "scenario", "settings", "figures", "right", "zones", "format"], list(d)
assert d["figures"] == "bench" and d["right"] == 0.99
for z in d["zones"]:
    assert list(z) == ["name", "tag", "reported", "elsewhere", "no_fix", "inside", "outside",
                       "right_area_share", "overlaps", "on_level", "met"], list(z)
    assert z["met"] is {"bay 1": False, "bay 2": None}.get(z["name"], z["met"])
    assert z["overlaps"] == [] and z["on_level"] is None  # bays that touch do not overlap
    for side in "inside", "outside":
        assert list(z[side]) == ["setback_m", "at_m", "reported_share", "place_m", "no_fix_share",
                                 "none_since"] + ["beyond"] * (side == "inside") + [
                                 "cramped_points", "cramped_at_m", "cramped_share"], list(z[side])
    assert [r["zone"] for r in z["reported"]] == ["bay 1", "bay 2", "slot"]
    cells = z["reported"] + [z["elsewhere"], z["no_fix"]]
    # Zones that only touch: every draw is counted once.
    assert abs(sum(c["share"] for c in cells) - 1) < 1e-9
    assert all(0 <= c["low"] <= c["share"] <= c["high"] <= 1 for c in cells)
one, two, slot = d["zones"]
assert one["inside"]["setback_m"] > 0.1 and len(one["inside"]["at_m"]) == 2
assert one["inside"]["reported_share"] >= 0.99 >= 1 - one["outside"]["reported_share"] - 1e-9
assert slot["inside"]["setback_m"] is None and slot["right_area_share"] == 0
assert slot["inside"]["reported_share"] < 0.99 and slot["inside"]["none_since"] == "too narrow"
assert one["inside"]["none_since"] is None and one["inside"]["cramped_points"] == 0
PY
ok zones_as_json_have_the_documented_shape /usr/bin/python3 "$folder/shape.py" "$folder/1.json"
$Z --out "$folder/zones.txt"
cat > "$folder/reported.py" <<'PY'
import json
import re
import sys
text = open(sys.argv[1]).read()
rows = {}
for line in text[text.index("a tag in"):].split("\n\n")[0].splitlines()[1:]:
    name, *cells = re.split(r"  +", line)
    rows[name] = cells
zones = json.load(open(sys.argv[2]))["zones"]
percent = lambda x: f"{100 * x:.0f} %" if x == 0 or x == 1 or 0.01 <= x <= 0.99 else f"{100 * x:.1f} %"
assert len(zones) == len(rows) > 1
named = 0
for z in zones:
    own = next(r["share"] for r in z["reported"] if r["zone"] == z["name"])
    others = sorted(((-r["share"], k) for k, r in enumerate(z["reported"])
                     if r["zone"] != z["name"] and r["share"] >= 0.005))
    want = ", ".join(f'{z["reported"][k]["zone"]} {percent(-share)}' for share, k in others[:4])
    want += f" and {len(others) - 4} more" if len(others) > 4 else ""
    named += len(others)
    assert rows[z["name"]] == [percent(own), percent(z["elsewhere"]["share"]), percent(z["no_fix"]["share"]),
                               want or "–"], (rows[z["name"]], own, want)
assert named > 1
PY
ok a_table_says_where_tags_are_reported /usr/bin/python3 "$folder/reported.py" "$folder/zones.txt" "$folder/1.json"
{ sed '/^zones/,$d' "$folder/bays.yaml"; echo 'zones:'
    for i in 0 1 2 3 4 5 6 7 8; do
        echo "  - {name: z$i, outline: [[$((i + 1)), 3], [$((i + 2)), 3], [$((i + 2)), 4], [$((i + 1)), 4]]}"
    done
    echo 'study: {step: 0.5, draws: 64}'; } | sed 's/sigma: 0.1/sigma: 3/' > "$folder/nine.yaml"
$PROGRAM zones --quiet "$folder/nine.yaml" > "$folder/nine.txt"
$PROGRAM zones --quiet "$folder/nine.yaml" --json > "$folder/nine.json"
ok of_many_zones_the_most_often_reported_are_named \
    /usr/bin/python3 "$folder/reported.py" "$folder/nine.txt" "$folder/nine.json"
ok zones_beyond_four_are_counted grep -q '^z.* and [0-9]* more$' "$folder/nine.txt"
ok a_zone_too_narrow_is_called_so grep -qE '^slot has no setback: on the way in from \(9\.[0-2][0-9], [0-9.]+\) m the best place is \(9\.[0-2][0-9], [0-9.]+\) m, and the zone is too narrow there for the errors: only [0-9]+\.[0-9] % are reported inside\.$' "$folder/zones.txt"
ok zones_that_touch_do_not_overlap eval '! grep -q "^Zones overlap" "$folder/zones.txt"'
ok zones_are_marked_as_bench_figures grep -q '^BENCH FIGURES' "$folder/zones.txt"
ok zones_say_their_settings grep -qx '4 anchors, cells of 0.25 m, 100 draws, seed 1, bench figures' "$folder/zones.txt"
sed -i 's/^  - {name: [bcd],.*//' "$folder/bays.yaml"
ok one_anchor_is_one bash -c "$Z --quiet | grep -qx '1 anchor, cells of 0.25 m, 100 draws, seed 1, bench figures'"
ok a_scenario_without_zones_is_refused bash -c "sed '/^zones/,/slot/d' $folder/bays.yaml > $folder/none.yaml;
    [ \"\$($PROGRAM zones --quiet $folder/none.yaml 2>&1)\" = 'anchorwise: $folder/none.yaml has no zones' ]"
ok a_scenario_without_zones_ends_with_2 ends_with 2 $PROGRAM zones "$folder/none.yaml"

# --- every reason is true ---
# A pen of metal with a lid hides half the room, where nothing has a fix; the yard is wide.
cat > "$folder/reasons.yaml" <<'YAML'
anchorwise: 1
title: Reasons
floor: {outline: [[0, 0], [40, 0], [40, 12], [0, 12]], ceiling: 6}
levels: [{name: deck, outline: [[8, 9], [16, 9], [16, 12], [8, 12]], height: 2.5, slab: {thickness: 0.2}}]
obstacles:
  - {name: press, footprint: [[17, 6], [20, 6], [20, 9], [17, 9]], top: 5, material: wood}
walls: [{name: screen, path: [[24, 0], [24, 12]], thickness: 0.2, material: metal}]
anchors:
  - {name: a, at: [0.3, 0.3, 5]}
  - {name: b, at: [23.5, 0.3, 4]}
  - {name: c, at: [23.5, 11.7, 5]}
  - {name: d, at: [0.3, 11.7, 4]}
ranging: {sigma: 0.1, spot_sigma: 0.3}
zones:
  - {name: yard, outline: [[25, 2], [38, 2], [38, 10], [25, 10]]}
  - {name: strip, outline: [[3, 0], [15, 0], [15, 1], [3, 1]]}
  - {name: whole, outline: [[0, 0], [40, 0], [40, 12], [0, 12]]}
  - {name: by the press, outline: [[10, 6.5], [16.8, 6.5], [16.8, 8.5], [10, 8.5]]}
  - {name: deck, outline: [[9, 9.2], [15, 9.2], [15, 11.8], [9, 11.8]]}
study: {step: 0.5, draws: 200}
YAML
R="$PROGRAM zones --quiet $folder/reasons.yaml"
$R > "$folder/reasons.txt"
$R --json > "$folder/reasons.json"
told() { grep -qE "$1" "$folder/reasons.txt"; }
ok where_draws_have_no_fix_that_is_the_reason told '^yard has no setback: on the way in from .* the best place is .*, and 100\.0 % of the draws have no fix there\.$'
ok nobody_is_called_narrow_for_want_of_a_fix eval '! grep -E "^yard .*narrow" "$folder/reasons.txt"'
ok a_border_along_the_floors_edge_is_called_so told '^strip has no setback: .* too narrow there .* A border next to it runs along the edge of the floor: no tag is beyond it, and a zone drawn further out would count these reports as inside\.$'
ok a_zone_that_is_the_whole_floor_says_why_it_has_a_dash told '^whole has no setback outside: no tag can be just outside any of its border'
ok a_press_in_the_way_is_told told '^Outside by the press, [0-9]+ border points? asks? for no setback, since no tag can be so far off: at \(16\.[78][0-9], [678]\.[0-9]+\) m even at the best place'
ok overlapping_zones_are_named told '^Zones overlap: yard and whole; strip and whole; whole and by the press; whole and deck\. A fix where they do counts in each, so the rows may sum to more than 100 %\.$'
ok a_zone_under_a_deck_has_a_star_in_its_row told '^deck \*  .*%'
ok the_star_is_explained told "^\* deck: figures are for a tag standing on level 'deck'; a tag under it is not computed\.$"
ok assess_has_the_same_star eval '$PROGRAM assess --quiet "$folder/reasons.yaml" > "$folder/starred.txt" &&
    grep -q "^deck \* " "$folder/starred.txt" && grep -q "^\* deck: figures are for a tag standing on level" "$folder/starred.txt"'
cat > "$folder/reasons.py" <<'PY'
import json
import sys
yard, strip, whole, press, deck = json.load(open(sys.argv[1]))["zones"]
assert yard["inside"]["none_since"] == "no fix" and yard["inside"]["no_fix_share"] == 1
assert strip["inside"]["none_since"] == "too narrow"
assert strip["inside"]["beyond"] == "the edge of the floor"
assert whole["outside"]["none_since"] == "no tag can be there"
assert whole["outside"]["at_m"] == [None, None] and whole["outside"]["cramped_points"] == 0
assert press["outside"]["cramped_points"] > 0 and 0 < press["outside"]["cramped_share"] < 1
assert whole["overlaps"] == ["yard", "strip", "by the press", "deck"] and yard["overlaps"] == ["whole"]
assert deck["on_level"] == "deck" and press["on_level"] is None
PY
ok the_json_has_the_same_reasons /usr/bin/python3 "$folder/reasons.py" "$folder/reasons.json"

# --- needs in assess ---
cat > "$folder/good.yaml" <<'YAML'
anchorwise: 1
title: Bays
floor: {outline: [[0, 0], [14, 0], [14, 10], [0, 10]], ceiling: 6}
anchors: [{name: a, at: [0, 0, 5]}, {name: b, at: [14, 0, 5]}, {name: c, at: [14, 10, 5]}, {name: d, at: [0, 10, 5]}]
ranging: {sigma: 0.1}
zones:
  - {name: bay 1, outline: [[2, 3], [4.7, 3], [4.7, 6], [2, 6]], need: {zone_share: 0.99, p99: 2}}
  - {name: bay 2, outline: [[4.7, 3], [7.4, 3], [7.4, 6], [4.7, 6]], need: {p50: 0.001, p99: 0.001, fix_share: 1}}
study: {step: 0.25, draws: 100}
YAML
$PROGRAM assess "$folder/good.yaml" > "$folder/good.txt"
# The words of a verdict, and those on the line below, where a wide table breaks them.
breaks() { # the line, the one below
    grep -E -A1 "$1" "$folder/good.txt" | sed -n 2p | grep -qE "$2"
}
ok the_verdict_names_the_zone_share breaks '^bay 1 +p99 <= 2 m, .* NOT MET: zone  ' '>= 99 % +share$'
ok the_verdict_names_every_part_that_failed breaks '^bay 2 +p50 <= 0.001 m, .* NOT MET: p50 and  ' 'p99 <= +p99$'
ok the_zone_share_is_told_with_its_interval grep -qE '^bay 1 .* [0-9]+ % \([0-9]+ to [0-9]+ %\)$' "$folder/good.txt"
ok check_tells_the_whole_need bash -c "$PROGRAM check $folder/good.yaml | grep -qE 'bay 1 +8.1 m², tag, p99 <= 2 m, zone share >= 99 %\$'"
$PROGRAM assess "$folder/good.yaml" --json > "$folder/good.json"
cat > "$folder/parts.py" <<'PY'
import json
import sys
one, two = json.load(open(sys.argv[1]))["zones"]
assert list(one["parts"]) == ["p99_m", "zone_share"], one["parts"]
assert one["parts"]["p99_m"]["met"] is True and one["parts"]["zone_share"]["met"] is False
assert one["need"]["p95_m"] is None and one["need"]["p99_m"] == 2 and one["met"] is False
for zone in one, two:
    for key, part in zone["parts"].items():
        assert list(part) == ["asked", "value", "low", "high", "met"]
        assert part["low"] <= part["value"] <= part["high"]
        assert key not in zone or zone[key] == part["value"], key
assert one["zone_share"] == one["parts"]["zone_share"]["value"] and two["zone_share"] is None
assert two["fix_share"] == 1 and two["p99_m"] > two["p95_m"]
PY
ok every_part_of_a_need_is_in_the_json /usr/bin/python3 "$folder/parts.py" "$folder/good.json"

# --- need ---
$N --width 2.7 --inside 0.45 --decisions 1000 --wrong 10 > "$folder/got"
cat > "$folder/want" <<'TEXT'
Zones 2.7 m wide in a row, tags at least 0.45 m inside; of 1000 decisions 10 may be wrong (1 %)

takes   sigma <= 0.19 m along each axis
        p95   <= 0.47 m

Of 16 measured sets in 3 labs, 12 reach this: UTIL decentralised (7), UTIL centralised, STAR-loc s5 (3), planar 8.14.
In zones 2.91 m wide all would do, with tags at least 0.55 m inside, as far
from the middle as now. 'anchorwise zones SCENARIO' tells what a layout reaches.
For circular normal errors without bias; walls, racks and heavy tails ask for more.
TEXT
ok a_task_is_told_its_p95_and_which_measured_sets_reach_it cmp "$folder/got" "$folder/want"
$N --width 0.5 --decisions 1 --wrong 0.0001 > "$folder/got"
cat > "$folder/want" <<'TEXT'
Zones 0.5 m wide in a row, tags at least 0.25 m inside; of 1 decision 0.0001 may be wrong (< 0.1 %)

takes   sigma <= 0.06 m along each axis
        p95   <= 0.16 m

Of 16 measured sets in 3 labs, 4 reach this: STAR-loc s5 (3), planar 8.14.
In zones 1.86 m wide all would do, with tags at least 0.93 m inside, as far
from the middle as now. 'anchorwise zones SCENARIO' tells what a layout reaches.
For circular normal errors without bias; walls, racks and heavy tails ask for more.
TEXT
ok zones_too_narrow_are_told_the_width_that_would_do cmp "$folder/got" "$folder/want"
ok what_no_measured_set_reaches_is_called_so bash -c "$N --width 0.2 --decisions 1000 --wrong 1 | grep -q 'none reaches this'"
ok a_task_as_json_gives_the_same bash -c "$N --width 2.7 --inside 0.45 --decisions 1000 --wrong 10 --json |
    /usr/bin/python3 -c 'import json, sys; d = json.load(sys.stdin)
assert abs(d[\"sigma_m\"] - 0.1934) < 1e-4 and d[\"reach\"] == \"on the edge\" and d[\"sets_reaching\"] == 12
assert d[\"width_that_would_do_m\"] > 2.7 and d[\"measured_p95_m\"] == [0.0896, 0.5837]'"
ok a_missing_width_is_named says "need takes --width, --decisions and --wrong; --width is missing" $N --decisions 5 --wrong 1
ok a_missing_number_is_named says "--wrong is missing" $N --decisions 5 --width 1
ok a_width_of_0_is_refused says "--width: '0' is not a number in (0, 1000] m" $N --width 0 --decisions 5 --wrong 1
ok a_place_beyond_the_middle_is_refused says "--inside: '1.5' is not a number in (0, 1.35] m, half the width" \
    $N --width 2.7 --inside 1.5 --decisions 5 --wrong 1
ok all_decisions_wrong_is_refused says "--wrong: '5' is not a number in (0, 5), the decisions" $N --width 1 --decisions 5 --wrong 5
ok no_decision_is_refused says "--decisions: 'many' is not a number in (0, 1000000000000]" $N --width 1 --decisions many --wrong 1
ok a_wrong_task_ends_with_2 ends_with 2 $N --width nan --decisions 5 --wrong 1
ok a_need_takes_no_scenario says "need takes no scenario; '$folder/good.yaml' is one too many" $N "$folder/good.yaml"
ok a_need_takes_no_seed says "unknown option '--seed'" $N --seed 1
ok a_full_disk_for_a_task_ends_with_3 ends_with 3 sh -c "$N --width 1 --decisions 5 --wrong 1 > /dev/full"
exit $failed
