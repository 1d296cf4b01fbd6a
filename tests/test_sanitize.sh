# Every unit suite and the commands under address and undefined-behaviour checks.
here=$(dirname "$0")
. "$here/outcomes.sh"
# The font libraries keep what they have read until the end.
export LSAN_OPTIONS=suppressions=tests/long/fonts.lsan:print_suppressions=0
export AW_TESTS=tests CK_TIMEOUT_MULTIPLIER=20 CK_VERBOSITY=silent
built=build/sanitize
suites=$(basename -a -s .c tests/test_*.c | grep -v "test_control\|test_lanes\|test_chart\|test_compare\|test_explain\|test_outage\|test_decisions\|test_placing\|test_sensitivity\|test_freedom\|test_few\|test_intervals\|test_difference\|test_leeway_sheets\|test_needs")
ok the_checked_build_compiles make -s -j2 MODE=sanitize $built/anchorwise \
    $(for suite in $suites; do echo $built/tests/$suite; done)
for suite in $suites; do
    ok "${suite}_is_clean" $built/tests/$suite
done
hall=tests/good/hall_metres.yaml
judged() { # a command that may say that a need is not met
    "$@"
    [ $? -le 1 ]
}
ok check_is_clean $built/anchorwise check $hall
ok assess_is_clean bash -c "$built/anchorwise assess $hall --draws 64 --step 2 --json --cells \
    $folder/c.csv --threads 3 > $folder/a.json; [ \$? -le 1 ] && [ -s $folder/a.json ]"
ok compare_is_clean judged $built/anchorwise compare $hall $hall --draws 64 --step 2 --threads 3
ok outage_is_clean judged $built/anchorwise outage $hall --draws 64 --step 3 --threads 3
ok explain_is_clean $built/anchorwise explain $hall --at 20,7 --draws 64 --step 3 --threads 3
ok place_is_clean bash -c "$built/anchorwise place $hall --afresh --draws 64 --step 3 --threads 3 \
    --even-so --out $folder/p.yaml > /dev/null; [ \$? -le 1 ] && [ -s $folder/p.yaml ]"
ok sweep_is_clean $built/anchorwise sweep $hall --counts 4:6 --draws 64 --step 3 --threads 3 \
    --chart "$folder/s.svg"
ok sensitivity_is_clean $built/anchorwise sensitivity $hall --draws 16 --step 6 --threads 3 \
    --chart "$folder/b.svg"
ok freedom_is_clean $built/anchorwise freedom $hall --draws 64 --step 4 --threads 3 \
    --chart "$folder/r.svg"
ok zones_is_clean judged $built/anchorwise zones $hall --draws 64 --step 3 --threads 3
ok a_wrong_scenario_is_clean ends_with 2 $built/anchorwise check tests/bad/several_at_once.yaml
for kind in svg pdf png; do
    ok "chart_as_${kind}_is_clean" $built/anchorwise chart $hall --draws 64 --step 2 --spot 30,5 \
        --out "$folder/c.$kind"
done
exit $failed
