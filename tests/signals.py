"""Kills and interrupts of the program at chosen and random moments.

usage: signals.py kill|interrupt PROGRAM FOLDER
Says what went wrong and ends with 1, or with 0.
"""
import os
import pathlib
import random
import signal
import subprocess
import sys
import time

HALL = "tests/good/hall_metres.yaml"
SHED = "scenarios/washing-shed.yaml"  # whose needs give the freedom of anchors work to do
MOMENTS = 200
LONG = ["--draws", "20000", "--step", "0.2", "--threads", "2", "--quiet"]


def send_at(command, moment, which):
    """The status of a run that gets a signal after so many seconds, if it still runs then."""
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        time.sleep(moment)
        run.send_signal(which)
        said = run.communicate()[1].decode()
    return run.returncode, said


def kill_at_any_moment(program, folder):
    target = folder / "cells.csv"
    command = [program, "assess", HALL, "--draws", "16", "--step", "0.7", "--quiet", "--threads",
               "2", "--cells", str(target), "--out", os.devnull]
    subprocess.run(command, check=False)
    new = target.read_bytes()
    assert len(new) > 50000
    # The shortest of some runs, so that a busy machine does not stretch it.
    took = min(timed(command) for _ in range(5))
    old = b"old\n" * 1000
    seeded = random.Random(11)
    seen = {old: 0, new: 0}
    for k in range(MOMENTS):
        target.write_bytes(old)
        # The machine may have become busier, or idle again.
        if seen[new] < k // 10:
            took *= 1.1
        elif seen[old] < k // 10:
            took /= 1.1
        # Anywhere, about the writing, and later.
        share = seeded.uniform(*((0, 1.3), (0.6, 1.2), (1, 3))[k % 3])
        send_at(command, share * took, signal.SIGKILL)
        is_now = target.read_bytes()
        if is_now not in seen:
            sys.exit(f"a kill after {share * took:.4f} s left {len(is_now)} bytes")
        seen[is_now] += 1
        for left in folder.glob("cells.csv.*"):
            left.unlink()
    print(f"{seen[old]} old, {seen[new]} new")
    assert min(seen.values()) >= 10, "the moments do not reach both sides of the writing"


def timed(command):
    began = time.monotonic()
    subprocess.run(command, check=False)
    return time.monotonic() - began


def interrupt_each(program, folder):
    """Every command that draws, early and late in its work; then one at random moments."""
    out = folder / "out.svg"
    for words in (["assess"], ["chart"], ["compare", HALL], ["explain", "--at", "45,30"],
                  ["outage"], ["zones"], ["sweep"], ["assess", "--cells", str(folder / "c.csv")]):
        for moment in (0.1, 0.4):
            command = [program, *words, HALL, *LONG, "--out", str(out)]
            began = time.monotonic()
            status, said = send_at(command, moment, signal.SIGINT)
            took = time.monotonic() - began - moment
            assert status == 130, f"{words}: status {status}, said {said}"
            assert said == "anchorwise: stopped; nothing was written\n", f"{words}: {said}"
            assert took < 2, f"{words}: went on for {took:.1f} s"
            assert not list(folder.glob("out.svg*")) and not (folder / "c.csv").exists(), words
    for words in (["client", "out.html"], ["client", "out.pdf", "--quick"], ["visit", "out.html"],
                  ["installers", "out.pdf", "--csv", str(folder / "c.csv")]):
        command = [program, "report", words[0], SHED, *LONG, "--out", str(folder / words[1]), *words[2:]]
        status, said = send_at(command, 0.3, signal.SIGINT)
        assert (status, said) == (130, "anchorwise: stopped; nothing was written\n"), f"{words}: {said}"
        assert not list(folder.glob(words[1] + "*")) and not (folder / "c.csv").exists(), words
    command = [program, "assess", HALL, "--draws", "16", "--step", "0.5", "--quiet", "--out",
               str(out)]
    took, seeded = timed(command), random.Random(12)
    whole = out.read_bytes()
    for _ in range(40):
        out.unlink(missing_ok=True)
        status, said = send_at(command, seeded.uniform(0, took), signal.SIGINT)
        # Before the program has begun the signal ends it by itself; after the file was written it
        # is there, whole, and nobody says that nothing was written.
        assert status in (0, 1, 130, -signal.SIGINT), f"status {status}, said {said}"
        assert out.exists() or status not in (0, 1), f"status {status} without a file"
        if out.exists():
            assert out.read_bytes() == whole, f"status {status}, the file is not whole"
            assert "nothing was written" not in said, f"status {status}, said {said}"
        assert list(folder.glob("out.svg.*")) == [], "a temporary file was left"


def main():
    kind, program, folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    (kill_at_any_moment if kind == "kill" else interrupt_each)(program, folder)


main()
