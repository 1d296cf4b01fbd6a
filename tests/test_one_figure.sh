# One question has one figure, or each carries its kind: what the commands say of the same places,
# held against one another on the demos; tests/long/one_figure has their odds too.
here=$(dirname "$0")
. "$here/outcomes.sh"
PROGRAM=$PROGRAM exec /usr/bin/python3 "$here/one_figure.py" "$folder"
