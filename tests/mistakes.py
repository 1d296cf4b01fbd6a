"""Checks that `check --json` has the mistakes and warnings that `check` prints, and says nothing else.

mistakes.py PROGRAM SCENARIO...: the lines of standard error are put together again from the JSON.
"""
import json
import subprocess
import sys


def run(*words):
    return subprocess.run(words, capture_output=True)


def line_of(complaint, kind):
    place = "" if complaint["line"] is None else ":%d:%d" % (complaint["line"], complaint["column"])
    return "%s%s: %s%s" % (complaint["file"], place, kind, complaint["text"])


def lines_of(result, file):
    lines = [line_of(c, "") for c in result.get("errors", [])]
    lines += [line_of(c, "warning: ") for c in result["warnings"]]
    if result.get("left_out", 0) > 0:
        lines.append("%s: and %d more" % (file, result["left_out"]))
    return lines


told = 0
for file in sys.argv[2:]:
    plain = run(sys.argv[1], "check", file)
    as_json = run(sys.argv[1], "check", file, "--json")
    result = json.loads(as_json.stdout)
    said = plain.stderr.decode().splitlines()
    assert plain.returncode == as_json.returncode, file
    assert as_json.stderr == b"", (file, as_json.stderr)
    assert ("errors" in result) == (plain.returncode == 2), file
    assert sorted(lines_of(result, file)) == sorted(said), (file, said, result)
    told += len(said)
assert told > 300, told
