# The program from outside: results, files, exit statuses. Prints "ok - name" or "not ok - name".
here=$(dirname "$0")

. "$here/outcomes.sh"

# A small hall with every error term, a wall with a delay, a 3d tag and zones of both kinds.
cat > "$folder/hall.yaml" <<'YAML'
anchorwise: 1
title: Test bay "7" of the works
floor: {outline: [[0, 0], [21, 0], [21, 13], [9, 13], [9, 9], [0, 9]], ceiling: 6}
obstacles:
  - {name: press, footprint: [[4, 3], [6.5, 3.2], [6, 5], [4.2, 4.9]], top: 2.9, material: metal}
walls:
  - {name: screen, path: [[12, 2], [12, 8], [16, 8]], thickness: 0.2, top: 3, material: brick}
anchors:
  - {name: a, at: [0.3, 0.4, 4.9]}
  - {name: b, at: [20.6, 0.2, 5.1]}
  - {name: c, at: [20.7, 12.6, 2.4]}
  - {name: d, at: [9.4, 12.7, 5.3]}
  - {name: e, at: [0.2, 8.7, 2.2]}
  - {name: f, at: [10.1, 6.2, 5.6]}
tags:
  - {name: cart, height: 1.1, height_sigma: 0.1}
  - {name: crane, height: 3.4, fix: 3d}
ranging: {sigma: 0.08, spot_sigma: 0.12, tail_share: 0.1, tail_sigma: 0.4, survey_sigma: 0.02, delay_sigma: 0.03}
zones:
  - {name: west, outline: [[0.5, 0.5], [8.5, 0.5], [8.5, 8.5], [0.5, 8.5]], need: {p95: 2.5}}
  - {name: hook, outline: [[12, 3], [20, 3], [20, 12], [12, 12]], tag: crane, need: {p95: 1.5, share: 0.5}}
study: {step: 1, draws: 130, seed: 5}
YAML
A="$PROGRAM assess $folder/hall.yaml"

# --- the same bytes ---
$A --threads 1 --json --cells "$folder/1.csv" --out "$folder/1.json"
for n in 2 7; do
    $A --threads $n --json --cells "$folder/$n.csv" --out "$folder/$n.json"
    ok "the_same_csv_with_${n}_threads" cmp "$folder/1.csv" "$folder/$n.csv"
    ok "the_same_json_with_${n}_threads" cmp "$folder/1.json" "$folder/$n.json"
done
taskset -c 0 $A --json --cells "$folder/pinned.csv" --out "$folder/pinned.json"
ok the_same_csv_on_one_pinned_core cmp "$folder/1.csv" "$folder/pinned.csv"
ok the_same_json_on_one_pinned_core cmp "$folder/1.json" "$folder/pinned.json"
$A --cells "$folder/crane.csv" --tag crane --out /dev/null
$A --cells "$folder/crane7.csv" --tag crane --threads 7 --out /dev/null
ok the_same_3d_cells_with_7_threads cmp "$folder/crane.csv" "$folder/crane7.csv"
ok another_seed_gives_other_numbers \
    bash -c "$A --seed 6 --cells $folder/6.csv --out /dev/null; ! cmp -s $folder/1.csv $folder/6.csv"

tile_rows() { # tile, condition on columns 1 and 2: the tile alone equals its rows of the whole
    $A --tile "$1" --cells "$folder/tile.csv" &&
        awk -F, "NR == 1 || ($2)" "$folder/1.csv" | cmp - "$folder/tile.csv" &&
        [ "$(wc -l < "$folder/tile.csv")" -gt 5 ]
}
ok a_tile_alone_equals_its_part_of_the_whole \
    tile_rows 3,2,11.2,7.9 '$1 >= 3 && $1 <= 11.2 && $2 >= 2 && $2 <= 7.9'
ok a_tile_counts_its_edges tile_rows 2.5,1.5,6.5,8.5 '$1 >= 2.5 && $1 <= 6.5 && $2 >= 1.5 && $2 <= 8.5'
ok a_tile_writes_nothing_else bash -c "[ -z \"\$($A --tile 3,2,9,9 --cells $folder/t.csv)\" ]"

feet_equal_metres() {
    for unit in feet metres; do
        $PROGRAM assess "$here/good/hall_$unit.yaml" --json --cells "$folder/$unit.csv" \
            --out "$folder/$unit.json"
    done
    cmp "$folder/feet.csv" "$folder/metres.csv" && [ "$(wc -l < "$folder/feet.csv")" -gt 20 ] &&
        sed 's/hall_feet/hall_metres/' "$folder/feet.json" | cmp - "$folder/metres.json"
}
ok a_scenario_in_feet_equals_its_metric_twin feet_equal_metres

# --- what is written ---
ok the_csv_header_is_as_documented bash -c "head -1 $folder/1.csv | tr -d '\r' | cmp - <(echo \
x_m,y_m,z_m,used,hdop,vdop,pdop,tdop,gdop,bound_m,bias_m,p50_m,p95_m,rms_m,fix_share,ambiguous_share,vertical_p50_m,vertical_p95_m,received,direct_share,link_bias_m)"
ok the_json_has_the_documented_shape /usr/bin/python3 "$here/json_shape.py" "$folder/1.json"
ok json_goes_to_standard_output bash -c "$A --json | cmp - $folder/1.json"
ok cells_go_to_standard_output bash -c "$A --cells - --out /dev/null | cmp - $folder/1.csv"
ok the_reference_is_the_programs_own bash -c "$PROGRAM help scenario | cmp - docs/scenario.md"
ok help_knows_every_command bash -c "for c in check assess chart compare zones need new import export; do $PROGRAM help \$c | grep -q 'Options:' &&
    $PROGRAM help \$c | cmp - <($PROGRAM \$c --help) || exit 1; done"
ok the_version_is_printed bash -c "$PROGRAM --version | grep -qx 'anchorwise [0-9.]*'"
ok check_describes_the_scenario bash -c "$PROGRAM check $folder/hall.yaml | grep -q '6 anchors'"
describes_the_radio() { # in place of the figures that have no part then
    "$PROGRAM" check scenarios/wheel-pit.yaml > "$folder/described" &&
        grep -q "^radio *channel 9 (7987.2 MHz" "$folder/described" &&
        grep -q "glass, shell 0.008 m" "$folder/described" &&
        ! grep -q "loss budget\|white" "$folder/described"
}
ok check_describes_the_radio_in_place_of_fixed_figures describes_the_radio
within_100_columns() {
    for demo in scenarios/*.yaml; do
        columns=$("$PROGRAM" check "$demo" --quiet | LC_ALL=C.UTF-8 wc -L)
        [ "$columns" -le 100 ] || { echo "$demo: $columns columns"; return 1; }
    done
}
ok what_check_prints_of_a_demo_is_within_100_columns within_100_columns
ok a_table_says_verdict_band_and_caution bash -c "$A | grep -q 'range of p95' && $A | grep -q 'not a promise'"
ok bench_figures_are_called_so bash -c "sed 's/^ranging.*/ranging: {sigma: 0.1}/' $folder/hall.yaml \
    > $folder/bench.yaml; $PROGRAM assess $folder/bench.yaml | grep -q 'BENCH FIGURES'"
ok no_colour_outside_a_terminal bash -c "! $A | grep -q $'\033'"
if script -qec true /dev/null > /dev/null 2>&1; then
    # Stopped when the bar, which comes after a second, must have shown.
    ok a_bar_shows_on_a_terminal bash -c "script -qec \
        'timeout -s INT 4 $A --draws 1000000 --threads 1 --out /dev/null' /dev/null | grep -q 's left'"
    ok quiet_shows_no_bar bash -c "! script -qec '$A --quiet --draws 20000 --out /dev/null' /dev/null |
        grep -q left"
else
    echo "skip - a_bar_shows_on_a_terminal: no terminal can be made here"
    echo "skip - quiet_shows_no_bar: no terminal can be made here"
fi
ok no_bar_shows_elsewhere bash -c "! $A --draws 20000 --out /dev/null 2>&1 | grep -q left"

# --- compare ---
sed 's/  - {name: f.*/&\n  - {name: g, at: [15, 0.2, 5]}/' "$folder/hall.yaml" > "$folder/more.yaml"
B="$PROGRAM compare $folder/hall.yaml $folder/more.yaml --draws 130"
$B --json --threads 1 --out "$folder/c1.json"
$B --json --threads 7 --out "$folder/c7.json"
ok comparisons_have_the_same_bytes_for_any_threads cmp "$folder/c1.json" "$folder/c7.json"
ok a_comparison_is_sound_json bash -c "/usr/bin/python3 -c 'import json,sys; d = json.load(sys.stdin)
assert [p[\"name\"] for p in d[\"comparisons\"][0][\"places\"]] == [\"floor\", \"west\", \"hook\"]' \
    < $folder/c1.json"
ok a_comparison_says_which_is_better_as_a_whole bash -c "$B | grep -q '^On the whole: .*[.]$'"
ok a_layout_is_0_against_itself bash -c "$PROGRAM compare $folder/hall.yaml $folder/hall.yaml \
    --draws 70 --json | /usr/bin/python3 -c 'import json,sys; c = json.load(sys.stdin)
assert all(p[\"p95_difference_m\"] == 0 and p[\"cells_better\"] == 0 == p[\"cells_worse\"]
           and p[\"better\"] is None for p in c[\"comparisons\"][0][\"places\"])'"
sed 's/^floor: {outline: \[\[0, 0\]/floor: {outline: [[0, 1]/' "$folder/hall.yaml" > "$folder/other.yaml"
ok another_floor_is_refused says 'different outlines' $PROGRAM compare "$folder/hall.yaml" "$folder/other.yaml"
ok another_floor_ends_with_2 ends_with 2 $PROGRAM compare "$folder/hall.yaml" "$folder/other.yaml"
ok one_layout_ends_with_2 ends_with 2 $PROGRAM compare "$folder/hall.yaml"

# --- the README ---
ok the_readmes_test_command_is_what_ci_runs \
    bash -c "command=\$(grep -m1 'make -s -j2 test' README.md | sed 's/^ *//'); grep -qxF -- \"\$command\" .ci/run"
ok the_readmes_first_command_ends_with_the_demo \
    bash -c "grep -qx '    sh .ci/deps program && make -s -j2 && make -s demo' README.md"
ok every_file_the_readme_names_is_there bash -c "grep -oE '(scenarios|docs|plots)/[a-z-]+\.(yaml|md|svg)' \
    README.md docs/*.md scenarios/README.md | cut -d: -f2 | sort -u | xargs ls"

# --- exit statuses ---
ok met_ends_with_0 ends_with 0 $A
sed 's/p95: 2.5/p95: 0.01/' "$folder/hall.yaml" > "$folder/strict.yaml"
ok not_met_ends_with_1 ends_with 1 $PROGRAM assess "$folder/strict.yaml"
ok check_never_ends_with_1 ends_with 0 $PROGRAM check "$folder/strict.yaml"
ok no_command_ends_with_2 ends_with 2 $PROGRAM
ok an_unknown_command_ends_with_2 ends_with 2 $PROGRAM asses "$folder/hall.yaml"
ok an_unknown_option_ends_with_2 ends_with 2 $A --cell x
ok an_option_without_value_ends_with_2 ends_with 2 $A --seed
ok a_switch_with_a_value_ends_with_2 ends_with 2 $A --json=yes
ok an_option_twice_ends_with_2 ends_with 2 $A --seed 1 --seed 2
ok no_scenario_ends_with_2 ends_with 2 $PROGRAM assess
ok two_scenarios_end_with_2 ends_with 2 $A "$folder/hall.yaml"
ok a_missing_file_ends_with_2 ends_with 2 $PROGRAM check "$folder/none.yaml"
ok a_folder_ends_with_2 ends_with 2 $PROGRAM check "$folder"
for wrong in '--draws 0' '--draws 1.5' '--step 0' '--step -1' '--seed -1' '--threads 0' '--threads x' \
    '--tile 1,2,3' '--tile 1,2,3,4' '--tile 3,3,1,1 --cells x' '--tag crane' '--tag x --cells y' \
    '--cells -' '--step 0.0001' '--tile 1,2,3,nan --cells x' '--tile 1,2,3,0x4 --cells x'; do
    ok "refused:_${wrong// /_}" ends_with 2 $A $wrong
done
ok an_option_obeys_the_scenarios_range says '--draws: 0 is outside' $A --draws 0
ok too_many_cells_are_refused_by_name says 'a step of' $A --step 0.001
ok too_much_work_is_refused_by_name says 'more than 1e12' $A --step 0.03 --draws 1000000
ok a_complaint_has_file_line_and_column bash -c "sed 's/name: press/nmae: press/' $folder/hall.yaml \
    > $folder/typo.yaml; $PROGRAM check $folder/typo.yaml 2>&1 | grep -q 'typo.yaml:5:6: unknown key'"
ok json_holds_the_mistakes_and_warnings_that_are_told \
    /usr/bin/python3 "$here/mistakes.py" "$PROGRAM" "$here"/bad/*.yaml "$folder/none.yaml" scenarios/*.yaml
ok a_file_of_results_keeps_what_it_holds_when_the_scenario_is_wrong bash -c "echo kept > $folder/old.json
    $PROGRAM check $folder/typo.yaml --json --out $folder/old.json > /dev/null
    [ \$? -eq 2 ] && grep -qx kept $folder/old.json"
ok check_tells_which_candidates_lie_inside_something bash -c "printf '%s\n' 'candidates:' '  points:' \
    '    - {name: post, at: [5, 4, 2]}' | cat $folder/hall.yaml - > $folder/inside.yaml
    $PROGRAM check $folder/inside.yaml 2>&1 > /dev/null | grep -q \
        'inside.yaml:[0-9]*:7: warning: point .post. lies inside obstacle .press.'"
# A round floor of 10 000 corners, and ten zones of 9000 along its rim, half of them over it.
many_corners() {
    awk 'function ring(r, n,   i, text) {
        for (i = 0; i < n; i++)
            text = text sprintf("%s[%.4f, %.4f]", i ? ", " : "", 200 + r * cos(8 * atan2(1, 1) * i / n),
                200 + r * sin(8 * atan2(1, 1) * i / n))
        return "[" text "]"
    }
    BEGIN {
        print "anchorwise: 1\ntitle: Round house\nfloor: {outline: " ring(200, 10000) ", ceiling: 6}"
        print "anchors:\n  - {name: a, at: [150, 200, 5]}\n  - {name: b, at: [250, 200, 5]}"
        print "  - {name: c, at: [200, 250, 5]}\nranging: {sigma: 0.1}\nstudy: {step: 4, draws: 100}\nzones:"
        for (k = 0; k < 10; k++)
            print "  - {name: z" k ", outline: " ring(k % 2 ? 200.01 : 199.999, 9000) ", need: {p95: 1}}"
    }' > "$folder/round.yaml"
    timeout 6 $PROGRAM check "$folder/round.yaml" 2> "$folder/round.txt" > /dev/null &&
        [ "$(grep -c 'is partly off the floor' "$folder/round.txt")" -eq 5 ]
}
ok many_corners_are_checked_in_seconds many_corners
ok a_full_disk_ends_with_3 ends_with 3 bash -c "$A > /dev/full"
ok a_full_disk_for_help_ends_with_3 ends_with 3 bash -c "$PROGRAM help > /dev/full"
ok a_full_disk_for_cells_ends_with_3 ends_with 3 $A --cells /dev/full
ok a_closed_standard_output_ends_with_3 ends_with 3 bash -c "$A >&-"
ok a_path_under_a_plain_file_ends_with_3 ends_with 3 $A --out "$folder/hall.yaml/x"
mkdir "$folder/closed"
chmod 555 "$folder/closed"
chmod 755 "$folder"
ordinary() { # as a user to whom a folder can be closed
    if [ "$(id -u)" -eq 0 ]; then setpriv --reuid=65534 --clear-groups "$@"; else "$@"; fi
}
ok a_closed_folder_ends_with_3 ends_with 3 ordinary \
    "$PROGRAM" assess "$folder/hall.yaml" --out "$folder/closed/x"
echo old > "$folder/kept"
(ulimit -f 1; $A --cells "$folder/kept" --out /dev/null) 2> /dev/null
ok an_existing_file_is_never_half_written grep -qx old "$folder/kept"
ok no_temporary_file_is_left bash -c "[ -z \"\$(ls $folder | grep '\.[A-Za-z0-9]\{6\}$')\" ]"
interrupted() {
    $A --draws 1000000 --out "$folder/never" & 
    local pid=$!
    sleep 0.7
    kill -INT $pid
    wait $pid
    local status=$?
    [ $status -eq 130 ] && [ ! -e "$folder/never" ]
}
set -m
ok ctrl_c_ends_with_130_and_writes_nothing interrupted

# --- explain and outage ---
E="$PROGRAM explain $folder/hall.yaml --draws 100"
ok explain_needs_a_spot says 'explain needs --at X,Y' $E
ok explain_without_a_spot_ends_with_2 ends_with 2 $E
ok a_spot_that_is_no_pair_is_refused says "'5' is not X,Y" $E --at 5
ok a_spot_off_the_floor_is_refused says '--at: 3,11 m is off the floor' $E --at 3,11
ok a_spot_off_the_floor_ends_with_2 ends_with 2 $E --at 3,11
ok explain_refuses_an_unknown_tag says "unknown tag 'van'" $E --at 3,3 --tag van
$E --at 8,7 --json --threads 1 --out "$folder/e1.json"
$E --at 8,7 --json --threads 3 --out "$folder/e3.json"
ok explanations_have_the_same_bytes_for_any_threads cmp "$folder/e1.json" "$folder/e3.json"
ok an_explanation_adds_up_in_json bash -c "/usr/bin/python3 -c 'import json,sys; d = json.load(sys.stdin)
assert len(d[\"lines\"]) == 6 and d[\"spot\"][\"tag\"] == \"cart\"
whole = d[\"spot\"][\"p95_m\"][0] - d[\"p95_without_all_m\"]
assert abs(sum(c[\"fair_part_m\"] for c in d[\"causes\"]) - whole) < 1e-9
assert all(r[\"p95_m\"][1] <= r[\"p95_m\"][0] <= r[\"p95_m\"][2] for r in d[\"remedies\"])' < $folder/e1.json"
ok a_3d_tag_is_explained_too bash -c "$E --at 8,7 --tag crane | grep -q 'crane at 3.40 m'"
$E --at 8,7 --chart "$folder/e.svg" --quiet --out "$folder/e.txt"
ok an_explanation_is_drawn_before_and_after bash -c "grep -q '>as planned<' $folder/e.svg && grep -q '>with ' $folder/e.svg"
ok a_sheet_goes_with_a_chart says '--sheet goes with --chart' $E --at 8,7 --sheet A4
ok an_unknown_kind_of_chart_ends_with_2 ends_with 2 $E --at 8,7 --chart "$folder/e.bmp"
O="$PROGRAM outage $folder/hall.yaml --draws 100 --step 1"
$O --json --threads 1 --out "$folder/o1.json"
$O --json --threads 3 --out "$folder/o3.json"
ok outages_have_the_same_bytes_for_any_threads cmp "$folder/o1.json" "$folder/o3.json"
ok an_outage_lists_every_anchor_and_every_pair bash -c "/usr/bin/python3 -c 'import json,sys; d = json.load(sys.stdin)
assert [len(l[\"lost\"]) for l in d[\"losses\"]] == [0] + 6 * [1] + 15 * [2]
assert [z[\"name\"] for z in d[\"zones\"]] == [\"west\", \"hook\"]' < $folder/o1.json"
ok an_outage_ends_with_0 ends_with 0 $O

exit $failed
