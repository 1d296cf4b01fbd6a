# The same bytes end to end, on every demo: at every processor level, with 1, 2 and 7 threads, and
# for tiles against the whole.
here=$(dirname "$0")
. "$here/outcomes.sh"
levels=${BUILD:-build}/tests/levels

run() { # folder for the results, program with its level, threads, scenario
    mkdir -p "$1"
    local at="--draws 64 --seed 3 --step $step --threads $3 --quiet"
    # shellcheck disable=SC2086
    $2 assess --json $at --cells "$1/cells.csv" --out "$1/assess.json" "$4"
    [ $? -le 1 ] || return 1
    # The smallest demo stands for what works on instant figures.
    # shellcheck disable=SC2086
    [ "$name" != scenery_store ] || $2 outage --json $at --out "$1/outage.json" "$4"
}
same() { # the arguments of run(): like the first run of this scenario
    run "$@" && diff -r "$folder/first" "$1"
}
is_missing() { # level
    "$levels" "$1" --version > /dev/null
    [ $? -eq 77 ]
}
# A rectangle of cells: the tile's rows are those of the whole. It is given in the scenario's units.
tile() { # scenario
    local box given
    box=$(awk -F, 'NR > 1 { if (NR == 2 || $1 < a) a = $1; if ($1 > b) b = $1
                            if (NR == 2 || $2 < c) c = $2; if ($2 > d) d = $2 }
                   END { printf "%.3f,%.3f,%.3f,%.3f", a + (b - a) / 4, c + (d - c) / 4,
                         a + (b - a) * 0.7, c + (d - c) * 0.8 }' "$folder/first/cells.csv")
    given=$box
    grep -q "^units: ft" "$1" && given=$(echo "$box" | awk -F, -v OFS=, \
        '{ for (i = 1; i <= 4; i++) $i = sprintf("%.9f", $i / 0.3048); print }')
    "$PROGRAM" assess --draws 64 --seed 3 --step $step --threads 3 --quiet --tile "$given" \
        --cells "$folder/tile.csv" "$1" || return 1
    awk -F, -v box="$box" 'BEGIN { split(box, b, ",") }
        NR == 1 || ($1 >= b[1] && $1 <= b[3] && $2 >= b[2] && $2 <= b[4])' \
        "$folder/first/cells.csv" | cmp - "$folder/tile.csv" &&
        [ "$(wc -l < "$folder/tile.csv")" -gt 3 ]
}

for scenario in scenarios/*.yaml; do
    name=$(basename "$scenario" .yaml)
    name=${name//-/_}
    # Of the larger floors fewer cells.
    case $name in washing_shed) step=2 ;; *) step=3 ;; esac
    rm -rf "$folder/first" "$folder/other"
    ok "${name}_can_be_run" run "$folder/first" "$PROGRAM" 1 "$scenario"
    for n in 2 7; do
        ok "${name}_gives_the_same_bytes_with_${n}_threads" \
            same "$folder/other" "$PROGRAM" $n "$scenario"
    done
    for level in base v3 v4; do
        if is_missing $level; then
            echo "skip - ${name}_at_level_$level (this processor lacks it)"
        else
            ok "${name}_gives_the_same_bytes_at_level_$level" \
                same "$folder/other" "$levels $level" 2 "$scenario"
        fi
    done
    ok "${name}_has_tiles_that_equal_their_part_of_the_whole" tile "$scenario"
done
exit $failed
