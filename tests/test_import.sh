# Plans that come in: the demo's, rules and their mistakes, patches, and what is refused.
# Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"
command -v ogr2ogr > /dev/null || { echo "skip - plans: ogr2ogr is missing (gdal-bin)"; exit 0; }
plans=scenarios/plans
demo="$plans/tram-hall.dxf --rules $plans/tram-hall-rules.yaml"

# --- the demo ---
drawn() { python3 $plans/draw-tram-hall | cmp - $plans/tram-hall.dxf; }
ok the_plan_of_the_demo_is_what_its_script_draws drawn
ok the_demo_is_imported ends_with 0 "$PROGRAM" import $demo --into $plans/tram-hall-terms.yaml --out "$folder/hall.yaml"
same_to_a_millimetre() {
    /usr/bin/python3 - "$folder/hall.yaml" scenarios/tram-hall.yaml <<'PY'
import sys, yaml
made, hand = (yaml.safe_load(open(path, encoding="utf-8")) for path in sys.argv[1:])
close = lambda a, b: all(abs(x - y) <= 0.001 for x, y in zip(a, b))
def same_ring(a, b):  # from any corner on, either way round
    turns = [r[k:] + r[:k] for r in (a, a[::-1]) for k in range(len(a))]
    return len(a) == len(b) and any(all(close(p, q) for p, q in zip(t, b)) for t in turns)
def rest(item):
    return {k: v for k, v in item.items() if k not in ("footprint", "outline", "at")}
assert same_ring(made["floor"]["outline"], hand["floor"]["outline"])
assert made["floor"]["ceiling"] == hand["floor"]["ceiling"]
for key, shape in (("obstacles", "footprint"), ("zones", "outline")):
    by_name = {item["name"]: item for item in made[key]}
    assert len(by_name) == len(hand[key])
    for item in hand[key]:
        assert same_ring(by_name[item["name"]][shape], item[shape]), item
        assert rest(by_name[item["name"]]) == rest(item), item
assert [(a["name"], *a["at"]) for a in made["anchors"]] == [(a["name"], *a["at"]) for a in hand["anchors"]]
legs = lambda walls: sorted(sorted(map(tuple, leg)) for w in walls for leg in zip(w["path"], w["path"][1:]))
assert all(close(p, q) for a, b in zip(legs(made["walls"]), legs(hand["walls"])) for p, q in zip(a, b))
assert {w["thickness"] for w in made["walls"]} == {0.22} and len(legs(made["walls"])) == 2
PY
}
ok its_coordinates_are_those_written_by_hand same_to_a_millimetre
same_p95() {
    "$PROGRAM" assess "$folder/hall.yaml" --json > "$folder/made.json"
    "$PROGRAM" assess scenarios/tram-hall.yaml --json > "$folder/hand.json"
    /usr/bin/python3 - "$folder/made.json" "$folder/hand.json" <<'PY'
import json, sys
made, hand = (json.load(open(path)) for path in sys.argv[1:])
by_name = {zone["name"]: zone for zone in made["zones"]}
for zone in hand["zones"]:
    off = abs(by_name[zone["name"]]["p95_m"] / zone["p95_m"] - 1)
    assert off < (0.02 if zone["need"] is None else 0.01), (zone["name"], off)
assert abs(made["floor"]["fix_share"] - hand["floor"]["fix_share"]) < 0.01
PY
}
ok its_p95_is_that_of_the_one_written_by_hand same_p95
keeps_comments() { grep -q '^prices:  *# invented' "$folder/hall.yaml" && grep -q '# layer PARTITION' "$folder/hall.yaml"; }
ok a_patched_scenario_keeps_its_comments_and_names_layers keeps_comments
again() {
    "$PROGRAM" import $demo --into "$folder/hall.yaml" --out "$folder/again.yaml" && cmp "$folder/hall.yaml" "$folder/again.yaml"
}
ok a_second_import_changes_nothing again
ok without_a_scenario_it_makes_a_whole_one ends_with 2 "$PROGRAM" import $demo --out "$folder/alone.yaml"
ok materials_that_are_not_built_in_are_named says "tram body" "$PROGRAM" import $demo --out "$folder/alone.yaml"

chart() {
    "$PROGRAM" import $demo --into $plans/tram-hall-terms.yaml --chart "$folder/over.svg" > "$folder/said" &&
        xmllint --noout "$folder/over.svg" && sed 's/<[^>]*>/ /g' "$folder/over.svg" | grep -q 'of the plan, left out' &&
        sed 's/<[^>]*>/ /g' "$folder/over.svg" | grep -q 'lowered car 3'
}
ok plan_and_scenario_are_drawn_over_each_other chart

streamed() { "$PROGRAM" import - < $plans/tram-hall.dxf | sed 's/standard input/a plan/; s/plan -/plan a plan/' | sed 1d | cmp - <("$PROGRAM" import $plans/tram-hall.dxf | sed 1d); }
ok a_plan_may_come_from_standard_input streamed

# --- rules ---
guessed() {
    "$PROGRAM" import $plans/tram-hall.dxf --guess > "$folder/guess.yaml" || return 1
    grep -q '"PARTITION": {wall: {material: concrete}} *# word partition: wall; figures assumed' "$folder/guess.yaml" &&
        "$PROGRAM" import $plans/tram-hall.dxf --rules "$folder/guess.yaml" --out "$folder/guessed.yaml" > "$folder/said" &&
        "$PROGRAM" check "$folder/guessed.yaml" > "$folder/said"
}
ok guessed_rules_can_be_read_again guessed
rules() { printf 'drawing: 1\n%b' "$1" > "$folder/rules.yaml"; }
refuses() { # rules, complaint
    rules "$1"
    says "$2" "$PROGRAM" import $plans/tram-hall.dxf --rules "$folder/rules.yaml" &&
        ends_with 2 "$PROGRAM" import $plans/tram-hall.dxf --rules "$folder/rules.yaml" 2> "$folder/said"
}
ok a_rule_without_a_role_is_told refuses 'layers:\n  A: wal\n' "rules.yaml:3:6: 'wal' is not a role"
ok a_key_of_another_role_is_told refuses 'layers:\n  A: {wall: {material: brick, need: 3}}\n' \
    "rules.yaml:3:31: unknown key 'need' of wall"
ok a_wall_needs_a_material refuses 'layers: {A: wall}\n' "needs a material"
ok a_length_out_of_range_is_told refuses 'layers: {A: {wall: {material: brick, thickness: 20}}}\n' \
    "thickness: '20' is not a number in [0.001, 10]"
ok an_unknown_key_of_rules_is_told refuses 'layer: {}\n' "rules.yaml:2:1: unknown key 'layer'"
ok a_unit_that_is_none_is_told refuses 'unit: yd\n' "unit: not one of mm, cm, m, in, ft"
ok a_layer_option_that_is_no_rule_is_told says "is not NAME=ROLE" "$PROGRAM" import $plans/tram-hall.dxf --layer A
told_rules() { "$PROGRAM" import $plans/tram-hall.dxf --layer 'NO-SUCH=zone' | grep -q 'note: the rule "NO-SUCH" fits no layer'; }
ok a_rule_that_fits_nothing_is_told told_rules

# --- the unit ---
bare() { # a plan that says nothing of its unit
    printf '0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n0\n20\n0\n11\n70\n21\n30\n0\nENDSEC\n0\nEOF\n' > "$folder/bare.dxf"
}
bare
ok without_a_lead_the_unit_is_unsure says "the unit is unsure" "$PROGRAM" import "$folder/bare.dxf" --guess --out "$folder/x.yaml"
lists_unsure() { "$PROGRAM" import "$folder/bare.dxf" | grep -q '^unit unsure'; }
ok the_list_says_unsure lists_unsure

# --- GeoJSON ---
cat > "$folder/site.geojson" <<'GEO'
{"type": "FeatureCollection", "features": [
 {"type": "Feature", "properties": {"layer": "outline"}, "geometry": {"type": "Polygon", "coordinates":
  [[[9.0, 48.0], [9.001, 48.0], [9.001, 48.0005], [9.0, 48.0005], [9.0, 48.0]]]}},
 {"type": "Feature", "properties": {"layer": "uwb", "name": "G1", "height": 4.5}, "geometry":
  {"type": "Point", "coordinates": [9.0001, 48.0001]}}]}
GEO
degrees() {
    "$PROGRAM" import "$folder/site.geojson" --layer outline=outline --layer 'uwb=anchor: {name: name, height: height}' \
        --out "$folder/geo.yaml" > "$folder/said" || return 1
    ogr2ogr -f GeoJSON -t_srs "+proj=tmerc +lat_0=48.00025 +lon_0=9.0005 +k=1 +ellps=WGS84 +units=m" \
        -lco COORDINATE_PRECISION=6 "$folder/tm.json" "$folder/site.geojson" 2> "$folder/said"
    /usr/bin/python3 - "$folder/geo.yaml" "$folder/tm.json" <<'PY'
import json, sys, yaml
made, projected = yaml.safe_load(open(sys.argv[1])), json.load(open(sys.argv[2]))
ring = projected["features"][0]["geometry"]["coordinates"][0]
for x, y in ring:
    assert min(abs(x - p) + abs(y - q) for p, q in made["floor"]["outline"]) < 0.002
at = projected["features"][1]["geometry"]["coordinates"]
anchor = made["anchors"][0]
assert anchor["name"] == "G1" and abs(anchor["at"][0] - at[0]) + abs(anchor["at"][1] - at[1]) < 0.002
assert anchor["at"][2] == 4.5
PY
}
ok longitude_and_latitude_are_projected_as_PROJ_does degrees
exit $failed
