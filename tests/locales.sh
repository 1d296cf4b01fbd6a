# The locales that tests are run in; sourced. `in_locale NAME COMMAND...` with NAME none, C, C.UTF-8 or
# comma, which make_comma FOLDER makes: German, in which 1.5 is written 1,5.
LOCALES="none C C.UTF-8 comma"
make_comma() {
    comma_folder=$1
    mkdir -p "$comma_folder"
    localedef -i de_DE -f UTF-8 "$comma_folder/de_DE.UTF-8" &&
        [ "$(in_locale comma bash -c 'printf %.1f 1,5')" = 1,5 ]
}
in_locale() {
    local name=$1
    shift
    case $name in
        none) env -u LANG -u LC_ALL "$@" ;;
        comma) env -u LANG LOCPATH="$comma_folder" LC_ALL=de_DE.UTF-8 "$@" ;;
        *) env -u LANG LC_ALL="$name" "$@" ;;
    esac
}
