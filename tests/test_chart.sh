# The chart command from outside: files, bytes, text that can be found, options.
here=$(dirname "$0")
hall=scenarios/tram-hall.yaml
. "$here/outcomes.sh"

chart() {
    "$PROGRAM" chart "$@" --draws 60
}
coarse() { # where how fine the floor is does not matter
    chart "$@" --step 2
}
chart $hall --out "$folder/fine.svg"
for kind in svg pdf png; do
    coarse $hall --out "$folder/a.$kind" --threads 1
    coarse $hall --out "$folder/b.$kind" --threads 7
    ok "the_same_bytes_of_${kind}_twice" cmp "$folder/a.$kind" "$folder/b.$kind"
done
ok svg_is_well_formed xmllint --noout "$folder/a.svg"
ok svg_of_the_tram_hall_is_under_2_MB [ "$(stat -c %s "$folder/fine.svg")" -lt 2000000 ]
ok svg_has_real_text grep -q '<text[^>]*>bogie bay</text>' "$folder/a.svg"

finds() { # file, text: pdftotext finds it
    pdftotext -layout "$1" - | grep -qF -- "$2" || { echo "not found: $2"; return 1; }
}
for text in 'Tram overhaul hall' 'bogie bay' 'parts store' 'paint shop' 'A prediction from stated' \
    'A position' '1:200 on A3' 'N3 7.0 m' 'ALL 6.2 M UP' 'needs are met'; do
    ok "the_pdf_holds_${text// /_}" finds "$folder/a.pdf" "$text"
done
"$PROGRAM" chart $hall --quiet --out "$folder/v.pdf"
for text in 'NOT MET' 'of 95 % of cells' '3 of 4 needs are met'; do
    ok "with_all_draws_it_holds_${text// /_}" finds "$folder/v.pdf" "$text"
done
coarse $hall --out "$folder/dated.pdf" --date 2026-11-25 --revision C --client 'Tram works' \
    --site 'North yard' --number TW-7 --author 'N. N.'
for text in 2026-11-25 C 'Tram works' 'North yard' TW-7 'N. N.' \
    "tram-hall.yaml $(sha256sum < $hall | cut -c1-8)" 'anchorwise 0'; do
    ok "the_title_block_holds_${text// /_}" finds "$folder/dated.pdf" "$text"
done
for label in client site drawing author date revision; do
    ok "an_empty_field_is_left_out_$label" bash -c "! pdftotext $folder/a.pdf - | grep -qx $label"
done
ok a_given_date_is_the_creation_date bash -c "pdfinfo $folder/dated.pdf | grep -q 'CreationDate.*2026'"
ok no_creation_date_unless_given bash -c "! pdfinfo $folder/a.pdf | grep -q CreationDate"
sed 's/^title: .*/title: Цех подъёмки 架修库 Hållplats/' $hall > "$folder/script.yaml"
coarse "$folder/script.yaml" --out "$folder/script.pdf"
ok a_title_in_any_script_can_be_found bash -c "pdftotext $folder/script.pdf - | grep -q 'Цех подъёмки' &&
    pdftotext $folder/script.pdf - | grep -q '架修库'"
printf 'anchorwise: 1\ntitle: "a <b> & \\"c\\""\n' > "$folder/x.yaml"
sed -n '/^units/,$p' $hall >> "$folder/x.yaml"
coarse "$folder/x.yaml" --out "$folder/x.svg"
ok markup_in_names_stays_text xmllint --noout "$folder/x.svg"
ok a_png_has_the_width_asked_for bash -c "$PROGRAM chart $hall --draws 20 --width 900 --out \
    $folder/w.png && [ \$(od -An -tu1 -j16 -N4 $folder/w.png | awk '{print \$3 * 256 + \$4}') = 900 ]"
for layer in used hdop tdop gdop bound_m bias_m p50_m rms_m fix_share ambiguous_share; do
    ok "layer_${layer}_draws" coarse $hall --layer $layer --sheet A4 --grey --out "$folder/l.svg"
done
ok dilution_says_nothing_of_draws_and_sites bash -c "$PROGRAM chart $hall --layer hdop --quiet --out \
    $folder/h.pdf && ! pdftotext $folder/h.pdf - | grep -E 'draws in every|nine sites|verdict'"
warns_of_rare_anchors() { # layer, scenario
    chart "$2" --layer "$1" --step 3 --out "$folder/rare.pdf" &&
        pdftotext "$folder/rare.pdf" - | tr '\n' ' ' | grep -q "received once in 1000 frames counts"
}
ok hdop_by_radio_says_that_rare_anchors_count warns_of_rare_anchors hdop scenarios/wheel-pit.yaml
ok used_by_radio_says_that_rare_anchors_count warns_of_rare_anchors used scenarios/wheel-pit.yaml
ok p95_does_not ends_with 1 warns_of_rare_anchors p95_m scenarios/wheel-pit.yaml
ok fixed_figures_do_not ends_with 1 warns_of_rare_anchors hdop $hall
chart $hall --tag "bogie tag" --out "$folder/t.pdf"
for text in 'bogie tag at 0.9 m' 'need of another tag' 'p95 ≤ 80 cm'; do
    ok "a_chart_of_one_tag_holds_${text// /_}" finds "$folder/t.pdf" "$text"
done
ok a_chart_of_no_tag_ends_with_2 ends_with 2 chart $hall --tag "bogie tags" --out "$folder/t.svg"
sed 's/name: paint shop, outline: [^}]*\]\], /name: paint shop, outline: [[-5000, -5000], [5000, -5000], [5000, 5000], [-5000, 5000]], /' \
    $hall > "$folder/wide.yaml"
ok a_zone_far_larger_than_the_floor_is_named_in_seconds bash -c "grep -q 5000 $folder/wide.yaml &&
    timeout 60 $PROGRAM chart $folder/wide.yaml --quiet --draws 16 --step 4 --out $folder/wide.svg"
ok a_spot_inside_something_is_told_it says "spot 20,36: NO TAG CAN BE HERE: the spot is inside obstacle 'rack row C'." \
    "$PROGRAM" chart $hall --draws 20 --step 3 --spot 20,36 --out "$folder/t.svg"
ok a_spot_has_a_note bash -c "$PROGRAM chart $hall --draws 60 --spot 65,30 --spot 20,24 --out \
    $folder/s.svg && [ \$(grep -c '>spot ' $folder/s.svg) = 2 ]"
ok a_missed_need_still_ends_with_0 ends_with 0 chart $hall --out "$folder/m.svg"

# --- the difference of two layouts ---
"$PROGRAM" compare $hall scenarios/tram-hall-bogie.yaml --draws 60 --quiet --chart "$folder/d.pdf" \
    > "$folder/out"
for text in 'p95 of B minus p95 of A, cm' 'A: tram-hall.yaml, 18 anchors' \
    'B: tram-hall-bogie.yaml, 19 anchors' 'G1 8.6 m' E2 S3 'anchor added' 'anchor taken away' \
    'moved, from the ring' 'B is better' 'are better with B and'; do
    ok "the_difference_holds_${text// /_}" finds "$folder/d.pdf" "$text"
done
"$PROGRAM" compare $hall $hall --draws 20 --quiet --chart "$folder/e.pdf" > "$folder/out"
ok a_layout_against_itself_has_no_mark_of_change bash -c "! pdftotext $folder/e.pdf - |
    grep -E 'anchor (added|taken)|moved, from|^B is (better|worse)'"

# --- wrong options: one clear line, status 2 or 3 ---
refused() { # status, text, options: exactly one line, holding the text
    local want=$1 text=$2
    shift 2
    "$PROGRAM" chart $hall --draws 20 "$@" > "$folder/out" 2> "$folder/err"
    local got=$?
    [ $got -eq "$want" ] && [ "$(wc -l < "$folder/err")" -eq 1 ] && grep -qF -- "$text" "$folder/err" ||
        { echo "status $got"; cat "$folder/err"; return 1; }
}
ok no_file_is_refused refused 2 'needs --out'
ok an_unknown_ending_is_refused refused 2 'needs --out' --out "$folder/c.gif"
ok an_unknown_layer_is_refused refused 2 'lists them' --layer depth --out "$folder/c.svg"
ok a_layer_without_values_is_refused refused 2 'no value anywhere' --layer vdop --out "$folder/c.svg"
ok relative_dilution_is_refused refused 2 'goes with layer p95_m' --relative --layer hdop --out "$folder/c.svg"
ok a_spot_off_the_floor_is_refused refused 2 'off the floor' --spot 80,4 --out "$folder/c.svg"
ok a_spot_of_one_number_is_refused refused 2 'is not X,Y' --spot 8 --out "$folder/c.svg"
ok an_odd_size_is_refused refused 2 'not one of A4' --sheet A5 --out "$folder/c.svg"
ok an_odd_width_is_refused refused 2 'whole number in' --width 0x10 --out "$folder/c.png"
ok a_huge_width_is_refused refused 2 'whole number in' --width 90000 --out "$folder/c.png"
ok a_width_for_paper_is_refused refused 2 'goes with a PNG' --width 900 --out "$folder/c.pdf"
ok a_folder_that_is_not_there_is_refused refused 3 'cannot be written' --out "$folder/none/c.svg"
ok nothing_was_written bash -c "! ls $folder/c.* 2> /dev/null"

# --- options of the difference chart ---
two="$hall scenarios/tram-hall-bogie.yaml"
compare() {
    # shellcheck disable=SC2086
    "$PROGRAM" compare $two --draws 20 --step 2 --quiet --out "$folder/table" "$@"
}
for kind in svg pdf png; do
    compare --chart "$folder/d1.$kind" --threads 1
    compare --chart "$folder/d7.$kind" --threads 7
    ok "the_same_bytes_of_a_difference_as_${kind}" cmp "$folder/d1.$kind" "$folder/d7.$kind"
done
ok a_difference_is_well_formed xmllint --noout "$folder/d1.svg"
ok a_difference_leaves_the_table_where_it_was grep -q '^On the whole: ' "$folder/table"
compare --chart "$folder/dated.pdf" --sheet A4 --portrait --date 2026-11-25 --revision C
for text in 'scale, upright' C 2026-11-25 'file A' 'file B'; do
    ok "the_difference_holds_${text// /_}" finds "$folder/dated.pdf" "$text"
done
compare --chart "$folder/d.svg" --grey
ok a_grey_difference_has_no_colour bash -c "! grep -oE '#[0-9A-F]{6}' $folder/d.svg |
    grep -vE '#(..)\\1\\1'"
refused_difference() { # status, text, words: exactly one line, holding the text
    local want=$1 text=$2
    shift 2
    "$PROGRAM" compare --draws 20 --step 2 --out "$folder/none.txt" "$@" 2> "$folder/err"
    local got=$?
    [ $got -eq "$want" ] && [ "$(wc -l < "$folder/err")" -eq 1 ] && grep -qF -- "$text" "$folder/err" ||
        { echo "status $got"; cat "$folder/err"; return 1; }
}
# shellcheck disable=SC2086
{
    ok a_difference_with_an_unknown_ending_is_refused \
        refused_difference 2 'needs --chart FILE.svg' $two --chart "$folder/n.gif"
    ok a_difference_of_three_layouts_is_refused \
        refused_difference 2 'exactly two scenarios' $two $hall --chart "$folder/n.svg"
    ok a_difference_without_a_folder_is_refused \
        refused_difference 3 'cannot be written' $two --chart "$folder/nowhere/n.svg"
    ok a_paper_without_a_difference_is_refused refused_difference 2 'goes with --chart' $two --sheet A4
    ok an_odd_paper_of_a_difference_is_refused \
        refused_difference 2 'not one of A4' $two --sheet A5 --chart "$folder/n.svg"
    ok a_width_of_a_difference_on_paper_is_refused \
        refused_difference 2 'goes with a PNG' $two --width 900 --chart "$folder/n.pdf"
}
ok no_refused_difference_was_written bash -c "! ls $folder/n.* $folder/none.txt 2> /dev/null"

# --- a spot that nothing mends ---
cat > "$folder/corner.yaml" <<'YAML'
anchorwise: 1
title: A store
floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}
anchors:
  - {name: A1, at: [0.5, 0.5, 4]}
  - {name: A2, at: [19.5, 0.5, 4]}
  - {name: A3, at: [19.5, 11.5, 4]}
  - {name: A4, at: [0.5, 11.5, 4]}
ranging: {sigma: 0.1}
study: {step: 1, draws: 200}
YAML
ok relative_to_no_need_is_refused ends_with 2 "$PROGRAM" chart "$folder/corner.yaml" --relative --out "$folder/c.svg"
unmended() { # kind: status 0, a result and a sheet, and there is no remedy indeed
    "$PROGRAM" explain "$folder/corner.yaml" --at 5,6 --quiet --json --chart "$folder/u.$1" > "$folder/u.json" &&
        /usr/bin/python3 -c 'import json,sys; assert json.load(sys.stdin)["remedies"] == []' < "$folder/u.json" &&
        [ -s "$folder/u.$1" ]
}
for kind in svg png pdf; do
    ok "a_spot_that_nothing_mends_is_drawn_as_$kind" unmended $kind
done
ok that_sheet_is_of_one_layout bash -c "xmllint --noout $folder/u.svg && grep -q '>as planned<' $folder/u.svg &&
    grep -q '>Spot sheet<' $folder/u.svg && [ \$(grep -c '>A1 heard<' $folder/u.svg) -eq 1 ] &&
    grep -q '4 of 4 heard' $folder/u.svg && grep -q 'Nothing that was tried' $folder/u.svg && ! grep -q 'not told apart' $folder/u.svg"
sed -i 's/^ranging/obstacles: [{name: rack, footprint: [[8, 4], [12, 4], [12, 8], [8, 8]], material: metal}]\n&/' \
    "$folder/corner.yaml"
ok a_spot_without_a_fix_is_drawn_too bash -c "$PROGRAM explain $folder/corner.yaml --at 10,6 --quiet \
    --chart $folder/v.svg > /dev/null && xmllint --noout $folder/v.svg && grep -q 'There is no p95' $folder/v.svg"
exit $failed
