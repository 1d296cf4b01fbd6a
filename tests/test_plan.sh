# plan: what page and program say to each other, files, who may ask, and who asks in bad faith.
here=$(dirname "$0")
. "$here/outcomes.sh"
for what in answers steps_back tells holds overtakes tags explains finds_places hands_out pictures saves conflicts killed begins_empty is_wrong \
    guards is_not_said port fuzzed too_much slow flat; do
    mkdir "$folder/$what"
    ok "plan_$what" /usr/bin/python3 "$here/plan.py" "$what" "$PROGRAM" "$folder/$what"
done
exit $failed
