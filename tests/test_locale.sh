# No locale changes a byte of what the program writes or the outcome of a test: without one, in C, in
# C.UTF-8 and where numbers have a comma. Two script suites here; tests/long/locales runs all suites.
here=$(dirname "$0")
. "$here/outcomes.sh"
. "$here/locales.sh"
ok a_locale_with_a_comma_is_made make_comma "$folder/locales"
hall=tests/good/hall_feet.yaml
fast="--draws 32 --step 6 --quiet"
everything() { # locale, file: what the commands print
    {
        in_locale "$1" "$PROGRAM" check $hall | grep -v '^assess will take'
        in_locale "$1" "$PROGRAM" assess $fast $hall
        in_locale "$1" "$PROGRAM" assess $fast --json --cells "$2.csv" $hall
        in_locale "$1" "$PROGRAM" explain $fast --at 20.5,7 $hall
        in_locale "$1" "$PROGRAM" chart $fast --out "$2.svg" $hall
        in_locale "$1" "$PROGRAM" need --width 2.7 --decisions 1000 --wrong 10
        cat "$2.csv" "$2.svg"
    } > "$2" 2>&1
}
for name in $LOCALES; do
    everything "$name" "$folder/$name.txt"
    ok "the_same_bytes_in_locale_$name" cmp "$folder/none.txt" "$folder/$name.txt"
    ok "test_readme_passes_in_locale_$name" in_locale "$name" bash "$here/test_readme.sh"
done
# The command line where it could go wrong; elsewhere in tests/long/locales.
ok test_options_passes_in_locale_comma in_locale comma bash "$here/test_options.sh"
exit $failed
