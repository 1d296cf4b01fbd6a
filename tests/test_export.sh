# Sites that go out as drawings and tables, and come back to a millimetre.
# Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"
command -v ogr2ogr > /dev/null || { echo "skip - drawings: ogr2ogr is missing (gdal-bin)"; exit 0; }
hall=scenarios/tram-hall.yaml
cat > "$folder/rules.yaml" <<'RULES'
drawing: 1
blocks:
  "AW_ANCHOR": {anchor: {name: NAME, height: HEIGHT}}
layers:
  "AW-OUTLINE":  {outline: {ceiling: 9.5}}
  "AW-WALL":     {wall: {material: brick}}
  "AW-OBSTACLE": {obstacle: {material: metal}}
  "AW-ZONE":     zone
  "AW-ANCHOR":   {anchor: {name: name, height: height}}
  "*":           ignore
RULES
sed 's/^floor:/plan: {unit: in, east: 3500000, north: 5800000, turn: 12.5}\n&/' $hall > "$folder/moved.yaml"
(cat "$folder/rules.yaml"; echo 'origin: [3500000, 5800000]'; echo 'turn: 12.5') > "$folder/moved-rules.yaml"

same() { # the scenario that came back, the one that went out
    /usr/bin/python3 - "$1" "$2" <<'PY'
import sys, yaml
made, hand = (yaml.safe_load(open(path, encoding="utf-8")) for path in sys.argv[1:])
close = lambda a, b: all(abs(x - y) <= 0.001 for x, y in zip(a, b))
def same_ring(a, b):  # from any corner on, either way round
    return len(a) == len(b) and any(all(close(p, q) for p, q in zip(r[k:] + r[:k], b))
                                    for r in (a, a[::-1]) for k in range(len(a)))
assert same_ring(made["floor"]["outline"], hand["floor"]["outline"]), made["floor"]
for key, shape in (("obstacles", "footprint"), ("zones", "outline")):
    by_name = {item["name"]: item for item in made[key]}
    assert set(by_name) == {item["name"] for item in hand[key]}, set(by_name)
    assert all(same_ring(by_name[item["name"]][shape], item[shape]) for item in hand[key])
anchors = {a["name"]: a["at"] for a in made["anchors"]}
assert len(anchors) == len(hand["anchors"]) and all(close(anchors[a["name"]], a["at"]) for a in hand["anchors"])
legs = lambda walls: sorted(sorted(map(tuple, leg)) for w in walls for leg in zip(w["path"], w["path"][1:]))
assert len(legs(made["walls"])) == len(legs(hand["walls"]))
assert all(close(p, q) for a, b in zip(legs(made["walls"]), legs(hand["walls"])) for p, q in zip(a, b))
assert all(abs(w["thickness"] - hand["walls"][0]["thickness"]) <= 0.001 for w in made["walls"])
PY
}
round_trip() { # scenario, file, rules
    "$PROGRAM" export "$1" --draws 50 --step 2 --out "$folder/$2" &&
        "$PROGRAM" import "$folder/$2" --rules "$3" --out "$folder/back.yaml" > "$folder/told" && same "$folder/back.yaml" "$1"
}
ok a_site_comes_back_from_DXF_to_a_millimetre round_trip $hall hall.dxf "$folder/rules.yaml"
ok a_site_comes_back_from_GeoJSON_to_a_millimetre round_trip $hall hall.geojson "$folder/rules.yaml"
ok a_turned_plan_in_inches_far_off_comes_back_from_DXF round_trip "$folder/moved.yaml" moved.dxf "$folder/moved-rules.yaml"
ok and_from_GeoJSON round_trip "$folder/moved.yaml" moved.geojson "$folder/moved-rules.yaml"

layers() { ogrinfo -q -ro "$folder/hall.dxf" -sql "SELECT DISTINCT Layer FROM entities" | grep -o 'AW-[A-Z0-9-]*' | sort -u; }
has_layers() {
    layers > "$folder/layers"
    for layer in AW-OUTLINE AW-WALL AW-OBSTACLE AW-ZONE AW-ANCHOR AW-ANCHOR-TEXT AW-CABLE AW-P95-050 AW-P95-120 AW-NEED; do
        grep -qx -- $layer "$folder/layers" || { echo "no $layer"; return 1; }
    done
}
ok everything_has_a_layer_of_its_own has_layers
unit() { grep -A2 INSUNITS "$folder/$1" | tr -d '\r' | tail -1 | grep -qx " *$2"; }
ok the_header_names_the_unit_of_the_plan unit moved.dxf 1
ok and_metres_if_there_is_none unit hall.dxf 6
ascii() { ! LC_ALL=C grep -q '[^ -~]' "$folder/$1"; }
sed 's/name: bogie bay/name: "塗装 ä"/' $hall > "$folder/names.yaml"
names() {
    "$PROGRAM" export "$folder/names.yaml" --draws 50 --step 2 --out "$folder/names.dxf" && ascii names.dxf &&
        "$PROGRAM" import "$folder/names.dxf" --rules "$folder/rules.yaml" --out "$folder/names-back.yaml" > "$folder/told" &&
        grep -q '塗装 ä' "$folder/names-back.yaml"
}
ok names_of_any_script_come_back_and_the_file_is_ASCII names
sound() {
    /usr/bin/python3 -c 'import ezdxf' 2> "$folder/told" || return 0
    /usr/bin/python3 -c 'import sys, ezdxf; d = ezdxf.readfile(sys.argv[1]); a = d.audit(); assert not a.errors, a.errors' "$folder/hall.dxf"
}
ok another_reader_finds_no_fault_in_it sound

# Anchors and bill as lines, which add up to what check says.
sums() {
    "$PROGRAM" export $hall --out "$folder/hall.csv" && "$PROGRAM" check $hall --json > "$folder/check.json" &&
        /usr/bin/python3 - "$folder/hall.csv" "$folder/check.json" <<'PY'
import csv, json, sys
rows = list(csv.DictReader(open(sys.argv[1], encoding="utf-8", newline="")))
bill = json.load(open(sys.argv[2]))["prices"]
assert sum(r["line"] == "anchor" for r in rows) == 18
total = sum(float(r["amount"]) for r in rows if r["line"] == "bill")
assert abs(total - bill["sum"]) < 1e-6, (total, bill["sum"])
first = next(r for r in rows if r["name"] == "S1")
assert [float(first[k]) for k in ("x_m", "y_m", "height_m")] == [0.4, 0.4, 6.2]
assert abs(float(first["cable_m"]) - (49.6 - 0.4 + 21 - 0.4 + 6.2 - 2.2)) < 1e-9
PY
}
ok the_schedule_adds_up sums
ok another_ending_is_refused says "export needs --out FILE.dxf" "$PROGRAM" export $hall --out "$folder/hall.dwg"
exit $failed
