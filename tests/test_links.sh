# links: every anchor of one spot laid open, against a second reckoning of the same hall.
here=$(dirname "$0")
. "$here/outcomes.sh"

cat > "$folder/hall.yaml" << 'END'
anchorwise: 1
title: Wheelset store
floor: {outline: [[0, 0], [30, 0], [30, 20], [0, 20]], ceiling: 8}
levels: [{name: wheel pit, outline: [[2, 2], [6, 2], [6, 10], [2, 10]], height: -1.4}]
obstacles:
  - {name: oil tank, footprint: [[10, 4], [12, 4], [12, 6], [10, 6]], top: 3, material: metal}
  - {name: screen, footprint: [[8, 2], [8.1, 2], [8.1, 9], [8, 9]], top: 6, material: wood}
anchors:
  - {name: W, at: [0.5, 5, 5]}
  - {name: E, at: [29.5, 5, 5]}
  - {name: N, at: [15, 19.5, 6]}
  - {name: far, at: [29.5, 19.5, 6]}
tags: [{name: axle tag, height: 1}, {name: mast tag, height: 4}]
ranging: {sigma: 0.1, range: 30, budget_db: 20, spot_sigma: 0.2, tail_share: 0.1, tail_sigma: 0.5,
          survey_sigma: 0.03, delay_sigma: 0.04}
END
links() {
    "$PROGRAM" links "$@" "$folder/hall.yaml"
}
# The same by hand: straight lines, boxes by slabs, a sum of variances.
agrees() { # spot as X,Y; its height; more options
    links --at "$1" ${3:+"$3" "$4"} --json > "$folder/links.json" && /usr/bin/python3 - "$folder/links.json" "$1" "$2" << 'END'
import json, math, sys
said = json.load(open(sys.argv[1]))
spot = [float(c) for c in sys.argv[2].split(",")][:2] + [float(sys.argv[3])]
anchors = {"W": (0.5, 5, 5), "E": (29.5, 5, 5), "N": (15, 19.5, 6), "far": (29.5, 19.5, 6)}
boxes = {"oil tank": ((10, 4, 0), (12, 6, 3), 100, 0), "screen": ((8, 2, 0), (8.1, 9, 6), 2, 0.016)}
def inside(a, b, box):
    low, high = 0, 1
    for k in range(3):
        d = b[k] - a[k]
        if d == 0:
            if not box[0][k] < a[k] < box[1][k]:
                return 0
            continue
        ends = sorted(((box[0][k] - a[k]) / d, (box[1][k] - a[k]) / d))
        low, high = max(low, ends[0]), min(high, ends[1])
    return max(0, high - low) * math.dist(a, b)
def near(got, want):
    assert abs(got - want) < 1e-9, (got, want)
assert [link["name"] for link in said["links"]] == list(anchors)
assert all(abs(x - y) < 1e-9 for x, y in zip(said["spot_m"], spot)), said["spot_m"]
believed = math.sqrt(0.1**2 + 0.9 * 0.2**2 + 0.1 * 0.5**2 + 0.03**2 + 0.04**2)
usable = []
for link in said["links"]:
    at = anchors[link["name"]]
    range_ = math.dist(spot, at)
    met = [name for name, box in boxes.items() if inside(spot, at, box) > 1e-3]
    loss, late = (sum(boxes[name][k] for name in met) for k in (2, 3))
    lost = range_ > 30 or loss > 20
    path, = link["paths"]
    near(link["range_m"], range_)
    near(link["elevation_deg"], math.degrees(math.asin((at[2] - spot[2]) / range_)))
    near(path["loss_db"], loss)
    assert path["met"] == len(met) and (path["meets"] in met if met else path["meets"] is None)
    assert path["kind"] == ("through" if met else "direct")
    assert link["link"] == ("lost" if lost else "obstructed" if met else "clear")
    assert link["received_share"] == path["first_share"] == (0 if lost else 1)
    why = "out of range" if range_ > 30 else "more loss than the budget" if loss > 20 else None
    assert link["why_lost"] == why, link
    near(link["believed_m"], believed)
    if lost:
        assert link["bias_m"] is None and link["weight_share"] == 0
    else:
        near(link["bias_m"], late)
        usable.append(link["weight_share"])
near(sum(usable), 1)
END
}
# Under a radio: weights as often as frames are received; why less than half are, by the power of the
# paths. Shadowing is 4.3 dB in line of sight and 4.0 beyond, noise -129.123 dBm after the processing gain, found is from 12 dB on.
counts() { # a scenario with a radio, X,Y, sensitivity
    "$PROGRAM" links --quiet --at "$2" --json "$1" > "$folder/links.json" && /usr/bin/python3 - "$folder/links.json" "$3" << 'END'
import json, math, sys
links, sensitivity = json.load(open(sys.argv[1]))["links"], float(sys.argv[2])
for link in links:
    power = [p["power_dbm"] for p in link["paths"]]
    if not power:
        assert link["received_share"] == 0 and link["why_lost"] == "no path found", link
        continue
    total = 10 * math.log10(sum(10 ** (p / 10) for p in power)) - sensitivity
    found = max(p["power_dbm"] - (8 if p["kind"] == "scattered" else 0) for p in link["paths"]) + 129.123 - 12
    sigma = 4.3 if link["paths"][0]["kind"] == "direct" else 4.0
    lost = min(total, found)
    received = math.erfc(-lost / sigma / math.sqrt(2)) / 2
    why = None if lost >= 0 else "below the noise" if found < total else "below the sensitivity"
    assert link["why_lost"] == why, (link, lost)
    if received > 1.001e-3:
        assert abs(link["received_share"] - received) < 1e-3, (link, received)
    else:
        assert link["link"] == "lost" and link["received_share"] == link["weight_share"] == 0
        assert link["bias_m"] is None and all(p["first_share"] == 0 for p in link["paths"])
weights = [link["received_share"] / link["believed_m"] ** 2 for link in links]
for link, weight in zip(links, weights):
    want = weight / sum(weights) if sum(weights) > 0 else 0
    assert abs(link["weight_share"] - want) < 1e-9, (link, want)
END
}
# The table's weight, received and why lost are the document's.
tells_the_same() { # a scenario, X,Y
    "$PROGRAM" links --quiet --at "$2" --json "$1" > "$folder/links.json" &&
        "$PROGRAM" links --quiet --at "$2" "$1" > "$folder/links.txt" &&
        /usr/bin/python3 - "$folder/links.json" "$folder/links.txt" << 'END'
import json, re, sys
def shown(share):
    return ("< 0.1 %" if 0 < share < 5e-4 else "> 99.9 %" if 0.9995 <= share < 1
            else f"{100 * share:.1f} %" if 0 < share < 0.01 or 0.99 < share < 1 else f"{100 * share:.0f} %")
links = json.load(open(sys.argv[1]))["links"]
lines = open(sys.argv[2]).read().split("\n\n")
head, *rows = lines[1].split("\n")
assert ("why lost" in head) == any(link["why_lost"] for link in links)
for link, row in zip(links, rows):
    cells = re.split(r" {2,}", row.rstrip())
    want = [shown(link["weight_share"]), shown(link["received_share"])]
    assert cells[-3:] == want + [link["why_lost"]] if link["why_lost"] else cells[-2:] == want, row
assert len(rows) == len(links)
paths = [re.split(r" {2,}", row.rstrip()) for row in lines[5].split("\n")[1:]]
assert [row[0] for row in paths if row[0]] == [link["name"] for link in links], paths
END
}
complains() { # text, arguments
    local want=$1
    shift
    "$PROGRAM" links "$@" > /dev/null 2> "$folder/said"
    [ $? -eq 2 ] && grep -qF -- "$want" "$folder/said"
}

# Behind the cabin of the demo, by its two panes or by a block of glass. Glass takes 6.31 and
# 0.0036 f^1.3394 S/m (ITU-R P.2040-3): 37.9 dB/m at 7.99 GHz, so 90 dB and more over 2.4 m; what is
# left comes round it.
cabin_takes() { # a condition on N1's link and its first path
    "$PROGRAM" links --at 13.6,7.4 --json "$folder/cabin.yaml" > "$folder/links.json" &&
        /usr/bin/python3 - "$folder/links.json" "$1" << 'END'
import json, sys
link = next(l for l in json.load(open(sys.argv[1]))["links"] if l["name"] == "N1")
path = link["paths"][0]
assert path["meets"] == "drop table cabin" and eval(sys.argv[2]), link
END
}
sed "s/^floor: {/&wall_material: air, /; s/^radio: *{/&scattered: false, /; s/^radio:$/&\n  scattered: false/" scenarios/wheel-pit.yaml > "$folder/cabin.yaml" # no mirror
ok a_hollow_cabin_costs_two_panes cabin_takes \
    'path["loss_db"] < 6 and link["received_share"] > 0.9 and path["excess_m"] < 0.04'
sed -i 's/, shell: 0.008//' "$folder/cabin.yaml"
ok a_block_of_glass_hides_the_anchor cabin_takes \
    'path["kind"] == "around" and path["loss_db"] > 25 and link["link"] == "lost"'

ok a_tag_in_the_pit_counts_from_its_floor agrees 4,5 -0.4
ok a_tag_beside_it_counts_from_the_floor agrees 20,5 1
ok behind_the_tank_nothing_comes_through agrees 13,5 1
ok a_height_may_be_given_itself agrees 13,5,5.5 5.5
ok another_tag_has_its_own_height agrees 13,5 4 --tag "mast tag"
ok the_table_names_every_anchor eval 'links --at 13,5 | awk "/^Errors/ { exit } NR > 3 && NF > 5 { print \$1 }" | tr "\n" " " | grep -q "anchor W E N far"'
for at in 2.75,14.25 13.6,7.4 20.5,3.5 4.5,9.5; do
    ok "weights_count_how_often_a_link_is_received_at_$at" counts scenarios/wheel-pit.yaml $at -94
    ok "table_and_document_agree_at_$at" tells_the_same scenarios/wheel-pit.yaml $at
done
# Nearly deaf to nothing, so that noise decides.
sed 's/^radio: .*/radio: {channel: 5, scattered: false, receiver: {sensitivity_dbm: -150, dynamic_db: 100}}/' \
    "$here/cases/thin_sheet.yaml" | sed 's/path: .*, thickness/path: [[20, 2], [20, 20]], thickness/' > "$folder/deaf.yaml"
ok weak_paths_are_below_the_noise counts "$folder/deaf.yaml" 34,12 -150
ok below_the_noise_is_what_the_table_says eval 'tells_the_same "$folder/deaf.yaml" 34,12 && grep -q "below the noise" "$folder/links.txt"'
ok behind_a_sheet_there_is_no_path eval 'counts "$here/cases/thin_sheet.yaml" 5,5 -94 && grep -q "no path found" "$folder/links.json"'
ok out_of_range_is_called_so eval 'tells_the_same "$folder/hall.yaml" 13,5 && grep -q "more loss than the budget" "$folder/links.txt" && tells_the_same "$folder/hall.yaml" 1,10 && grep -q "^far .*out of range$" "$folder/links.txt" && ! sed "/^Errors/,\$d" "$folder/links.txt" | grep -q " 0 % *0 %$"'
tells() { # a line of the table, a condition on the JSON, arguments
    links "${@:3}" | grep -qxF "$1" && links "${@:3}" --json | /usr/bin/python3 -c "import json, sys
said = json.load(sys.stdin)
assert $2, said"
}
ok a_spot_in_an_obstacle_is_told_it tells "NO TAG CAN BE HERE: the spot is inside obstacle 'oil tank'." \
    "said['taken_by'] == \"obstacle 'oil tank'\"" --at 11,5
ok a_spot_over_the_tank_is_free eval '! links --at 11,5,3.5 | grep -q "NO TAG"'
ok a_spot_in_a_wall_is_told_it eval 'sed "s/^anchors:/walls: [{name: gate, path: [[20, 2], [20, 9]], thickness: 0.3, material: wood}]\nanchors:/" \
    "$folder/hall.yaml" > "$folder/gate.yaml" &&
    "$PROGRAM" links --at 20.1,5 "$folder/gate.yaml" | grep -qxF "NO TAG CAN BE HERE: the spot is inside wall '\''gate'\''."'
ok a_spot_off_the_floor_is_told_it tells "NO TAG CAN BE HERE: the spot is off the floor." \
    "said['taken_by'] == 'the edge of the floor'" --at 31,5
ok a_spot_over_the_ceiling_is_told_it tells "NO TAG CAN BE HERE: the spot is over the ceiling." \
    "said['taken_by'] == 'the ceiling'" --at 5,15,8.5
sed -i "s/^levels: \[/levels: [{name: gallery, outline: [[20, 10], [30, 10], [30, 20], [20, 20]], height: 3, slab: {thickness: 0.2}}, /" "$folder/hall.yaml"
ok a_spot_on_a_gallery_is_told_that_under_it_nothing_is_computed tells \
    "Figures are for a tag standing on level 'gallery'; a tag under it is not computed." \
    "said['on_level'] == 'gallery' and said['taken_by'] is None" --at 25,15
ok a_height_under_the_gallery_is_taken_as_given tells "spot (25.00, 15.00) m, height 1.00 m" \
    "said['on_level'] is None" --at 25,15,1
ok a_spot_in_the_pit_lies_under_nothing eval '! links --at 4,5 | grep -q "NO TAG\|Figures are for"'
ok explain_tells_the_same eval '
    "$PROGRAM" explain --quiet --at 11,5 "$folder/hall.yaml" | grep -qxF "NO TAG CAN BE HERE: the spot is inside obstacle '\''oil tank'\''." &&
    "$PROGRAM" explain --quiet --at 25,15 "$folder/hall.yaml" | grep -q "^Figures are for a tag standing on level '\''gallery'\''" &&
    "$PROGRAM" explain --quiet --json --at 25,15 "$folder/hall.yaml" | grep -q "\"taken_by\": null, \"on_level\": \"gallery\"" &&
    ! "$PROGRAM" explain --quiet --at 15,9 "$folder/hall.yaml" | grep -q "NO TAG\|Figures are for a tag"'
ok without_a_spot_it_complains complains "links needs --at X,Y or X,Y,Z" "$folder/hall.yaml"
ok a_spot_of_one_number_is_refused complains "'5' is not X,Y or X,Y,Z" --at 5 "$folder/hall.yaml"
ok an_unknown_tag_is_refused complains "unknown tag" --tag nobody --at 5,5 "$folder/hall.yaml"
exit $failed
