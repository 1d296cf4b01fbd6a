# One question has one figure, or each carries its kind: what the commands say of the same places,
# held against one another on one demo; tests/long/one_figure has the others.
here=$(dirname "$0")
. "$here/outcomes.sh"
PROGRAM=$PROGRAM exec /usr/bin/python3 "$here/one_figure.py" "$folder"
