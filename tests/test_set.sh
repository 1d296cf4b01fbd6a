# Changes by --set: every command takes them, every output tells them, mistakes name them. Prints
# "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"
. "$here/locales.sh"

cat > "$folder/bay.yaml" <<'YAML'
anchorwise: 1
title: bay
floor: {outline: [[0, 0], [12, 0], [12, 9], [0, 9]], ceiling: 5}
obstacles:
  - {name: crane, footprint: [[3, 3], [5, 3], [5, 4], [3, 4]], base: 0.5, top: 2.5, material: metal}
  - {name: rack no. 1, footprint: [[8, 5], [9, 5], [9, 8], [8, 8]], top: 3, material: metal}
anchors:
  - {name: P1, at: [0.2, 0.3, 4]}
  - {name: P2, at: [11.8, 0.2, 4.2]}
  - {name: P3, at: [11.7, 8.8, 4]}
  - {name: P4, at: [0.1, 8.7, 3.8]}
  - {name: P5, at: [6, 8.8, 4.4]}
ranging: {sigma: 0.1, spot_sigma: 0.1}
zones:
  - {name: bogie bay, outline: [[1, 1], [6, 1], [6, 8], [1, 8]], need: {p95: 0.9}}
candidates: {points: [{name: c1, at: [6, 0.2, 4]}, {name: c2, at: [0.2, 4, 4]}, {name: c3, at: [11.8, 4, 4]}]}
study: {step: 2, draws: 24}
YAML
bay=$folder/bay.yaml
sed 's/base: 0.5/base: 1.6/' "$bay" > "$folder/high.yaml"
crane=obstacles.crane.base=1.6
# What a command needs beside a scenario.
words_of() { # command
    case $1 in
        explain | links) echo "--at 2.5,3.5" ;;
        chart) echo "--out $folder/$1.svg" ;;
        export) echo "--out $folder/$1.csv" ;;
        report) echo "client --quick --sections zones --out $folder/$1.html" ;;
        sweep) echo "--heights 3:4:1" ;;
    esac
}
scenarios_of() { # command
    echo "$bay"
    [ "$1" = compare ] && echo "$bay"
}
run() { # command, then more words
    local command=$1
    shift
    "$PROGRAM" "$command" $(words_of "$command") --quiet "$@" $(scenarios_of "$command")
    [ $? -lt 2 ]
}
# But for plan, where a change is a step of its own.
commands=$("$PROGRAM" help | sed -n 's/^  \([a-z]\+\) .*/\1/p' | grep -vxE "help|plan" | while read -r name; do
    "$PROGRAM" help "$name" | grep -q '^A scenario is a file' && echo "$name"
done)
ok every_command_is_tried test "$(wc -w <<< "$commands")" -eq 14

# --- every command ---
json_has_set() { # command
    run "$1" --json --set "$crane" --set 'zones."bogie bay".need.p95 = 0.8' > "$folder/out.json" &&
        python3 - "$1" "$folder/out.json" <<'PY'
import json, sys
result = json.load(open(sys.argv[2]))
said = result["set"] if sys.argv[1] == "compare" else result["scenario"]["set"]
assert said == [{"path": "obstacles.crane.base", "value": "1.6"},
                {"path": 'zones."bogie bay".need.p95', "value": "0.8"}], said
PY
}
table_has_set() { # command
    run "$1" --set "$crane" --set 'zones."bogie bay".need.p95 = 0.8' > "$folder/out.txt" &&
        head -5 "$folder/out.txt" | grep -qxF 'set: obstacles.crane.base = 1.6' &&
        head -5 "$folder/out.txt" | grep -qxF 'set: zones."bogie bay".need.p95 = 0.8'
}
says_nothing_unasked() { # command
    run "$1" > "$folder/out.txt" && ! grep -q '^set:' "$folder/out.txt" &&
        run "$1" --json > "$folder/out.json" && ! grep -q '"set"' "$folder/out.json"
}
sheet_has_set() { # command, option of its sheet
    run "$1" "$2" "$folder/set.svg" --set "$crane" > "$folder/out.txt" &&
        sed 's/<[^>]*>/ /g' "$folder/set.svg" | tr -s ' \n' ' ' |
        grep -qF 'Set: obstacles.crane.base = 1.6.'
}
for command in $commands; do
    if [ "$command" != chart ] && [ "$command" != export ] && [ "$command" != report ]; then
        ok "${command}_tells_changes_in_its_table" table_has_set "$command"
        ok "${command}_tells_changes_in_its_JSON" json_has_set "$command"
        ok "${command}_tells_no_change_unasked" says_nothing_unasked "$command"
    fi
    ok "${command}_refuses_a_name_that_is_not_there" says \
        "--set obstacles.crnae.base=1: unknown name 'crnae' in obstacles; did you mean 'crane'?" \
        run "$command" --set obstacles.crnae.base=1
    ok "${command}_ends_with_2_then" ends_with 1 run "$command" --set obstacles.crnae.base=1
    ok "${command}_has_help_on_it" grep -q -- '--set PATH=VALUE' <("$PROGRAM" help "$command")
done
for command in compare explain sweep sensitivity freedom; do
    ok "the_sheet_of_${command}_tells_changes" sheet_has_set "$command" --chart
done
schedule_has_set() {
    "$PROGRAM" export --quiet --out "$folder/set.csv" --set "$crane" "$bay" &&
        head -1 "$folder/set.csv" | tr -d '\r' | grep -q ',set$' && sed 1d "$folder/set.csv" | tr -d '\r' | grep -q ',"obstacles.crane.base = 1.6"$'
}
ok the_schedule_tells_changes schedule_has_set
chart_has_set() {
    "$PROGRAM" chart --quiet --out "$folder/set.svg" $1 --set "$crane" "$bay" &&
        sed 's/<[^>]*>/ /g' "$folder/set.svg" | tr -s ' \n' ' ' |
        grep -qF 'Set: obstacles.crane.base = 1.6.'
}
ok the_chart_tells_changes chart_has_set
ok a_small_upright_chart_tells_changes chart_has_set "--sheet A4 --portrait"
many=()
for k in {1..60}; do many+=(--set "obstacles.\"rack no. 1\".top = 2.$k"); done
many_are_counted() {
    "$PROGRAM" chart --quiet --out "$folder/set.svg" "${many[@]}" "$bay" &&
        sed 's/<[^>]*>/ /g' "$folder/set.svg" | tr -s ' \n' ' ' | grep -q 'Set: .* and [0-9]* more\.' &&
        grep -q 'promise: measure' "$folder/set.svg"
}
ok a_chart_counts_changes_beyond_its_room many_are_counted
cat > "$folder/columns.py" <<'PY'
import csv, sys
rows = list(csv.DictReader(open(sys.argv[1], newline="")))
last = list(rows[0])[-1]
if len(sys.argv) > 2:
    assert last == "set" and {r["set"] for r in rows} == {sys.argv[2]}, (last, rows[0])
else:
    assert "set" not in rows[0], last
assert len(rows) > 1
PY
csv_has_set() { # what it tells, options
    local want=$1
    shift
    run assess --cells "$folder/cells.csv" "$@" > /dev/null &&
        /usr/bin/python3 "$folder/columns.py" "$folder/cells.csv" ${want:+"$want"} &&
        run sweep --csv "$folder/sweep.csv" "$@" > /dev/null &&
        /usr/bin/python3 "$folder/columns.py" "$folder/sweep.csv" ${want:+"$want"}
}
ok csv_tells_changes_in_a_last_column csv_has_set \
    'obstacles.crane.base = 1.6; zones."bogie bay".need.p95 = 0.8' --set "$crane" --set 'zones."bogie bay".need.p95 = 0.8'
ok csv_has_no_such_column_unasked csv_has_set ''
ok need_takes_no_change says 'unknown option' "$PROGRAM" need --set a=1

# --- the same figures as of the scenario written so ---
without_set() {
    python3 - "$1" <<'PY'
import json, sys
result = json.load(open(sys.argv[1]))
result["scenario"].pop("set", None)
result["scenario"].pop("file")
print(json.dumps(result))
PY
}
figures_agree() { # command
    run "$1" --json --set "$crane" > "$folder/set.json"
    "$PROGRAM" "$1" $(words_of "$1") --quiet --json "$folder/high.yaml" > "$folder/hand.json"
    cmp <(without_set "$folder/set.json") <(without_set "$folder/hand.json") &&
        run "$1" --json > "$folder/plain.json" &&
        ! cmp -s <(without_set "$folder/set.json") <(without_set "$folder/plain.json")
}
for command in assess links explain outage zones sweep; do
    ok "${command}_has_the_figures_of_the_scenario_written_so" figures_agree "$command"
done
same_value() { # file, path and value: what it is already
    "$PROGRAM" assess --quiet --json --draws 20 --step 3 "$1" > "$folder/plain.json"
    "$PROGRAM" assess --quiet --json --draws 20 --step 3 --set "$2" "$1" > "$folder/set.json"
    cmp <(without_set "$folder/set.json") <(without_set "$folder/plain.json") &&
        grep -q '"set": \[{' "$folder/set.json"
}
hall=scenarios/tram-hall.yaml
for change in 'obstacles."lifted car 1".base=1.6' 'anchors.S1.at=[0.4, 0.4, 6.2]' 'anchors.S1.at[2]=6.2' \
    'tags.0.present=true' 'title=Tram overhaul hall'; do
    ok "no_figure_moves_by_$(tr ' ' _ <<< "$change")" same_value $hall "$change"
done

# --- options and changes ---
draws_of() { sed -n 's/.*"draws": \([0-9]*\).*/\1/p'; }
ok an_option_is_laid_over_a_change test \
    "$("$PROGRAM" assess -q --json --set study.draws=40 --draws 30 "$bay" | draws_of)" = 30
ok a_change_of_draws_counts test \
    "$("$PROGRAM" assess -q --json --set study.draws=40 "$bay" | draws_of)" = 40
ok a_later_change_goes_over_an_earlier test \
    "$("$PROGRAM" assess -q --json --set study.draws=40 --set study.draws=50 "$bay" | draws_of)" = 50
ok a_change_may_stand_behind_an_equals_sign test \
    "$("$PROGRAM" assess -q --json --set=study.draws=40 "$bay" | draws_of)" = 40
ok standard_input_is_varied bash -c "'$PROGRAM' check -q --set '$crane' - < '$bay' | grep -q '1.60 to 2.50'"

# --- mistakes ---
wrong() { # text, change: status 2, and that is said
    "$PROGRAM" check "$bay" --set "$2" > "$folder/out" 2> "$folder/complaint"
    [ $? -eq 2 ] && [ ! -s "$folder/out" ] && grep -qF -- "$1" "$folder/complaint" && return
    cat "$folder/complaint"
    return 1
}
ok a_value_out_of_range_names_the_change wrong \
    "bay.yaml: --set study.step=0: step: 0 is outside (0, 100] m" study.step=0
ok what_follows_elsewhere_has_its_place wrong \
    "bay.yaml:5:80: with --set obstacles.crane.base=99: top: 2.5 must be above base (99 m)" \
    obstacles.crane.base=99
ok an_unknown_key_is_told_what_was_meant wrong \
    "--set study.draw=9: unknown key 'draw' in the study; did you mean 'draws'?" study.draw=9
ok a_change_without_a_value_is_refused wrong "--set: 'study.draws' is not PATH=VALUE" study.draws
ok a_value_has_no_unit wrong "step: needs a number in (0, 100] m, not '2 m'" 'study.step=2 m'
ok a_hundred_changes_are_the_most says '--set: at most 100 of them' \
    "$PROGRAM" check "${many[@]}" "${many[@]}" "$bay"
mistakes_in_JSON() {
    "$PROGRAM" check --json --set study.step=0 "$bay" > "$folder/out.json"
    [ $? -eq 2 ] && python3 - "$folder/out.json" <<'PY'
import json, sys
[error] = json.load(open(sys.argv[1]))["errors"]
assert error["line"] is None and error["text"].startswith("--set study.step=0: "), error
PY
}
ok a_mistake_in_JSON_has_no_line mistakes_in_JSON
each_is_told() {
    "$PROGRAM" compare -q --set obstacles.x.base=1 "$bay" "$folder/high.yaml" 2> "$folder/complaint"
    [ $? -eq 2 ] && [ "$(grep -c "unknown name 'x'" "$folder/complaint")" -eq 2 ]
}
ok each_layout_is_told_of_a_mistake each_is_told

# --- what is written ---
layout_has_changes() {
    "$PROGRAM" place -q --set "$crane" --set 'zones."bogie bay".need.p95=1.5' --even-so \
        --out "$folder/placed.yaml" "$bay" > "$folder/out"
    [ $? -lt 2 ] && grep -q 'name: crane,.* base: 1.6, top: 2.5' "$folder/placed.yaml" &&
        grep -q 'p95: 1.5' "$folder/placed.yaml" && "$PROGRAM" check -q "$folder/placed.yaml"
}
ok a_layout_is_written_with_the_changes layout_has_changes
ok the_scenario_itself_stays cmp <(sed 's/base: 0.5/base: 1.6/' "$bay") "$folder/high.yaml"

# --- locales ---
ok a_locale_with_a_comma_is_made make_comma "$folder/locales"
for name in $LOCALES; do
    in_locale "$name" "$PROGRAM" check -q --set "$crane" "$bay" 2>&1 | grep -v 'will take' > "$folder/$name.said"
    ok "a_point_is_a_point_in_locale_$name" grep -q '1.60 to 2.50 m' "$folder/$name.said"
    ok "a_comma_is_none_in_locale_$name" says "'1,6' is not a value on one line" \
        in_locale "$name" "$PROGRAM" check --set obstacles.crane.base=1,6 "$bay"
done
exit $failed
