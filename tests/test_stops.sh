# Ctrl-C: status 130 at any moment of any command, and no file that was half written.
here=$(dirname "$0")
. "$here/outcomes.sh"
for kind in waits works writes; do mkdir "$folder/$kind"; done
ok ctrl_c_ends_a_command_that_waits_for_a_pipe \
    /usr/bin/python3 "$here/stops.py" waits "$PROGRAM" "$folder/waits"
ok ctrl_c_ends_every_command_in_any_stage \
    /usr/bin/python3 "$here/stops.py" works "$PROGRAM" "$folder/works"
ok ctrl_c_leaves_the_old_file_or_the_whole_new_one \
    /usr/bin/python3 "$here/stops.py" writes "$PROGRAM" "$folder/writes"
exit $failed
