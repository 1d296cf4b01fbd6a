# What the script tests share: a $folder that goes away, $failed, $PROGRAM. Names stand for sentences.
folder=$(mktemp -d)
trap 'chmod -R u+w "$folder"; rm -rf "$folder"' EXIT
failed=0
PROGRAM=${PROGRAM:-${BUILD:-build}/anchorwise}
# Whatever the locale, figures have a point: the program's do.
awk() {
    LC_ALL=C command awk "$@"
}
ok() { # name, then a command that must succeed
    local name=$1
    shift
    if "$@" > "$folder/said" 2>&1; then echo "ok - $name"; else
        echo "not ok - $name"
        sed 's/^/    /' "$folder/said" >&2
        failed=1
    fi
}
ends_with() { # status, then a command
    local want=$1
    shift
    "$@"
    local got=$?
    [ $got -eq "$want" ] || { echo "ended with $got, not $want: $*"; return 1; }
}
says() { # text, then a command: its standard error holds the text
    local text=$1
    shift
    "$@" 2>&1 > /dev/null | grep -qF -- "$text" || { echo "did not say: $text"; return 1; }
}
