# What a run will cost, said before it is made.
here=$(dirname "$0")
. "$here/outcomes.sh"
ok check_says_what_assess_will_cost /usr/bin/python3 "$here/costs.py" ratios "$PROGRAM" "$folder"
ok the_cost_grows_with_draws_and_cells /usr/bin/python3 "$here/costs.py" scale "$PROGRAM" "$folder"
ok what_takes_over_a_minute_says_so_first /usr/bin/python3 "$here/costs.py" says "$PROGRAM" "$folder"
tells_in_words() {
    "$PROGRAM" check --quiet scenarios/crate-hall.yaml | tail -1 |
        grep -qE '^assess will take (under a second|about [0-9.]+ s) on [0-9]+ threads? and [0-9]+ MB\.$'
}
ok check_says_the_cost_in_words tells_in_words
what_is_short_is_not_told() {
    "$PROGRAM" assess scenarios/crate-hall.yaml --draws 16 2>&1 > /dev/null | cmp - /dev/null
}
ok what_is_short_is_not_told_beforehand what_is_short_is_not_told
exit $failed
