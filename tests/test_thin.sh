# Cladding of 0.5 to 0.9 mm hides what is behind it as 2 mm do: by what a user reads of a hall that a
# sheet of metal parts in two.
here=$(dirname "$0")
. "$here/outcomes.sh"

sheet() { # thickness in m, material, extra lines
    sed "s/0.0007/$1/; s/material: metal/material: $2/" "$here/cases/thin_sheet.yaml"
    echo "$3"
}
judged() { # thickness, material, extra lines; what it prints and ends with
    sheet "$@" > "$folder/one.yaml"
    "$PROGRAM" assess --quiet --json "$folder/one.yaml"
    echo "ends with $?"
}
alike() { # material, extra lines
    judged 0.002 "$@" > "$folder/thick"
    for thickness in 0.0005 0.0007 0.0009; do
        judged $thickness "$@" > "$folder/thin"
        cmp "$folder/thick" "$folder/thin" && grep -q '"met": ' "$folder/thin" || return 1
    done
}
verdict() { # words, thickness, material
    sheet "$2" "$3" > "$folder/one.yaml"
    "$PROGRAM" assess --quiet "$folder/one.yaml" | grep -q "^all .* $1"
}
crossed() { # thickness: what a link from one side to the other meets, by its table
    sheet "$1" metal > "$folder/one.yaml"
    "$PROGRAM" links --at 5,5 "$folder/one.yaml" | awk '$1 == "A" { print $2; exit }' | grep -qx clear &&
        ! "$PROGRAM" links --at 5,5 "$folder/one.yaml" | grep -q '^B .* direct'
}
fixed() { # as measured, without a radio
    sed '/^radio/d' "$here/cases/thin_sheet.yaml" > "$folder/fixed.yaml"
    "$PROGRAM" links --at 5,5 --json "$folder/fixed.yaml" | grep -q '"meets": "sheet"'
}

ok a_thin_sheet_of_metal_lets_nothing_through verdict 'NOT MET' 0.0007 metal
ok all_thicknesses_of_cladding_give_the_same_figures alike metal
ok behind_a_thin_sheet_no_anchor_is_in_sight crossed 0.0007
ok a_thin_sheet_counts_without_a_radio_too fixed
ok all_thicknesses_give_the_same_figures_as_measured alike felt 'materials: {felt: {loss_db: 6, delay: 0.3}}'
exit $failed
