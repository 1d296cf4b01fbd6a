# Progress: stage, share and time left on a terminal, and one line a stage for whoever asks.
here=$(dirname "$0")
. "$here/outcomes.sh"
hall=$here/good/hall_metres.yaml
ok every_command_tells_stage_share_and_time_left_within_40_and_100_columns \
    /usr/bin/python3 "$here/bars.py" "$PROGRAM" "$folder"

ok a_first_estimate_stands_above_the_bar_until_the_result \
    /usr/bin/python3 "$here/estimate.py" "$PROGRAM" "$hall" assess --draws 30000 --step 0.5

fast="--draws 16 --step 4"
tells() { # least number of stages, words of a command: off a terminal lines alone, asked for
    local least=$1 stages hall=${3:-$hall}
    # shellcheck disable=SC2086
    "$PROGRAM" $2 --quiet --progress "$hall" > /dev/null 2> "$folder/lines"
    cat "$folder/lines"
    stages=$(grep -cE '^anchorwise: [0-9]+\.[0-9] s: [^ ].*[^ ]$' "$folder/lines")
    [ "$stages" -ge "$least" ] && [ "$stages" -eq "$(wc -l < "$folder/lines")" ] &&
        head -1 "$folder/lines" | grep -q "reading $hall" || return 1
    # shellcheck disable=SC2086
    "$PROGRAM" $2 --quiet "$hall" 2>&1 > /dev/null | cmp - /dev/null
}
ok check_tells_its_stages tells 1 check
ok links_tells_its_stages tells 1 "links --at 20,7"
ok assess_tells_its_stages tells 3 "assess $fast"
ok assess_tells_that_it_writes_cells tells 4 "assess $fast --cells $folder/cells.csv"
ok chart_tells_its_stages tells 4 "chart $fast --out $folder/sheet.svg"
ok compare_tells_its_stages tells 4 "compare $hall $fast"
ok explain_tells_its_stages tells 3 "explain --at 20,7 $fast"
ok outage_tells_its_stages tells 6 "outage $fast"
ok zones_tells_its_stages tells 2 "zones $fast"
ok sweep_tells_its_stages tells 6 "sweep --counts 4:5 $fast"
cat > "$folder/store.yaml" <<'YAML'
anchorwise: 1
title: A small store
floor: {outline: [[0, 0], [12, 0], [12, 8], [0, 8]], ceiling: 4}
anchors: [{name: a, at: [0, 0, 3]}, {name: b, at: [12, 0, 3]}, {name: c, at: [12, 8, 3]}]
candidates: {lines: [{name: wall, path: [[0, 0], [12, 0], [12, 8], [0, 8], [0, 1]], spacing: 3.8, low: 3}]}
zones: [{name: middle, outline: [[4, 2], [8, 2], [8, 6], [4, 6]], need: {p95: 0.6}}]
study: {step: 1, draws: 64}
YAML
ok place_tells_its_stages tells 4 "place --afresh" "$folder/store.yaml"
ok sensitivity_tells_its_stages tells 7 "sensitivity $fast"
ok freedom_tells_its_stages tells 2 "freedom $fast"
exit $failed
