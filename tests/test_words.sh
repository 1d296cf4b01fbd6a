# What explain, outage and compare say on every demo, sensitivity and freedom on one, place and sweep
# on a small site and, with AW_WHOLE, on the tram hall, word for word: figures are masked, words are
# compared with tests/golden/. `AW_WHOLE=1 tests/test_words.sh renew` writes the golden texts afresh,
# to be read before they are kept.
here=$(dirname "$0")
. "$here/outcomes.sh"
COARSE="--draws 128 --step 3 --quiet"

# Figures become #, and columns that only figures widen are narrowed. Byte by byte, in any locale: no
# bracket may hold the minus sign, which is three bytes.
masked() {
    LC_ALL=C sed -E 's/(^|[^A-Za-z0-9])(-|−|\+)?[0-9]+([ .][0-9]+)*/\1#/g; s/ +/ /g'
}

compared() { # NAME COMMAND...
    name=$1
    shift
    "$@" 2>&1 | sed "s#$folder/##g" | masked > "$folder/$name.txt"
    [ "$renew" = no ] || cp "$folder/$name.txt" "$here/golden/$name.txt"
    ok "${name}_says_what_it_said" diff "$here/golden/$name.txt" "$folder/$name.txt"
}

renew=no
[ "${1:-}" != renew ] || renew=yes
# shellcheck disable=SC2086
while read -r hall at; do
    file=scenarios/$hall.yaml
    last=$(grep -nE '^ *- \{name: [A-Za-z0-9]+, at:' "$file" | tail -1 | cut -d: -f1)
    sed "${last}d" "$file" > "$folder/fewer.yaml"
    compared "explain_$hall" $PROGRAM explain "$file" --at "$at" $COARSE
    compared "outage_$hall" $PROGRAM outage "$file" $COARSE
    cp "$folder/fewer.yaml" "$folder/$hall-fewer.yaml"
    compared "compare_$hall" $PROGRAM compare "$file" "$folder/$hall-fewer.yaml" $COARSE
done << 'SPOTS'
tram-hall 65,30
washing-shed 30,5
l-hall 12,28
parts-store 10,12
scenery-store 5,5
crate-hall 30,30
SPOTS
compared place_small $PROGRAM place tests/cases/place_radio_dear.yaml --afresh --quiet
compared sweep_small $PROGRAM sweep tests/cases/place_radio_dear.yaml --counts 3:7 --quiet
if [ -n "${AW_WHOLE:-}" ]; then
    compared place_tram-hall-places $PROGRAM place scenarios/tram-hall-places.yaml --step 2 --quiet
    # shellcheck disable=SC2086
    compared sweep_tram-hall-places $PROGRAM sweep scenarios/tram-hall-places.yaml --counts 8:14:2 $COARSE
fi
# shellcheck disable=SC2086
compared sensitivity_crate-hall $PROGRAM sensitivity scenarios/crate-hall.yaml $COARSE
# shellcheck disable=SC2086
compared freedom_crate-hall $PROGRAM freedom scenarios/crate-hall.yaml $COARSE
exit $failed
