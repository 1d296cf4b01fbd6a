# What `make install` puts, used as its users do: hosts in C and C++, the manual, completion; and that
# `make uninstall` takes it away. In a path with a space.
here=$(dirname "$0")
. "$here/outcomes.sh"
if [ "${BUILD:-build}" != build ]; then
    echo "skip - test_install (the plain build is what is installed)"
    exit 0
fi
place="$folder/a place"
strict="-Wall -Wextra -Wpedantic -Werror"
# The words of an outer make are not for this one.
made() { env -u MAKEFLAGS -u MAKELEVEL -u MFLAGS make -s "$@"; }
version=$(sed -n 's/^#define AW_VERSION "\(.*\)"/\1/p' include/anchorwise.h)

# --- what is put where ---
listed() { # folder
    (cd "$1" && find . ! -type d | LC_ALL=C sort)
}
wanted() {
    printf './%s\n' bin/anchorwise include/anchorwise.h include/anchorwise/*.h lib/libanchorwise.a \
        lib/libanchorwise.so "lib/libanchorwise.so.${version%.*}" "lib/libanchorwise.so.$version" \
        lib/pkgconfig/anchorwise.pc share/bash-completion/completions/anchorwise \
        share/man/man1/anchorwise.1 | LC_ALL=C sort
}
put() {
    made install "PREFIX=$place" && listed "$place" > "$folder/list" && wanted | diff - "$folder/list"
}
ok every_file_is_put_in_its_place put
runs() { [ "$("$place/bin/anchorwise" --version)" = "anchorwise $version" ]; }
ok the_program_runs_from_there runs
staged() {
    made install "DESTDIR=$folder/stage" PREFIX=/opt/anchorwise || return 1
    listed "$folder/stage/opt/anchorwise" | diff "$folder/list" - &&
        grep -qx 'prefix=/opt/anchorwise' "$folder/stage/opt/anchorwise/lib/pkgconfig/anchorwise.pc" &&
        ! grep -rqF "$folder" "$folder/stage/opt/anchorwise/lib/pkgconfig"
}
ok a_staged_package_has_the_same_files_and_names_no_stage staged

# --- hosts ---
export PKG_CONFIG_PATH="$place/lib/pkgconfig" LD_LIBRARY_PATH="$place/lib"
# pkg-config quotes a path with a space for the shell.
flags() { pkg-config "$@" anchorwise; }
ok its_version_is_the_programs test "$(flags --modversion)" = "$version"
built() { # compiler with its options, source, program, more words
    local compiler=$1 source=$2 program=$3
    shift 3
    eval "$compiler $strict '$source' -o '$program' $(flags --cflags --libs) $*"
}
sed -n '/^```c$/,/^```$/{/^```/d;p}' docs/library.md > "$folder/example.c"
ok the_example_is_built_as_c built "gcc -std=c11" "$folder/example.c" "$folder/example"
ok the_example_is_built_as_cpp built "g++ -std=c++17 -x c++" "$folder/example.c" "$folder/example++"
cp "$here/cases/site.yaml" "$folder/site.yaml"
sed 's/name: E, at: \[4, 0.2, 3\]/name: E, at: [4, 4.5, 2.5]/' "$folder/site.yaml" > "$folder/moved.yaml"
p95_of() { # scenario: of its one zone, as the program says
    "$PROGRAM" assess "$1" --json --quiet |
        /usr/bin/python3 -c 'import json, sys; print("%.4f" % json.load(sys.stdin)["zones"][0]["p95_m"])'
}
says_what_the_program_says() { # example
    local planned moved
    planned=$(p95_of "$folder/site.yaml")
    moved=$(p95_of "$folder/moved.yaml")
    [ -n "$planned" ] && [ "$planned" != "$moved" ] || return 1
    "$1" "$folder/site.yaml" E 4 4.5 2.5 | diff <(printf '%s m\n' "as planned, z: p95 $planned" \
        "moved, z: p95 $moved") -
}
ok the_example_in_c_says_what_the_program_says says_what_the_program_says "$folder/example"
ok the_example_in_cpp_says_what_the_program_says says_what_the_program_says "$folder/example++"
linked_alone() {
    local libs
    libs=$(flags --static --libs)
    eval "gcc -std=c11 $strict '$folder/example.c' -o '$folder/static' $(flags --cflags) \
        ${libs/-lanchorwise/-l:libanchorwise.a}" && ! ldd "$folder/static" | grep libanchorwise &&
        says_what_the_program_says "$folder/static"
}
ok the_static_library_does_without_the_shared_one linked_alone
kept() {
    built "gcc -std=c11" "$here/install/host.c" "$folder/host" -lglpk || return 1
    "$folder/host" | diff <(printf '%s\n' 'branched yes' 'rows 1 columns 2' 'trouble 0 least 9' \
        'terminal on') -
}
ok a_hosts_linear_program_is_as_it_was kept
alike() {
    built "gcc -std=c11" "$here/install/layout.c" "$folder/layout" &&
        built "g++ -std=c++17 -x c++" "$here/install/layout.c" "$folder/layout++" &&
        cmp <("$folder/layout") <("$folder/layout++")
}
ok structs_lie_alike_in_c_and_cpp alike

# --- symbols ---
shared="$place/lib/libanchorwise.so.$version"
gcc "-I$place/include" -D_GNU_SOURCE -aux-info "$folder/declared.all" -S -o /dev/null -x c \
    "$place/include/anchorwise.h"
# Functions with their headers, by the compiler; tables by their lines.
{
    sed -nE 's|^/\* .*/include/(anchorwise/[a-z_]+\.h):.*[ *](aw_[a-z0-9_]+) \(.*|\1 \2|p' "$folder/declared.all"
    (cd "$place/include" && grep -oE '^extern const .*;' anchorwise/*.h) |
        sed -E 's/^([^:]*):.* (aw_[a-z0-9_]+)(\[.*)?;$/\1 \2/'
} | LC_ALL=C sort -u > "$folder/declared"
cut -d' ' -f2 "$folder/declared" | LC_ALL=C sort -u > "$folder/names"
nm -D --defined-only "$shared" | awk '{ print $3 }' | LC_ALL=C sort > "$folder/exported"
many() { [ "$(wc -l < "$folder/exported")" -gt 100 ]; }
ok symbols_are_found many
ok what_is_exported_is_declared_and_what_is_declared_exported diff "$folder/names" "$folder/exported"
ok its_name_has_its_version bash -c "readelf -d '$shared' | grep -qF 'soname: [libanchorwise.so.${version%.*}]'"
needs_no_ink() { ! readelf -d "$shared" | grep -E 'NEEDED.*(cairo|pango)'; }
ok it_takes_no_drawing_library_along needs_no_ink
alone_in_cpp() { # every header by itself, and all that it declares found by a linker
    local header name
    for header in $(cd "$place/include" && echo anchorwise/*.h); do
        {
            echo "#include <$header>"
            echo "const void *found[] = {nullptr,"
            awk -v header="$header" '$1 == header { print "    (const void *)&" $2 "," }' "$folder/declared"
            echo "};"
            echo "int main() { return found[0] != nullptr; }"
        } > "$folder/alone.cpp"
        built "g++ -std=c++17" "$folder/alone.cpp" "$folder/alone" || { echo "$header"; return 1; }
    done
}
ok every_header_serves_cpp_by_itself alone_in_cpp

# --- the manual page ---
page="$place/share/man/man1/anchorwise.1"
if command -v man > /dev/null; then
    clean_page() {
        LC_ALL=C.UTF-8 MANWIDTH=80 man --warnings -E UTF-8 -l -Tutf8 -Z "$page" > /dev/null 2> "$folder/warned"
        local status=$?
        cat "$folder/warned"
        [ $status -eq 0 ] && [ ! -s "$folder/warned" ]
    }
    ok the_manual_page_is_set_without_a_warning clean_page
    LC_ALL=C.UTF-8 MANWIDTH=100 man -l -P cat "$page" 2> /dev/null | sed 's/.\x08//g' > "$folder/page"
    tells_all() { # every command, every option, every layer and status, as help has them
        local command word
        for command in $("$PROGRAM" help | sed -n '/^Exit/q; s/^  \([a-z]*\) .*/\1/p'); do
            [ "$command" = help ] && continue
            sed -n "/^   anchorwise $command /,/^   anchorwise /p" "$folder/page" > "$folder/section"
            for word in $("$PROGRAM" help "$command" | sed -n 's/^  \(--[a-z-]*\|[a-z0-9_]*\) .*/\1/p'); do
                grep -qE -- "^ +$word( |,|\$)" "$folder/section" || { echo "$command: no $word"; return 1; }
            done
        done
        [ -n "$command" ] && [ -n "$word" ]
    }
    ok the_manual_page_tells_every_command_and_option tells_all
else
    echo "skip - the_manual_page_is_set_without_a_warning (no man here)"
fi

# --- completion ---
mkdir "$folder/files"
touch "$folder/files/hall.yaml" "$folder/files/two words.yml" "$folder/files/notes.txt"
mkdir "$folder/files/halls"
completed() { # the words so far, the last one being typed: what is offered, sorted
    (cd "$folder/files" && bash -c '
        . "$1"
        shift
        COMP_WORDS=("$@") COMP_CWORD=$(($# - 1))
        _anchorwise
        printf "%s\n" "${COMPREPLY[@]}"' _ "$place/share/bash-completion/completions/anchorwise" "$@" |
        LC_ALL=C sort | tr '\n' '|')
}
offers() { # what, then the words
    local want=$1 got
    shift
    got=$(completed "$@")
    [ "$got" = "$want" ] || { echo "offers $got for $*"; return 1; }
}
options_of() { "$PROGRAM" help "$1" | sed -n 's/^  \(--[a-z-]*\).*/\1/p' | LC_ALL=C sort | tr '\n' '|'; }
every_option() {
    local command
    for command in $("$PROGRAM" help | sed -n '/^Exit/q; s/^  \([a-z]*\) .*/\1/p'); do
        offers "$command|" anchorwise "${command}" || return 1
        [ "$command" = help ] || offers "$(options_of "$command")" anchorwise "$command" -- || return 1
    done
    [ -n "$command" ]
}
ok completion_knows_every_command_and_its_options every_option
ok completion_of_a_beginning offers 'chart|check|compare|' anchorwise c
ok completion_of_scenarios offers 'hall.yaml|halls|two words.yml|' anchorwise assess ''
ok completion_of_a_scenario_behind_options offers 'hall.yaml|halls|' anchorwise assess --json hall
ok completion_of_a_file_to_write offers 'notes.txt|' anchorwise assess --cells n
ok completion_behind_an_equals_sign offers 'notes.txt|' anchorwise assess --out = n
ok completion_right_behind_an_equals_sign offers 'ft|m|' anchorwise need --units =
ok completion_of_a_choice offers 'A1|A3|A4|letter|tabloid|' anchorwise chart hall.yaml --sheet ''
ok completion_of_a_layer offers 'p50_m|p95_m|pdop|' anchorwise chart --layer p
ok completion_of_a_number_offers_nothing offers '|' anchorwise assess --draws ''
ok completion_of_help offers 'scenario|schema|sensitivity|starts|sweep|' anchorwise help s
ok completion_is_installed_under_its_command bash -c '. "$1" && complete -p anchorwise' _ \
    "$place/share/bash-completion/completions/anchorwise"

# --- and away ---
away() {
    mkdir -p "$place/lib/pkgconfig" && touch "$place/lib/pkgconfig/other.pc"
    made uninstall "PREFIX=$place" || return 1
    [ "$(listed "$place")" = ./lib/pkgconfig/other.pc ] || { listed "$place"; return 1; }
    ! find "$place" -type d -name '*anchorwise*' | grep .
}
ok uninstall_takes_it_all_away_and_nothing_else away
exit $failed
