# Seeded mutations of every good scenario, 5000 or with AW_WHOLE 10 000, and the seed corpora of the
# fuzzing: no crash, no hang, no greed, and what is promised of every answer
# (tests/fuzz/target_scenario.c) holds.
here=$(dirname "$0")
. "$here/outcomes.sh"
built=${BUILD:-build}/tests
dictionary_knows() { # a command that prints words, one a line
    local word n=0
    while read -r word; do
        grep -qxF "\"$word\"" "$here/fuzz/words.dict" || { echo "words.dict lacks $word"; return 1; }
        n=$((n + 1))
    done < <("$@")
    [ $n -gt 10 ]
}
commands() {
    "$PROGRAM" help | sed -n 's/^  \([a-z]\+\)  .*/\1/p'
}
options() {
    for command in $(commands); do "$PROGRAM" help "$command"; done |
        sed -n 's/^  \(--[a-z]\+\) .*/\1/p'
}
ok the_dictionary_knows_every_command dictionary_knows commands
ok the_dictionary_knows_every_option dictionary_knows options
ok the_seed_scenarios_replay "$built/fuzz_scenario" scenarios tests/good tests/bad
ok the_seed_command_lines_replay "$built/fuzz_command" tests/fuzz/commands
ok mutations_are_read_or_refused_in_2_s_and_200_mib \
    "$built/mutate" $([ -n "${AW_WHOLE:-}" ] && echo 10000 || echo 5000) scenarios/*.yaml tests/good/*.yaml
exit $failed
