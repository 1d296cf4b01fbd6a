"""The first estimate of a study on a terminal, seen as what is written to it.

usage: estimate.py PROGRAM SCENARIO COMMAND...
It stands above the bar before the work is done, names every zone, is marked as what it is, is cleared
line by line before the result comes, and is on a terminal alone. Says what went wrong and ends with
1, or with 0.
"""
import os
import pty
import re
import subprocess
import sys


def on_a_terminal(command):
    ours, theirs = pty.openpty()
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs) as run:
        os.close(theirs)
        seen = b""
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:
                break
            if not more:
                break
            seen += more
        result = run.stdout.read()
    os.close(ours)
    return seen, result


def main():
    program, scenario, *words = sys.argv[1:]
    command = [program, *words, scenario]
    seen, result = on_a_terminal(command)
    found = re.search(rb"(first estimate, by \d+ draws of some cells:\r\n(?:  [^\r\n]+\r\n)+)\r[^\r\n]+",
                      seen)
    assert found, f"no estimate above a bar: {seen}"
    lines = found.group(1).split(b"\r\n")[:-1]
    assert all(b"p95" in line for line in lines[1:]), lines
    cleared = b"\033[%dA\r\033[J" % len(lines)
    assert seen.endswith(cleared), f"not cleared: {seen[-80:]}"
    assert b"first estimate" not in result
    quiet = subprocess.run(command, capture_output=True, check=False)
    assert b"first estimate" not in quiet.stderr, quiet.stderr
    assert quiet.stdout == result, "a terminal changes the result"
    print(b"\n".join(lines).decode())


main()
