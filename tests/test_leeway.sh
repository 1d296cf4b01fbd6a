# sensitivity and freedom from outside. Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

cat > "$folder/hall.yaml" <<'YAML'
anchorwise: 1
title: Hall
floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}
anchors:
  - {name: A1, at: [0.5, 0.5, 4]}
  - {name: A2, at: [19.5, 0.5, 4.5]}
  - {name: A3, at: [19.5, 11.5, 4]}
  - {name: A4, at: [0.5, 11.5, 4.5]}
  - {name: A5, at: [10, 6, 5]}
ranging: {sigma: 0.1, survey_sigma: 0.02}
zones: [{name: bench, outline: [[12, 2], [18, 2], [18, 10], [12, 10]], need: {p95: 0.45}}]
assumptions: {sigma: [0.05, 0.3], survey_sigma: [0, 0.1]}
study: {step: 2, draws: 200, margin: 1, odds: 0.9}
YAML
S="$PROGRAM sensitivity $folder/hall.yaml"
F="$PROGRAM freedom $folder/hall.yaml"

$S --threads 1 --json > "$folder/1.json"
$S --threads 5 --json --chart "$folder/bars.svg" > "$folder/5.json"
ok sensitivities_have_the_same_bytes_for_any_threads cmp "$folder/1.json" "$folder/5.json"
cat > "$folder/sensitivity.py" <<'PY'
import json
import sys
d = json.load(open(sys.argv[1]))
assert list(d) == ["anchorwise", "scenario", "settings", "figures", "assumptions", "zones",
                   "share_holding_all", "tolerances", "budget", "format"], list(d)
stated = {a["assumed"]: (a["low"], a["high"], a["footing"]) for a in d["assumptions"] if a["stated"]}
assert stated == {"sigma": (0.05, 0.3, None), "survey_sigma": (0, 0.1, None)}, stated
assert all(a["footing"] for a in d["assumptions"] if not a["stated"])
zone, = d["zones"]
top = zone["ranked"][0]
assert top["assumed"] == "sigma" and top["high"]["met"] is False and top["low"]["met"] is True
moves = [max(abs(r[e]["change_m"]["value"]) for e in ("low", "high")) for r in zone["ranked"]]
assert moves == sorted(moves, reverse=True)
assert [t["of"] for t in d["tolerances"]] == ["survey", "delay", "height", "clock"]
assert all(t["most_m"] > 0 and t["takes"] for t in d["tolerances"])
assert all(0 < t["together_m"] <= t["most_m"] and t["left_out"] == [] for t in d["tolerances"])
assert d["budget"] == {"looks": 4, "left_out": []}, d["budget"]
assert d["share_holding_all"]["low"] <= d["share_holding_all"]["value"] < 1
PY
ok a_sensitivity_as_json_has_the_documented_shape /usr/bin/python3 "$folder/sensitivity.py" "$folder/1.json"
ok a_sensitivity_ends_with_0 ends_with 0 $S
ok what_a_client_is_to_confirm_is_said bash -c "$S | grep -q 'have the client confirm these'"
ok a_sensitivity_is_drawn bash -c "xmllint --noout $folder/bars.svg &&
    grep -q 'Tolerances with which every need is met' $folder/bars.svg"
ok a_range_the_wrong_way_round_is_refused bash -c "sed 's/sigma: \[0.05, 0.3\]/sigma: [0.3, 0.05]/' \
    $folder/hall.yaml > $folder/wrong.yaml; $PROGRAM sensitivity $folder/wrong.yaml 2> $folder/said.txt
    [ \$? -eq 2 ] && grep -q 'wrong.yaml:12:' $folder/said.txt"
ok a_range_without_a_part_is_told says 'assumptions: power_db is ignored' bash -c \
    "sed 's/sigma: \[0.05, 0.3\]/power_db: [-3, 0]/' $folder/hall.yaml > $folder/idle.yaml
    $PROGRAM check $folder/idle.yaml"

# Eight bays, more than are told in a table each.
zones=$(for i in 0 1 2 3 4 5 6 7; do
    x=$((1 + i % 4 * 4)) y=$((1 + i / 4 * 5))
    echo "  - {name: bay $i, outline: [[$x, $y], [$((x + 3)), $y], [$((x + 3)), $((y + 4))], [$x, $((y + 4))]], need: {p95: 0.4}}"
done)
sed '/^zones:/d' "$folder/hall.yaml" > "$folder/bays.yaml"
printf 'zones:\n%s\n' "$zones" >> "$folder/bays.yaml"
B="$PROGRAM sensitivity $folder/bays.yaml"
$B > "$folder/bays.txt" && $B --zone 'bay 6' > "$folder/bay.txt" && $B --json > "$folder/bays.json"
cat > "$folder/bays.py" <<'PY'
import json
import re
import sys
bays, bay = open(sys.argv[1]).read(), open(sys.argv[2]).read()
document = json.load(open(sys.argv[3]))
zones = document["zones"]
keys = [a["assumed"] for a in document["assumptions"]]
named = [line.split("  ")[0] for line in bays.split("\n\n")[1].splitlines()
         if line[0] != " " and not line.startswith("assumed")]
assert len(named) == len(keys)
def moves(zone):
    return [max(abs(r[e]["change_m"]["value"]) for e in ("low", "high")) for r in zone["ranked"]]
rows = re.findall(r"^(bay [0-9])  +([0-9.]+)  ([a-z ]+?)  +([0-9.]+)[^a-z]*?([0-9.]+)(?: \(.*?\))?  +"
                  r"([0-9.]+) to ([0-9.]+) .*?([0-9]+) %  ", bays, re.M)
wanted = sorted(zones, key=lambda z: -max(moves(z)))
assert [r[0] for r in rows] == [z["name"] for z in wanted], rows
for row, zone in zip(rows, wanted):
    top = zone["ranked"][0]
    assert abs(float(row[1]) - zone["today"]["p95_m"]) <= 0.01, row
    assert row[2] == named[keys.index(top["assumed"])], row
    assert abs(float(row[5]) - zone["joint"]["p95_p05_m"]) <= 0.051, row
    assert abs(float(row[6]) - zone["joint"]["p95_p95_m"]) <= 0.051, row
    assert int(row[7]) == round(100 * zone["joint"]["share_holding"]["value"]), row
    assert max(moves(zone)) == moves(zone)[0] > 0
assert "bay 6: p95" in bay and not re.search("bay [0-578]", bay)
assert all(len(re.findall(f"^{name}  ", bay, re.M)) == 2 for name in named)
for page in (bays, bay):
    table = [line for line in page.splitlines() if "   " in line]
    assert max(map(len, table)) <= 100, max(table, key=len)
PY
ok many_zones_have_a_row_each_and_what_moves_most_is_first \
    /usr/bin/python3 "$folder/bays.py" "$folder/bays.txt" "$folder/bay.txt" "$folder/bays.json"
ok an_unknown_zone_is_refused says "unknown zone 'bay 66'; did you mean 'bay 6'" $B --zone 'bay 66'
ok a_zone_and_json_are_refused ends_with 2 $B --zone 'bay 6' --json

$F --threads 1 --json > "$folder/1.json"
$F --threads 5 --json --chart "$folder/regions.svg" > "$folder/5.json"
ok freedoms_have_the_same_bytes_for_any_threads cmp "$folder/1.json" "$folder/5.json"
cat > "$folder/freedom.py" <<'PY'
import json
import sys
d = json.load(open(sys.argv[1]))
assert list(d) == ["anchorwise", "scenario", "settings", "figures", "reach_m", "step_m", "zones",
                   "anchors", "format"], list(d)
assert [a["name"] for a in d["anchors"]] == ["A1", "A2", "A3", "A4", "A5"]
for a in d["anchors"]:
    area = sum((b[2] - b[0]) * (b[3] - b[1]) for b in a["region_m"])
    assert abs(area - a["area_m2"]) < 1e-9, a["name"]
    assert a["height_low_m"] <= a["at_m"][2] <= a["height_high_m"]
    for x0, y0, x1, y1 in a["region_m"]:
        assert 0 <= x0 < x1 <= 20 and 0 <= y0 < y1 <= 12
    ends = {s["ends_by"] for s in a["sides"].values()}
    assert ends <= {"reach", "outline", "need", "anchor", "obstacle", "carrier", "mount"}
    assert all((s["zone"] == "bench") == (s["ends_by"] == "need") for s in a["sides"].values())
PY
ok a_freedom_as_json_has_the_documented_shape /usr/bin/python3 "$folder/freedom.py" "$folder/1.json"
ok a_freedom_ends_with_0 ends_with 0 $F --anchor A5 --reach 1
ok regions_are_drawn bash -c "xmllint --noout $folder/regions.svg &&
    grep -q 'where it may hang' $folder/regions.svg"
ok one_anchor_is_looked_at_alone bash -c "$F --anchor A2 | grep -cE '^A[0-9] +[(]' | grep -qx 1"
cat > "$folder/together.py" <<'PY'
import json
import sys
d = json.load(open(sys.argv[1]))
assert list(d)[-2:] == ["corners_met", "format"], list(d)
assert d["zones"][0]["together"]["held"] and 0 < d["zones"][0]["together"]["left_share"] < 1
shared = {a["name"]: a["together"] for a in d["anchors"]}
assert shared["A2"]["held_by"] == "asked" and shared["A2"]["half_m"] == 0 and not shared["A2"]["region_m"]
assert all(s["half_m"] >= 0.05 and s["region_m"] for name, s in shared.items() if name != "A2"), shared
assert d["corners_met"] >= 197
PY
$F --together --still A2 --threads 1 --json > "$folder/1.json"
$F --together --still A2 --threads 5 --json > "$folder/5.json"
ok what_all_share_has_the_same_bytes_for_any_threads cmp "$folder/1.json" "$folder/5.json"
ok what_all_share_has_the_documented_shape /usr/bin/python3 "$folder/together.py" "$folder/1.json"
ok what_all_share_is_a_table_of_its_own bash -c "$F --together --still A2 --chart $folder/all.svg |
    grep -q '^A2 .* as asked' && grep -q 'Freedom sheet: all anchors at once' $folder/all.svg"
ok anchors_stand_still_only_where_others_move_together says '--still goes with --together' $F --still A2
ok one_anchor_alone_shares_nothing says 'not both' $F --together --anchor A2
ok an_unknown_anchor_is_refused says "unknown anchor 'B7'" $F --anchor B7
ok a_reach_of_no_length_is_refused says '--reach:' $F --reach 0
ok where_no_need_holds_no_anchor_is_looked_at bash -c "sed 's/p95: 0.45/p95: 0.02/' $folder/hall.yaml \
    > $folder/vain.yaml; $PROGRAM freedom $folder/vain.yaml | grep -q 'so no anchor is looked at'"
exit $failed
