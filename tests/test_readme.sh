# What README shows: its minimal scenario, as it stands there, is checked without a word and assessed.
here=$(dirname "$0")
. "$here/outcomes.sh"
sed -n '/^    anchorwise: 1$/,/^$/s/^    //p' README.md > "$folder/ten.yaml"
ten_lines() { [ "$(grep -c . "$folder/ten.yaml")" -eq 10 ] && [ "$(wc -l < "$folder/ten.yaml")" -le 11 ]; }
silent() { [ -z "$("$@" 2>&1 > /dev/null)" ]; }
ok the_minimal_scenario_has_ten_lines ten_lines
ok the_minimal_scenario_is_sound_and_draws_no_warning silent "$PROGRAM" check "$folder/ten.yaml"
ok the_minimal_scenario_meets_its_need ends_with 0 "$PROGRAM" assess "$folder/ten.yaml"

# Every command line of the program that README shows names files that are there and options that exist.
shown() {
    grep -oE '^    +(build/)?anchorwise [a-z]+( [^ ]+)*' README.md | sed -E 's/ {2,}.*//; s/^ +//' |
        grep -oE 'anchorwise [a-z]+' | sort -u | while read -r _ command; do
        "$PROGRAM" help "$command" > "$folder/help" || exit 1
        grep -E "^ +(build/)?anchorwise $command " README.md | grep -oE '(^| )--[a-z]+' | sort -u |
            while read -r option; do
                grep -qE "^  $option " "$folder/help" || { echo "$command has no $option"; exit 1; }
            done || exit 1
    done
}
ok every_command_and_option_that_the_readme_shows_exists shown
exit $failed
