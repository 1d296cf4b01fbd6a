# The reports from outside: their numbers against what the other commands say, both writers against the
# content, hostile names, the same bytes, refusals. Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

cat > "$folder/hall.yaml" <<'YAML'
anchorwise: 1
title: Test bay of the works
floor: {outline: [[0, 0], [24, 0], [24, 14], [0, 14]], ceiling: 7}
obstacles:
  - {name: press, footprint: [[15, 3], [18, 3], [18, 6], [15, 6]], top: 2.9, material: metal}
  - {name: beam, footprint: [[2, 10], [9, 10], [9, 11], [2, 11]], base: 3, top: 4, material: metal}
walls:
  - {name: screen, path: [[12, 8], [12, 14]], thickness: 0.2, material: brick}
anchors:
  - {name: a, at: [0.3, 0.4, 4.9]}
  - {name: b, at: [23.6, 0.3, 5.1]}
  - {name: c, at: [23.7, 13.6, 4.4]}
  - {name: d, at: [12.4, 13.7, 5.3]}
  - {name: e, at: [0.2, 13.7, 4.2]}
tags:
  - {name: cart, height: 1.1, height_sigma: 0.1}
  - {name: low cart, height: 0.6}
ranging: {sigma: 0.08, spot_sigma: 0.12, tail_share: 0.1, tail_sigma: 0.4}
zones:
  - {name: west, outline: [[1, 1], [10, 1], [10, 8], [1, 8]], need: {p95: 2.5}}
  - {name: press bay, outline: [[13, 1], [22, 1], [22, 9], [13, 9]], tag: low cart, need: {p95: 0.6, share: 0.95}}
  - {name: aisle, outline: [[10.5, 1], [12.5, 1], [12.5, 7], [10.5, 7]]}
prices:
  currency: EUR
  anchor: 310
  cable: 2.8
  cabinet: [12, 0.3, 2]
  lift_hour: 95
  mounts:
    - {name: bracket, up_to: 5, price: 48, lift_hours: 0.6}
    - {name: drop, up_to: 7, price: 130, lift_hours: 1.2}
  items: [{name: commissioning, price: 900}]
study: {step: 2, draws: 64, seed: 5}
YAML
sed 's/  - {name: e,.*/&\n  - {name: f, at: [20, 0.3, 4.9]}/' "$folder/hall.yaml" > "$folder/other.yaml"
hall=$folder/hall.yaml
R="$PROGRAM report client $hall --against $folder/other.yaml --client Client --author Author --from Maker --date 2026-11-30 --revision 2 --quiet"
$R --json > "$folder/r.json"
$R --out "$folder/r.html"
$R --out "$folder/r.pdf"
for command in assess outage sensitivity freedom; do
    "$PROGRAM" $command "$hall" --quiet --json > "$folder/$command.json"
done
/usr/bin/python3 - "$folder" <<'PY' # the layout's places as the candidates that sweep chooses from
import json, re, sys
text = open(sys.argv[1] + "/hall.yaml", encoding="utf-8").read()
places = re.findall(r"  - (\{name: [a-e], at: \[[^]]*\]\})", text)
assert len(places) == 5
open(sys.argv[1] + "/places.yaml", "w", encoding="utf-8").write(
    text + "candidates:\n  points:\n" + "".join(f"    - {place}\n" for place in places))
zones = {z["name"]: z for z in json.load(open(sys.argv[1] + "/assess.json"))["zones"]}
spot = zones["press bay"]["worst_at_m"]
open(sys.argv[1] + "/spot", "w").write(f"{spot[0]!r},{spot[1]!r}")
PY
"$PROGRAM" sweep "$folder/places.yaml" --counts 3:5 --quiet --json > "$folder/counts.json"
"$PROGRAM" sweep "$hall" --heights 3:6 --quiet --json > "$folder/heights.json"
"$PROGRAM" explain "$hall" --at "$(cat "$folder/spot")" --tag 'low cart' --quiet --json > "$folder/explain.json"
"$PROGRAM" compare "$hall" "$folder/other.yaml" --quiet --json > "$folder/compare.json"
pdftotext -layout "$folder/r.pdf" "$folder/r.txt"
/usr/bin/python3 "$here/report.py" "$folder" || failed=1

$R --threads 1 --out "$folder/again.html"
$R --threads 3 --out "$folder/again.pdf"
ok the_same_page_again cmp "$folder/r.html" "$folder/again.html"
ok the_same_pdf_again cmp "$folder/r.pdf" "$folder/again.pdf"
outlined() { # every section is a bookmark
    /usr/bin/python3 - "$folder/r.pdf" <<'PY'
import re, sys, zlib
data = open(sys.argv[1], "rb").read()
for piece in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
    try:
        data += zlib.decompress(piece)
    except zlib.error:
        pass
titles = re.findall(rb"/Title ?[(<]", data)
assert len(titles) >= 11, len(titles)
PY
}
ok a_pdf_has_a_bookmark_for_each_section outlined

# --- what is left out ---
quick() {
    "$PROGRAM" report client "$hall" --draws 16 --quick --quiet --json > "$folder/quick.json" &&
        grep -q 'Left out by --quick' "$folder/quick.json" && grep -q -- '--against OTHER' "$folder/quick.json" &&
        ! grep -q '"what to confirm, strongest' "$folder/quick.json"
}
ok a_part_left_out_says_what_would_bring_it quick
bare() { # without prices and needs
    sed '/^prices/,/^study/{/^study/!d}; s/, need: {[^}]*}//' "$hall" > "$folder/bare.yaml"
    "$PROGRAM" report client "$folder/bare.yaml" --draws 16 --quiet --quick --json > "$folder/bare.json" &&
        grep -q "states no prices: the block 'prices'" "$folder/bare.json" && grep -q 'No need is stated' "$folder/bare.json" &&
        grep -q 'which spot is the weakest' "$folder/bare.json"
}
ok without_prices_and_needs_it_says_so bare
only() {
    "$PROGRAM" report client "$hall" --draws 16 --quiet --sections zones,care --json |
        /usr/bin/python3 -c 'import json, sys; assert [s["id"] for s in json.load(sys.stdin)["sections"]] == ["summary", "zones", "care"]'
}
ok sections_are_chosen only
units() {
    "$PROGRAM" report client "$hall" --draws 16 --quiet --sections zones --units ft --json | grep -q 'errors in in, places in ft'
}
ok units_are_overridden units

# --- refusals, before any study ---
refused() { # what it says, then words: at once, with nothing written
    local text=$1
    shift
    timeout 5 "$PROGRAM" report "$@" > "$folder/said.txt" 2> "$folder/why"
    [ $? -eq 2 ] && grep -qF -- "$text" "$folder/why" && [ ! -s "$folder/said.txt" ] && [ ! -e "$folder/no.html" ]
}
many="--draws 1000000"
ok an_unknown_section_is_refused refused "unknown section 'zone'; did you mean 'zones'?" client "$hall" $many --sections zone --out "$folder/no.html"
ok an_unknown_kind_is_refused refused "unknown kind 'clint'; did you mean 'client'?" clint "$hall" $many --out "$folder/no.html"
ok a_kind_is_asked_for refused "unknown kind" "$hall" --out "$folder/no.html"
ok an_ending_is_asked_for refused "needs --out FILE.html" client "$hall" $many
ok a_picture_that_is_none_is_refused refused "is not a PNG" client "$hall" $many --image "$hall" --out "$folder/no.html"
/usr/bin/python3 - "$folder/huge.png" <<'PY'
import struct, sys, zlib
chunk = lambda kind, data: struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
rows = zlib.compress(bytes(20000 * 2501), 9)
open(sys.argv[1], "wb").write(b"\x89PNG\r\n\x1a\n" + chunk(
    b"IHDR", struct.pack(">IIBBBBB", 20000, 20000, 1, 0, 0, 0, 0)) + chunk(b"IDAT", rows) + chunk(b"IEND", b""))
PY
ok a_picture_of_400_million_pixels_is_refused refused "is not a PNG" client "$hall" $many --image "$folder/huge.png" --out "$folder/no.html"
ok a_picture_that_is_missing_is_refused refused "cannot" client "$hall" $many --image "$folder/none.png" --out "$folder/no.html"
ok another_floor_is_refused refused "outline" client "$hall" $many --against scenarios/washing-shed.yaml --out "$folder/no.html"
ok a_long_client_is_refused refused "outside [1, 60]" client "$hall" $many --client "$(printf 'x%.0s' {1..61})" --out "$folder/no.html"
ok the_scenario_is_not_overwritten refused "is the same file as" client "$hall" --out "$hall"
stopped() {
    timeout -s INT 2 "$PROGRAM" report client "$hall" $many --out "$folder/no.html" 2> "$folder/why"
    [ $? -ne 0 ] && [ -z "$(ls "$folder"/no.html* 2> /dev/null)" ] && grep -q 'nothing was written' "$folder/why"
}
ok a_stop_leaves_no_file stopped

# --- hostile names ---
/usr/bin/python3 - "$hall" "$folder/hostile.yaml" <<'PY'
import sys
text = open(sys.argv[1], encoding="utf-8").read()
wide = "\u5e45" * 60
for old, new in (("west", '"<script>alert(1)</script>&amp;"'), ("press bay", "'\"quoted\" & <b>'"),
                 ("aisle", '"\u05de\u05e1\u05d3\u05e8\u05d5\u05df </table>"'), ("screen", f'"{wide}"'),
                 ("name: a,", 'name: "]]>--!>",')):
    text = text.replace(old if ":" in old else f"name: {old},", new if ":" in old else f"name: {new},")
text = text.replace("Test bay of the works", '"</style><script>x</script> ' + wide + '"')
open(sys.argv[2], "w", encoding="utf-8").write(text)
PY
hostile() {
    for kind in html pdf; do
        "$PROGRAM" report client "$folder/hostile.yaml" --draws 16 --quick --quiet --client '<i>"x"</i>' --out "$folder/h.$kind" || return 1
    done
    ! grep -q '<script\|</style><\|<b>\|<i>' "$folder/h.html" && pdftotext "$folder/h.pdf" - | grep -q 'script' &&
        "$PROGRAM" report installers "$folder/hostile.yaml" --quick --quiet --out "$folder/h.svg" && xmllint --noout "$folder/h.svg"
}
ok hostile_names_break_neither_page_nor_pdf hostile

# --- the installers' sheet ---
sheet() {
    "$PROGRAM" report installers "$hall" --draws 16 --quiet --client Client --csv "$folder/i.csv" --out "$folder/i.svg" &&
        "$PROGRAM" report installers "$hall" --draws 16 --quiet --client Client --out "$folder/i.pdf" &&
        pdftotext -layout "$folder/i.pdf" - | grep -q 'Anchor schedule'
}
ok the_installers_sheet_is_drawn sheet
ok bands_and_schedule_agree /usr/bin/python3 "$here/installers.py" "$folder/i.svg" "$folder/i.csv"
crowd() { # 120 anchors: the plan, and sheets of the schedule
    /usr/bin/python3 - "$folder/crowd.yaml" <<'PY'
import sys
anchors = "".join(f"  - {{name: Anchor {i}, at: [{1 + 6 * (i % 20)}, {1 + 8 * (i // 20)}, 5]}}\n" for i in range(120))
open(sys.argv[1], "w").write("anchorwise: 1\ntitle: Crowd\nfloor: {outline: [[0, 0], [120, 0], [120, 50], [0, 50]], ceiling: 7}\nanchors:\n" + anchors)
PY
    "$PROGRAM" report installers "$folder/crowd.yaml" --quick --quiet --out "$folder/crowd.pdf" &&
        [ "$(pdftotext -layout "$folder/crowd.pdf" - | grep -o 'Anchor 1[01][0-9]\b' | sort -u | wc -l)" -eq 20 ] &&
        [ "$(pdftotext -f 2 -layout "$folder/crowd.pdf" - | grep -o 'Anchor [0-9]\+' | sort -u | wc -l)" -eq 120 ]
}
ok many_anchors_have_sheets_of_their_own crowd
/usr/bin/python3 - "$folder" <<'PY' # a hall too long for a tape, with two levels; one too full for a sheet
import random, sys
folder = sys.argv[1]
open(folder + "/long.yaml", "w").write("""anchorwise: 1
title: Long shed
floor: {outline: [[0, 0], [210, 0], [210, 40], [0, 40]], ceiling: 9}
levels:
  - {name: wheel pit, outline: [[14, 4], [40, 4], [40, 12], [14, 12]], height: -1.4}
  - {name: gallery, outline: [[150, 30], [210, 30], [210, 40], [150, 40]], height: 4}
anchors:
  - {name: A1, at: [0.4, 0.4, 6]}
  - {name: A2, at: [70, 0.4, 6]}
  - {name: A3, at: [103.5, 20, 8]}
  - {name: A4, at: [149, 39.6, 6]}
  - {name: over pit, at: [20, 8, 6]}
  - {name: P1, at: [14.2, 4.2, -0.4]}
  - {name: P2, at: [39.8, 11.8, -0.4]}
  - {name: G1, at: [151, 39.7, 7.5]}
  - {name: under, at: [209.6, 31, 3.5]}
""")
chance = random.Random(4)
places = [(round(chance.uniform(0.4, 79.6), 2), round(chance.uniform(0.4, 49.6), 2)) for _ in range(150)]
open(folder + "/full.yaml", "w").write("""anchorwise: 1
title: Full hall
floor: {outline: [[0, 0], [80, 0], [80, 50], [0, 50]], ceiling: 7}
anchors:
""" + "".join(f"  - {{name: Q{i}q, at: [{x}, {y}, 5]}}\n" for i, (x, y) in enumerate(places)))
PY
for name in long full; do
    "$PROGRAM" report installers "$folder/$name.yaml" --quick --quiet --set anchors.0.at.2=5.5 \
        --csv "$folder/$name.csv" --out "$folder/$name.pdf"
done
ok parts_levels_and_lines_agree /usr/bin/python3 "$here/installers_parts.py" "$folder"

# --- the site visit ---
visit() {
    "$PROGRAM" report visit "$hall" --draws 16 --quiet --out "$folder/v.pdf" && pdftotext -layout "$folder/v.pdf" - > "$folder/v.txt" &&
        grep -q 'What to measure' "$folder/v.txt" && grep -q press "$folder/v.txt" && grep -q 'live' "$folder/v.txt"
}
ok the_visit_has_its_list visit
scattered() { # the demo with a radio names what is scattered and its source, or that it is left out
    "$PROGRAM" report client scenarios/wheel-pit.yaml --quick --json --quiet > "$folder/pit.json" || return 1
    "$PROGRAM" report client scenarios/wheel-pit.yaml --quick --json --quiet \
        --set radio.scattered=false > "$folder/clear.json"
    [ $? -le 1 ] && grep -q "meet all of the two needs" "$folder/pit.json" && grep -q "what is scattered" "$folder/pit.json" && grep -q "J. Fontaine" "$folder/pit.json" &&
        ! grep -q "J. Fontaine" "$folder/clear.json" && grep -q "left out, by the scenario" "$folder/clear.json"
}
ok what_is_scattered_has_its_source scattered
exit $failed
