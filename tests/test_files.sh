# No run may lose a file: outputs that are inputs, or each other, by any name; and standard input.
# Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

sed '/name: E/d' "$here/cases/site.yaml" > "$folder/site.yaml"
cp "$folder/site.yaml" "$folder/before"
mkdir "$folder/sub"
ln -s "$folder/site.yaml" "$folder/link.yaml"
ln -s "$folder" "$folder/way"

commands="check assess chart compare explain links outage place sweep sensitivity freedom zones need new import export"
words_of() { # command, scenario: what it takes to run
    case $1 in
        compare) echo "$1 $folder/other.yaml $2" ;;
        explain | links) echo "$1 $2 --at 3,2" ;;
        sweep) echo "$1 $2 --heights 2:3:1" ;;
        need) echo "$1 --width 3 --decisions 100 --wrong 1" ;;
        new) echo "$1 --hall 9x7x4" ;;
        import) echo "$1 $2 --layer A=zone" ;;
        *) echo "$1 $2" ;;
    esac
}
outputs_of() { # command: every option of it whose argument is a file to be written
    "$PROGRAM" help "$1" | sed -n 's/^  \(--[a-z]*\) FILE .*/\1/p' | grep -vxe --rules -e --into
}
is_as_it_was() { cmp "$folder/site.yaml" "$folder/before"; }
refused() { # a command: ends with 2 before any result, and the scenario is as it was
    "$@" > "$folder/result" 2> "$folder/complaint"
    local status=$?
    [ $status -eq 2 ] || { echo "ended with $status: $*"; return 1; }
    grep -q 'is the same file as' "$folder/complaint" || { cat "$folder/complaint"; return 1; }
    [ ! -s "$folder/result" ] && is_as_it_was
}

# The scenario under a name of the kind that the option asks for, and other names that lead to it.
kept_by_any_name() { # command, option
    local kind=yaml name words
    case $1$2 in chart--out | *--chart) kind=svg ;; export--out) kind=csv ;; esac
    cp "$folder/before" "$folder/other.yaml"
    cp "$folder/before" "$folder/s.$kind"
    ln -sf "s.$kind" "$folder/l.$kind"
    ln -sf "../l.$kind" "$folder/sub/ll.$kind"
    words=$(words_of "$1" "$folder/s.$kind")
    for name in "$folder/s.$kind" "$folder/./s.$kind" "$folder/sub/../s.$kind" "$folder/l.$kind" \
        "$folder/sub/ll.$kind" "$folder/way/s.$kind" "$folder/way/sub/../l.$kind"; do
        refused "$PROGRAM" $words "$2" "$name" || return 1
        cmp "$folder/s.$kind" "$folder/before" || return 1
    done
    (cd "$folder/sub" && refused "$PROGRAM" $words "$2" "../s.$kind") || return 1
    # By a symbolic link as the scenario, and by a hard link as the output.
    refused "$PROGRAM" $(words_of "$1" "$folder/sub/ll.$kind") "$2=$folder/s.$kind" || return 1
    ln -f "$folder/s.$kind" "$folder/hard.$kind"
    "$PROGRAM" $words "$2" "$folder/hard.$kind" > /dev/null 2>&1
    cmp "$folder/s.$kind" "$folder/before" || return 1
    # Standard input.
    refused "$PROGRAM" $(words_of "$1" -) "$2" "$folder/s.$kind" < "$folder/s.$kind" || return 1
    cmp "$folder/s.$kind" "$folder/before"
}
for command in $commands; do
    outputs=$(outputs_of "$command")
    ok "${command}_writes_a_file_of_choice" [ -n "$outputs" ]
    case $command in need | new) continue ;; esac # read none
    for option in $outputs; do
        ok "${command}_${option}_never_takes_its_own_scenario" kept_by_any_name "$command" "$option"
    done
done
ok need_reads_no_file ends_with 2 "$PROGRAM" need "$folder/site.yaml"
ok new_reads_no_file ends_with 2 "$PROGRAM" new "$folder/site.yaml"
cp "$folder/before" "$folder/other.yaml"
ok the_second_and_the_third_layout_are_kept_too refused "$PROGRAM" compare "$folder/other.yaml" \
    "$folder/site.yaml" "$folder/other.yaml" --out "$folder/way/site.yaml"
ok the_first_of_several_layouts_is_kept_too refused "$PROGRAM" compare "$folder/site.yaml" \
    "$folder/other.yaml" --out "$folder/link.yaml"

# --- reports, whose endings say what they are ---
for kind in html pdf svg csv; do
    cp "$folder/before" "$folder/report.$kind"
    ln -sf "report.$kind" "$folder/alias.$kind"
done
report() { # kind, ending, options: neither the scenario nor what it is compared with is written over
    local kind=$1 ending=$2
    shift 2
    refused "$PROGRAM" report "$kind" "$folder/report.$ending" "$@" || return 1
    cmp "$folder/report.$ending" "$folder/before"
}
ok report_never_takes_its_own_scenario_as_a_page report client html --out "$folder/way/alias.html"
ok report_never_takes_its_own_scenario_as_a_pdf report visit pdf --out "$folder/alias.pdf"
ok report_never_takes_its_own_scenario_as_a_sheet report installers svg --out "$folder/alias.svg"
ok report_never_takes_its_own_scenario_as_rows report installers csv --out "$folder/sheet.pdf" \
    --csv "$folder/alias.csv"
ok report_never_takes_the_other_layout refused "$PROGRAM" report client "$folder/site.yaml" \
    --against "$folder/report.html" --out "$folder/alias.html"
ok report_never_takes_its_letterhead refused "$PROGRAM" report client "$folder/site.yaml" \
    --image "$folder/report.pdf" --out "$folder/alias.pdf"
ok no_sheet_was_left [ ! -e "$folder/sheet.pdf" ]

# --- redirections ---
printed_onto() { # the scenario, open for appending as standard output
    local status
    "$PROGRAM" "$@" >> "$folder/site.yaml" 2> "$folder/complaint"
    status=$?
    [ $status -eq 2 ] && grep -q 'standard output is the same file as' "$folder/complaint" && is_as_it_was
}
for command in $commands; do
    case $command in chart | need | new | export) continue ;; esac # no result for it, or no input
    ok "${command}_prints_nothing_onto_its_scenario" printed_onto \
        $(words_of "$command" "$folder/site.yaml")
done
ok nothing_is_printed_onto_standard_input printed_onto check - < "$folder/site.yaml"
ok a_copy_on_standard_output_is_refused refused bash -c \
    "$PROGRAM assess - --cells /dev/stdout < $folder/site.yaml 1<> $folder/site.yaml"

# --- two outputs ---
both() { # options: two outputs that are one file
    "$PROGRAM" "$@" > "$folder/result" 2> "$folder/complaint"
    [ $? -eq 2 ] && grep -q 'give each result a file of its own' "$folder/complaint" && [ ! -s "$folder/result" ]
}
A="assess $folder/site.yaml"
ok two_results_in_one_file_are_refused both $A --out "$folder/x" --cells "$folder/x"
ok two_new_names_of_one_file_are_refused both $A --out "$folder/x" --cells "$folder/way/./x"
ln -s sub/new "$folder/future"
ok a_link_to_what_is_not_there_yet_is_followed both $A --out "$folder/future" --cells "$folder/sub/new"
echo old > "$folder/old"
ln "$folder/old" "$folder/old2"
ok two_old_names_of_one_file_are_refused both $A --out "$folder/old" --cells "$folder/old2"
ok a_chart_and_a_table_in_one_file_are_refused both explain "$folder/site.yaml" --at 3,2 \
    --chart "$folder/x.svg" --out "$folder/x.svg"
ok a_curve_and_its_rows_in_one_file_are_refused both sweep "$folder/site.yaml" --heights 2:3 \
    --chart "$folder/x.svg" --csv "$folder/x.svg"
ok rows_and_a_redirected_table_in_one_file_are_refused bash -c "$PROGRAM $A --cells $folder/y > $folder/y \
    2> $folder/complaint; [ \$? -eq 2 ] && grep -q 'give each result' $folder/complaint"
ok a_redirected_table_and_a_placed_scenario_in_one_file_are_refused bash -c "$PROGRAM place \
    $folder/site.yaml --out $folder/y > $folder/y 2> /dev/null; [ \$? -eq 2 ]"
ok no_file_is_left_of_what_was_refused bash -c "[ ! -e $folder/x ] && [ ! -e $folder/x.svg ] && [ ! -e $folder/sub/new ]"

# --- what is no loss goes on ---
ok what_is_no_file_may_be_named_twice ends_with 0 "$PROGRAM" $A --out /dev/null --cells /dev/null
ok a_log_that_gets_no_result_may_be_named bash -c "$PROGRAM $A --out $folder/log >> $folder/log &&
    grep -q 'not a promise' $folder/log"
ok names_alone_do_not_make_a_file bash -c "cd $folder/sub && $PROGRAM $A --out site.yaml && [ -s site.yaml ]"
ok a_tile_may_go_to_a_redirected_standard_output bash -c "$PROGRAM $A --tile 1,1,4,4 --cells - > $folder/t.csv &&
    [ \$(wc -l < $folder/t.csv) -gt 5 ]"
ok the_scenario_is_as_it_was is_as_it_was

# --- a redirected standard output under another name ---
appends_to_what_is_there() { # name of the stream
    echo before > "$folder/log"
    { "$PROGRAM" check "$folder/site.yaml" --out "$1"; echo after; } >> "$folder/log"
    [ "$(head -1 "$folder/log")" = before ] && [ "$(tail -1 "$folder/log")" = after ] &&
        [ "$(wc -l < "$folder/log")" -gt 5 ]
}
for stream in /dev/stdout /proc/self/fd/1 "$folder/log"; do
    ok "an_output_to_${stream##*/}_is_put_behind_what_is_there" appends_to_what_is_there "$stream"
done

# --- standard input ---
same_from_standard_input() { # command: its result, but for the name
    local words
    # The cost that check tells is measured and never twice the same.
    "$PROGRAM" $(words_of "$1" "$folder/site.yaml") --json |
        sed "s,$folder/site.yaml,standard input,g; s/\"cost\": {[^}]*}//" > "$folder/by_name"
    "$PROGRAM" $(words_of "$1" -) --json < "$folder/site.yaml" |
        sed "s/\"cost\": {[^}]*}//" > "$folder/by_stream"
    [ -s "$folder/by_name" ] && cmp "$folder/by_name" "$folder/by_stream" &&
        grep -q '"standard input"' "$folder/by_stream"
}
for command in $commands; do
    case $command in chart | need | new | import | export) continue ;; esac
    ok "${command}_reads_standard_input" same_from_standard_input "$command"
done
ok a_chart_of_standard_input_is_drawn bash -c "$PROGRAM chart - --out $folder/c.svg < $folder/site.yaml &&
    $PROGRAM chart $folder/site.yaml --out $folder/d.svg &&
    [ \$(grep -c 'standard input' $folder/c.svg) = 1 ] && [ \$(grep -c site.yaml $folder/d.svg) = 1 ] &&
    cmp <(grep -v 'standard input' $folder/c.svg) <(grep -v site.yaml $folder/d.svg)"
ok a_layout_is_placed_into_standard_input bash -c "$PROGRAM place - --afresh --out $folder/p.yaml \
    < $folder/site.yaml > /dev/null && $PROGRAM place $folder/site.yaml --afresh --out $folder/q.yaml \
    > /dev/null && cmp $folder/p.yaml $folder/q.yaml && $PROGRAM check $folder/p.yaml > /dev/null"
ok a_pipe_is_read_whole bash -c "(head -c 100 $folder/site.yaml; sleep 0.2; tail -c +101 $folder/site.yaml) |
    $PROGRAM check - | grep -q '4 anchors'"
ok mistakes_in_standard_input_have_their_place says 'standard input:1:1: ' "$PROGRAM" check - <<< 'title: x'
ok standard_input_is_read_once says 'can be read only once' "$PROGRAM" compare - -
ok standard_input_twice_ends_with_2 ends_with 2 "$PROGRAM" compare - -
ok nothing_on_standard_input_ends_with_2 ends_with 2 "$PROGRAM" check - < /dev/null
ok a_folder_on_standard_input_ends_with_2 ends_with 2 "$PROGRAM" check - < "$folder"
exit $failed
