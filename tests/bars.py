"""The bar of every command on terminals of several widths, seen as what is written to them.

usage: bars.py PROGRAM FOLDER
Says what went wrong and ends with 1, or with 0. Each run is stopped once its bar has said what it
should.
"""
import fcntl
import os
import pathlib
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time

LONG = ["--draws", "60000", "--step", "0.2", "--threads", "2"]
HALL = "tests/good/hall_metres.yaml"
PATIENCE = 120  # s, of a busy machine
COMMANDS = [["assess", HALL, *LONG], ["assess", HALL, *LONG[:4], "--threads", "1"],
            ["chart", HALL, *LONG, "--out", "{}.svg"], ["compare", HALL, HALL, *LONG],
            ["explain", HALL, "--draws", "600000", *LONG[2:], "--at", "20,7"], ["outage", HALL, *LONG],
            ["zones", HALL, *LONG], ["sweep", "scenarios/tram-hall-places.yaml", *LONG[:2]],
            ["place", "scenarios/tram-hall-places.yaml", *LONG[:2]],
            ["sensitivity", HALL, *LONG], ["freedom", "scenarios/l-hall.yaml", *LONG[:2]]]
DRAWN = re.compile(rb"\r([^\r\n\033]*)\033\[K")
SAID = re.compile(r" (\d+) %, \d+ (s|min|h) left: \w.*")


def watch(command, columns):
    """All that goes to a terminal on standard error until the bar has told share and time left."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    seen, until = b"", time.monotonic() + PATIENCE
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=theirs) as run:
        os.close(theirs)
        while not any(SAID.search(line.decode()) for line in DRAWN.findall(seen)):
            assert time.monotonic() < until, f"{command}: no bar: {seen}"
            if select.select([ours], [], [], 1)[0]:
                try:
                    seen += os.read(ours, 4096)
                except OSError:
                    sys.exit(f"{command}: ended without a bar: {seen}")
        run.send_signal(signal.SIGINT)
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:
                break
            seen += more
            if not more:
                break
    os.close(ours)
    return run.returncode, seen


def check(command, columns):
    status, seen = watch(command, columns)
    lines = [line.decode() for line in DRAWN.findall(seen)]
    assert status == 130, f"{command}: {status}"
    for line in lines:
        assert len(line) < columns, f"{command}: {line!r} is too wide for {columns} columns"
    for line in filter(None, lines):
        assert " left: " in line or " so far: " in line, f"{command}: {line!r}"
    print(f"{columns}: {command[1]}: {[l for l in lines if ' left' in l][-1]}")
    # The bar is gone when the last words are said, and nothing else was.
    seen = re.sub(rb"first estimate, by[^\r\n]*\r\n(  [^\r\n]*\r\n)+", b"", seen)
    rest = re.sub(rb"anchorwise: this will take about [^\r\n]*\r\n", b"", DRAWN.sub(b"", seen))
    assert rest in (b"anchorwise: stopped; nothing was written\r\n",
                    b"anchorwise: stopped; this is the best so far\r\n"), f"{command}: {rest}"
    assert lines[-1] == "", f"{command}: the bar stays: {lines[-1]!r}"


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    for k, words in enumerate(COMMANDS):
        command = [program, *(w.format(folder / "sheet") for w in words)]
        check(command, (40, 100)[k % 2])
        if words[0] == "assess":
            check(command, (100, 40)[k % 2])


main()
