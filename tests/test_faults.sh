# A world that fails: full disks, folders without rights, closed streams, kills, no memory, Ctrl-C.
# In each a clear message and a status, and a file is whole, the old one or the new one.
here=$(dirname "$0")
. "$here/outcomes.sh"
chmod 755 "$folder"
hall=tests/good/hall_metres.yaml
fast="--draws 16 --step 4"
commands=("check" "assess $fast" "compare $fast $hall" "explain --at 20,7 $fast" "outage $fast"
    "zones $fast" "sweep --counts 4:5 $fast" "sensitivity $fast" "freedom $fast")

# --- nowhere to write ---
fails_saying() { # text, then a command: status 3, and exactly one line, which holds the text
    local text=$1 got
    shift
    "$@" 2> "$folder/lines" > /dev/full
    got=$?
    cat "$folder/lines"
    [ $got -eq 3 ] && [ "$(wc -l < "$folder/lines")" -eq 1 ] && grep -qF "$text" "$folder/lines"
}
full_output() { # words of a command
    # shellcheck disable=SC2086
    fails_saying "No space left on device" "$PROGRAM" $1 --quiet $hall
}
for words in "${commands[@]}"; do
    ok "${words%% *}_to_a_full_disk_fails_and_says_so" full_output "$words"
    ok "${words%% *}_out_to_a_full_disk_fails_and_says_so" full_output "$words --out /dev/full"
done
for kind in client visit; do
    ok "report_${kind}_to_a_full_disk_fails_and_says_so" full_output "report $kind --quick --json $fast"
done
for name in html pdf svg; do # by an ending, as reports want it
    ln -s /dev/full "$folder/full.$name"
    kind=client
    [ $name = svg ] && kind=installers
    ok "report_${kind}_as_${name}_to_a_full_disk_fails_and_says_so" \
        full_output "report $kind --quick $fast --out $folder/full.$name"
done
ok need_to_a_full_disk_fails_and_says_so \
    fails_saying "No space left" "$PROGRAM" need --width 3 --decisions 9 --wrong 1
ok help_to_a_full_disk_fails_and_says_so fails_saying "No space left" "$PROGRAM" help
ok cells_to_a_full_disk_fail_and_say_so \
    fails_saying "No space left" "$PROGRAM" assess $fast --quiet --cells /dev/full $hall
closed() { "$PROGRAM" check --quiet $hall >&-; }
closed_says() { closed 2>&1 | grep -q "standard output cannot be written\|cannot be written"; }
ok a_closed_standard_output_fails ends_with 3 closed
ok a_closed_standard_output_is_told closed_says
closed_all() { "$PROGRAM" assess $fast --quiet --out "$folder/closed.txt" $hall <&- >&- 2>&-; }
ok a_file_is_right_with_every_stream_closed \
    bash -c "$(declare -f closed_all); PROGRAM='$PROGRAM' fast='$fast' hall=$hall folder=$folder
        closed_all; '$PROGRAM' assess $fast --quiet $hall | cmp - '$folder/closed.txt'"

# --- a folder without rights, a file in the folder's place ---
mkdir "$folder/locked"
echo old > "$folder/locked/result"
chmod 555 "$folder/locked"
other() { setpriv --reuid=65534 --clear-groups -- "$@"; }
cp "$PROGRAM" $hall "$folder/"
chmod 755 "$folder/anchorwise" && chmod 644 "$folder/hall_metres.yaml"
if [ "$(id -u)" -eq 0 ]; then
    for name in new result; do
        ok "a_folder_without_rights_is_an_error_for_the_${name}_file" ends_with 3 other \
            "$folder/anchorwise" check --out "$folder/locked/$name" "$folder/hall_metres.yaml"
        ok "a_folder_without_rights_is_named_for_the_${name}_file" \
            says "locked/$name: cannot be written: Permission denied" other \
            "$folder/anchorwise" check --out "$folder/locked/$name" "$folder/hall_metres.yaml"
    done
    ok a_file_in_it_is_left_alone grep -qx old "$folder/locked/result"
    ok nothing_is_left_in_it test "$(ls "$folder/locked")" = result
    ok a_folder_without_rights_is_an_error_for_a_report ends_with 3 other "$folder/anchorwise" \
        report visit --quick $fast --quiet --out "$folder/locked/r.html" "$folder/hall_metres.yaml"
    chmod 600 "$folder/hall_metres.yaml"
    ok a_scenario_without_rights_is_an_error ends_with 2 other \
        "$folder/anchorwise" check "$folder/hall_metres.yaml"
    ok a_scenario_without_rights_is_named says "hall_metres.yaml: " other \
        "$folder/anchorwise" check "$folder/hall_metres.yaml"
else
    echo "skip - folders_without_rights (needs root, to become another user)"
fi
echo plain > "$folder/plain"
ok out_under_a_plain_file_fails ends_with 3 "$PROGRAM" check --out "$folder/plain/x" $hall
ok out_under_a_plain_file_is_told \
    says "Not a directory" "$PROGRAM" check --out "$folder/plain/x" $hall
ok the_plain_file_is_left_alone grep -qx plain "$folder/plain"
ok out_to_a_folder_fails ends_with 3 "$PROGRAM" check --out "$folder" $hall
ok a_scenario_that_is_a_folder_is_an_error ends_with 2 "$PROGRAM" check "$folder"
ok a_scenario_under_a_plain_file_is_an_error ends_with 2 "$PROGRAM" check "$folder/plain/x"

# --- kills and Ctrl-C ---
ok a_kill_at_any_moment_leaves_the_old_file_or_the_new_one \
    /usr/bin/python3 tests/signals.py kill "$PROGRAM" "$folder"
ok ctrl_c_stops_every_command_with_status_130 \
    /usr/bin/python3 tests/signals.py interrupt "$PROGRAM" "$folder"

# --- no memory ---
starve() { # KiB of address space, words of a command: sound, or status 3 and a message
    local got
    # shellcheck disable=SC2086
    (ulimit -v "$1" && ulimit -c 0 && exec "$PROGRAM" $2 --quiet --threads 2 $hall) \
        > "$folder/out" 2> "$folder/lines"
    got=$?
    [ $got -le 1 ] && enough=$1
    case $got in
        0 | 1) [ ! -s "$folder/lines" ] ;;
        3) [ -s "$folder/lines" ] ;;
        127) grep -q "error while loading shared libraries" "$folder/lines" ;; # not ours yet
        *) echo "$2 in $1 KiB ended with $got"; cat "$folder/lines"; return 1 ;;
    esac
}
starve_often() { # words of a command
    local kib enough=
    for kib in 20000 30000 36000 44000 56000 72000 96000 128000 192000 512000; do
        starve $kib "$1" || return 1
    done
    [ "$enough" = $kib ] # the largest of them is enough
}
for words in "${commands[@]}" "chart $fast --out $folder/c.svg" "chart $fast --out $folder/c.png" \
    "freedom $fast --chart $folder/c.svg" "sensitivity $fast --chart $folder/c.png"; do
    ok "${words%% *}_without_memory_says_so_and_never_crashes" starve_often "$words"
done
exit $failed
