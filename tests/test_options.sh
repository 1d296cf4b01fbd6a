# The words of a command line: what they may hold, what was meant, and what help says of them.
# Prints "ok - name" or "not ok - name".
here=$(dirname "$0")
. "$here/outcomes.sh"

sed '/name: E/d; s/name: A,/name: north,/; s/name: B,/name: south,/; s/^ranging/tags: [{name: cart, height: 1}]\n&/' \
    "$here/cases/site.yaml" > "$folder/site.yaml"
commands="check assess chart compare explain links outage place sweep sensitivity freedom zones need new import export report plan"

# --- text ---
refused_for() { # reason, command, option, its text: status 2, and the complaint names option and reason
    local reason=$1 scenario=$folder/site.yaml
    shift
    case $1 in need | new) scenario= ;; import) scenario=$folder/site.dxf ;;
        report) scenario="client $scenario" ;; esac
    "$PROGRAM" "$1" $scenario "$2" "$3" > "$folder/result" 2> "$folder/complaint"
    local status=$?
    [ $status -eq 2 ] && [ ! -s "$folder/result" ] && [ "$(wc -l < "$folder/complaint")" -eq 1 ] &&
        grep -q "^anchorwise: $2: .*$reason" "$folder/complaint" && return
    echo "ended with $status: $*"
    cat "$folder/complaint"
    return 1
}
texts_of() { # command: its options that take a text
    "$PROGRAM" help "$1" | sed -n 's/^  \(--[a-z-]*\) [A-Z0-9].*/\1/p' | while read -r option; do
        "$PROGRAM" help "$1" | grep -q -- "^  $option \(FILE\|OTHER\) " || echo "$option"
    done
}
texts_are_checked() { # command
    local options option
    options=$(texts_of "$1")
    [ -n "$options" ] || return 1
    for option in $options; do
        refused_for 'not UTF-8' "$1" "$option" $'A\xff' || return 1
        refused_for 'a control character' "$1" "$option" $'A\x01B' || return 1
    done
}
for command in $commands; do
    ok "${command}_takes_no_text_that_is_none" texts_are_checked "$command"
done
for text in $'\xed\xa0\x80' $'\xc3' $'\xe2\x80' $'\xf4\x90\x80\x80' $'\xc0\xaf'; do
    ok "not_UTF-8:_$(printf '%s' "$text" | od -An -tx1 | tr ' ' _)" refused_for 'not UTF-8' check --step "$text"
done
for text in $'A\nB' $'\x7f' $'\xc2\x85' $'\t'; do
    ok "a_control_character:_$(printf '%s' "$text" | od -An -tx1 | tr ' ' _)" \
        refused_for 'a control character' check --step "$text"
done
ok a_blank_text_is_refused refused_for 'is blank' check --seed '  '
ok a_file_may_have_any_name bash -c "$PROGRAM check $folder/site.yaml --out $folder/$'\xff' && ls $folder/$'\xff'"
long=$(printf 'é%.0s' {1..61})
for option in --date --revision; do
    ok "a_${option}_of_61_characters_is_refused" says "$option: 61 characters are outside [1, 60]" \
        "$PROGRAM" chart "$folder/site.yaml" --out "$folder/c.svg" $option "$long"
    ok "a_${option}_of_60_characters_is_drawn" bash -c "$PROGRAM chart $folder/site.yaml --sheet A4 \
        --out $folder/c.svg $option ${long%é} && xmllint --noout $folder/c.svg"
done

# --- what was meant ---
means() { # what is suggested, then the words
    says "did you mean '$1'?" "$PROGRAM" "${@:2}" && ends_with 2 "$PROGRAM" "${@:2}" 2> /dev/null
}
every_command_is_suggested() { # two letters swapped, and one lost
    local command slip
    for command in $commands help; do
        slip=${command:1:1}${command:0:1}${command:2}
        [ "$command" != report ] || slip=reprot # erport is nearer to export
        means "$command" "$slip" || return 1
        [ ${#command} -lt 5 ] || means "$command" "${command%?}" || return 1
    done
}
ok a_slip_in_a_command_is_seen every_command_is_suggested
every_option_is_suggested() { # command
    local option
    for option in $("$PROGRAM" help "$1" | sed -n 's/^  \(--[a-z-]*\).*/\1/p'); do
        [ ${#option} -gt 5 ] || continue
        means "$option" "$1" "${option}x" || return 1
        means "$option" "$1" "${option:0:2}${option:3:1}${option:2:1}${option:4}=1" || return 1
    done
}
for command in $commands; do
    ok "a_slip_in_an_option_of_${command}_is_seen" every_option_is_suggested "$command"
done
ok a_slip_in_help_is_seen means assess help asess
ok what_is_near_to_nothing_points_to_help says "see 'anchorwise help'" "$PROGRAM" frobnicate
ok an_option_near_to_nothing_points_to_help says "see 'anchorwise help assess'" "$PROGRAM" assess --frobnicate
ok a_slip_in_a_tag_is_seen means cart explain "$folder/site.yaml" --at 3,2 --tag catr
ok a_slip_in_an_anchor_is_seen means north freedom "$folder/site.yaml" --anchor nroth
ok a_slip_in_a_list_of_anchors_is_seen means south sweep "$folder/site.yaml" --heights 2:3 --group north,suoth
ok a_slip_in_a_layer_is_seen means p95_m chart "$folder/site.yaml" --out "$folder/c.svg" --layer p95m
ok a_precision_out_of_its_range_is_refused says "--precision: 0.7 is outside [0.002, 0.5]" \
    "$PROGRAM" assess scenarios/crate-hall.yaml --precision 0.7
drawn_as_long_as_it_takes() { # each zone by itself, and the floor by its draws
    "$PROGRAM" assess scenarios/crate-hall.yaml --precision 0.02 --json --quiet > "$folder/precise.json"
    /usr/bin/python3 - "$folder/precise.json" << 'EOF'
import json, sys
said = json.load(open(sys.argv[1]))
assert said["settings"]["precision"] == 0.02 and said["settings"]["draws"] == 1000
for zone in said["zones"]:
    assert zone["draws"] in [128 << k for k in range(8)], zone["draws"]
    assert zone["p95_high_m"] - zone["p95_low_m"] <= 0.02 * zone["p95_m"] or zone["draws"] == 16384
assert any(zone["draws"] < 1000 for zone in said["zones"])
EOF
}
ok a_precision_says_how_long_a_zone_is_drawn drawn_as_long_as_it_takes
# --- colour ---
coloured() { # what the options make of it: yes or no
    local wanted=$1
    shift
    "$PROGRAM" assess "$folder/site.yaml" --draws 64 --quiet "$@" > "$folder/coloured"
    if grep -q "$(printf '\033')" "$folder/coloured"; then [ "$wanted" = yes ]; else [ "$wanted" = no ]; fi
}
ok colour_always_is_colour_in_a_pipe_too coloured yes --color always
ok colour_never_is_none coloured no --color never
ok colour_auto_is_none_in_a_pipe coloured no --color auto
refused_when() {
    "$PROGRAM" assess "$folder/site.yaml" --color sometimes > "$folder/result" 2> "$folder/complaint"
    [ $? -eq 2 ] && [ ! -s "$folder/result" ] && grep -q "auto, always or never" "$folder/complaint"
}
ok another_colour_is_refused refused_when
on_a_terminal() { # what a person sees there, with those words of the environment
    env TERM=xterm "$@" script -qec "$PROGRAM assess $folder/site.yaml --draws 64 --quiet" /dev/null
}
seen_in_colour() { on_a_terminal "$@" < /dev/null | grep -q "$(printf '\033\[3')"; }
seen_plain() { ! seen_in_colour "$@"; }
if command -v script > /dev/null; then
    ok a_terminal_has_colour seen_in_colour NO_COLOR=
    ok no_color_takes_it_away seen_plain NO_COLOR=1
    ok a_dumb_terminal_has_none seen_plain NO_COLOR= TERM=dumb
    fits_it() { # sentences on a terminal of 60 columns; rows of tables have two blanks together
        script -qec "stty cols 60; $PROGRAM explain $folder/site.yaml --at 3,2 --draws 64 --quiet" \
            /dev/null < /dev/null | tr -d '\r' > "$folder/narrow"
        grep -q 'fixes here err' "$folder/narrow" && /usr/bin/python3 - "$folder/narrow" << 'EOF'
import sys
for line in open(sys.argv[1], encoding="utf-8"):
    assert len(line.rstrip("\n")) <= 60 or "  " in line.strip(), line
EOF
    }
    ok sentences_fit_a_narrow_terminal fits_it
else
    echo "skip - colour and width of a terminal (needs script)"
fi
exit $failed
