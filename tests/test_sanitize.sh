# Unit suites and the commands under address and undefined-behaviour checks; `make sanitize` has the
# long ones too.
here=$(dirname "$0")
. "$here/outcomes.sh"
# The font libraries keep what they have read until the end.
export LSAN_OPTIONS=suppressions=tests/long/fonts.lsan:print_suppressions=0
export AW_TESTS=tests CK_TIMEOUT_MULTIPLIER=20 CK_VERBOSITY=silent
built=build/sanitize
# Suites that take long in a checked build.
long="beside|beside_marks|bound_fades|chance|chart|compare|control|decisions|difference|documents|edit_laws|explain|few"
long="$long|hard_floors|remedies_demos|surface|sweep_places|tints|verdicts_drawn"
long="$long|figures|fix_sites|freedom|intervals|kernel_levels|lanes|leeway_sheets|needs"
long="$long|odds|outage|places|placing"
long="$long|placing_whole|plane|plotted|radio_law|radio_paths|remedies|robust|sensitivity"
long="$long|shadow|sites|sweep|trials_names"
long="$long|trials_published"
suites=$(basename -a -s .c tests/test_*.c | grep -vxE "test_($long)")
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
cat > "$folder/bay.yaml" << 'YAML'
anchorwise: 1
title: A bay
floor: {outline: [[0, 0], [12, 0], [12, 8], [0, 8]], ceiling: 4}
anchors:
  - {name: A1, at: [0.3, 0.3, 3]}
  - {name: A2, at: [11.7, 0.3, 3]}
  - {name: A3, at: [11.7, 7.7, 3]}
ranging: {sigma: 0.1}
zones: [{name: bench, outline: [[2, 2], [10, 2], [10, 6], [2, 6]], need: {p95: 1}}]
YAML
ok place_is_clean bash -c "$built/anchorwise place $folder/bay.yaml --afresh --draws 64 --threads 3 \
    --even-so --out $folder/p.yaml > /dev/null; [ \$? -le 1 ] && [ -s $folder/p.yaml ]"
ok sweep_is_clean $built/anchorwise sweep $folder/bay.yaml --counts 4:6 --draws 64 --step 3 --threads 3 \
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
