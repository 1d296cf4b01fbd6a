# Exit statuses 0 and 1: which commands decide, by what. Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

cp "$here/cases/site.yaml" "$folder/site.yaml"
cd "$folder" || exit 1
sed 's/p95: 2/p95: 0.01/' site.yaml > strict.yaml
sed '/name: [CDE]/d' site.yaml > poor.yaml
sed '/name: [DE]/d' site.yaml > three.yaml
sed 's/, need: {p95: 2}//' site.yaml > free.yaml

for said in check "chart --out c.svg" "explain --at 3,3" "links --at 3,3" "freedom --reach 0.1" "sweep --heights 2:3:1" \
    sensitivity; do
    ok "${said%% *}_never_ends_with_1" ends_with 0 $PROGRAM $said strict.yaml
done
ok need_never_ends_with_1 ends_with 0 $PROGRAM need --width 0.1 --decisions 1000 --wrong 1
short_of() { # file it is said of, then a command that ends with 1 after its whole result
    local of=$1
    shift
    "$@" > result 2> short
    [ $? -eq 1 ] && [ -s result ] &&
        grep -q "^$of: z: p95 is 0[0-9.]* m .*, at most 0.01 m asked: NOT MET with seed 1$" short ||
        { cat short; return 1; }
}
for command in assess outage zones; do
    ok "${command}_of_needs_that_are_met_ends_with_0" ends_with 0 $PROGRAM $command site.yaml
    ok "${command}_of_a_need_that_is_not_met_ends_with_1" ends_with 1 $PROGRAM $command strict.yaml
    ok "${command}_without_a_need_ends_with_0" ends_with 0 $PROGRAM $command free.yaml
done
ok a_placing_of_a_need_that_can_be_met_ends_with_0 ends_with 0 $PROGRAM place site.yaml
ok a_placing_of_a_need_that_cannot_be_met_ends_with_1 ends_with 1 $PROGRAM place strict.yaml
ok zones_say_what_falls_short short_of strict.yaml $PROGRAM zones strict.yaml
ok zones_as_json_say_so_too short_of strict.yaml $PROGRAM zones strict.yaml --json
ok a_comparison_ends_with_1_by_its_last_layout ends_with 1 $PROGRAM compare site.yaml poor.yaml
ok a_comparison_ends_with_0_by_its_last_layout ends_with 0 $PROGRAM compare poor.yaml site.yaml
ok of_three_layouts_the_last_counts ends_with 1 $PROGRAM compare site.yaml three.yaml poor.yaml
ok a_comparison_without_needs_ends_with_0 ends_with 0 $PROGRAM compare free.yaml free.yaml
# Three anchors serve until one is lost.
ok three_anchors_meet_their_need ends_with 0 $PROGRAM assess three.yaml
ok an_outage_that_is_not_sturdy_ends_with_0 ends_with 0 $PROGRAM outage three.yaml
ok an_outage_asked_to_be_sturdy_ends_with_1 ends_with 1 $PROGRAM outage three.yaml --sturdy
ok an_outage_that_is_sturdy_ends_with_0 ends_with 0 $PROGRAM outage site.yaml --sturdy
ok a_result_that_cannot_be_written_ends_with_3 ends_with 3 bash -c "$PROGRAM outage strict.yaml > /dev/full"
ok help_tells_every_exit_status bash -c "for n in 0 1 2 3 130; do $PROGRAM help | grep -qE \"^  \$n +[a-z]\" || exit 1; done"
ok help_of_a_command_tells_its_status_1 bash -c "for c in assess place outage zones compare; do
    $PROGRAM help \$c | tr '\n' ' ' | grep -q 'nds with status 1' || exit 1; done"

# --- what is missing, and why ---
sed 's/^zones: .*/zones:\n  - {name: quiet, outline: [[2, 1], [6, 1], [6, 4], [2, 4]]}\n  - {name: fine, outline: [[2, 1], [6, 1], [6, 4], [2, 4]], need: {p95: 2}}/' \
    site.yaml > dashes.yaml
sed 's/sigma: 0.1/sigma: 0.1, survey_sigma: 0.01/; /name: quiet/d' dashes.yaml > none.yaml
explains() { $PROGRAM assess "$1" --quiet | grep -qxF -- "$2" || { $PROGRAM assess "$1"; return 1; }; }
# Figures once for each zone; verdicts of the zone with a need alone.
verdicts_of() { $PROGRAM assess "$1" --quiet | sed -n '/ need .* verdict /,/^$/p' | grep -oE '^(quiet|fine) '; }
ok a_zone_without_a_need_has_no_verdict bash -c "[ \"\$($PROGRAM assess dashes.yaml --quiet | grep -cE '^quiet ')\" -eq 1 ]"
ok a_zone_with_a_need_has_one [ "$(verdicts_of dashes.yaml)" = "fine " ]
ok a_zone_without_a_need_says_so explains dashes.yaml 'No verdict in quiet: no need is stated.'
sed 's/need: {p95: 2}/need: {p95: 2, margin: 1.5}/' dashes.yaml > margin.yaml
ok zones_without_a_chance_say_so explains margin.yaml \
    'No chance in fine: it takes a need of errors without a margin, and a verdict that no other part decides against.'
ok a_zone_without_a_p95_says_so explains poor.yaml 'No p95 in z: more than 5 % of the draws give no fix.'
ok where_nothing_is_missing_nothing_is_said bash -c "! $PROGRAM assess none.yaml --quiet | grep -qE '^No (verdict|p95|chance) in '"

# --- words that people try ---
same() { cmp <("$PROGRAM" $1) <("$PROGRAM" $2); }
for pair in '-h:help' '--help:help' '-V:--version' 'assess -h:help assess' 'assess --version:--version' 'need -V:--version' \
    'help help:help' 'help --version:--version'; do
    ok "'${pair%%:*}'_is_'${pair#*:}'" same "${pair%%:*}" "${pair#*:}"
done
ok small_q_is_quiet bash -c "$PROGRAM check poor.yaml -q 2>&1 > /dev/null | wc -l | grep -qx 0 &&
    $PROGRAM check poor.yaml 2>&1 > /dev/null | grep -q warning"
ok help_of_chart_lists_its_layers bash -c "for key in used hdop p95_m received; do
    $PROGRAM help chart | grep -qE \"^  \$key +[A-Za-z0-9]\" || exit 1; done"
ok the_layers_are_those_of_the_cells bash -c "$PROGRAM assess site.yaml --cells - --out /dev/null | head -1 | tr -d '\r' |
    tr , '\n' | tail -n +4 | cmp - <($PROGRAM help chart | sed -n '/^Layers/,\$p' | sed -n 's/^  \([a-z0-9_]*\) .*/\1/p')"
exit $failed
