"""What check says that assess will cost, held against what assess takes; and who says so.

usage: costs.py ratios|scale|says PROGRAM FOLDER
Says what went wrong and ends with 1, or with 0. Times are of the processor and only held to within a
factor of five, which a busy machine does not shake; memory to within two.
"""
import json
import pathlib
import resource
import signal
import subprocess
import sys


def run(program, *words):
    """Standard output, processor seconds, and the most memory so far of any child, bytes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([program, *words], stdout=subprocess.PIPE, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert done.returncode in (0, 1), f"{words}: status {done.returncode}"
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return done.stdout, seconds, 1024 * after.ru_maxrss


def cost(program, *words):
    return json.loads(run(program, "check", "--json", "--quiet", *words)[0])["cost"]


def ratios(program, _):
    """From the least memory to the most, so that the most of all children is the last one's."""
    for words in (["scenarios/wheel-pit.yaml"], ["scenarios/parts-store.yaml"],
                  ["scenarios/crate-hall.yaml"],
                  ["scenarios/parts-store.yaml", "--step", "0.05", "--draws", "16"]):
        said = cost(program, *words, "--threads", "2")
        _, seconds, size = run(program, "assess", "--quiet", "--threads", "2", *words)
        print(f"{words}: {said['seconds']:.2f} s said, {seconds:.2f} s taken; "
              f"{said['bytes'] / 1e6:.0f} MB said, {size / 1e6:.0f} MB taken")
        assert seconds / 5 < said["seconds"] < seconds * 5, "time"
        assert size / 2 < said["bytes"] < size * 2, "memory"


def least_cost(program, *words):
    """The least of three measurements: others on the machine only add to one."""
    return min((cost(program, *words) for _ in range(3)), key=lambda c: c["seconds"])


def scale(program, _):
    """Twenty times the draws, or a hundred times the cells: about so much more of what grows so."""
    shed = "scenarios/parts-store.yaml"
    plain = least_cost(program, shed, "--threads", "2")
    drawn = least_cost(program, shed, "--draws", "20000", "--threads", "2")
    fine = least_cost(program, shed, "--step", "0.05", "--threads", "2")
    print(plain, drawn, fine)
    assert 4 < drawn["seconds"] / plain["seconds"] < 100, "twenty times the draws"
    assert 20 < fine["seconds"] / plain["seconds"] < 500, "a hundred times the cells"
    assert fine["bytes"] > plain["bytes"] + 20e6, "a hundred times the cells"


HUGE = """anchorwise: 1
title: Four million cells
floor: {outline: [[0, 0], [2000, 0], [2000, 2000], [0, 2000]], ceiling: 9}
anchors:
"""


def says(program, folder):
    """The largest floor there may be, with as many anchors; a run that takes long says so first."""
    path = folder / "huge.yaml"
    anchors = "".join(f"  - {{name: a{i}, at: [{i % 32 * 60 + 1}, {i // 32 * 60 + 1}, 5]}}\n"
                      for i in range(1024))
    path.write_text(HUGE + anchors + "ranging: {range: 3000}\nstudy: {step: 1, draws: 200}\n", encoding="ascii")
    text = run(program, "check", "--quiet", "--threads", "2", str(path))[0].decode()
    line = text.splitlines()[-1]
    print(line)
    assert line.startswith("assess will take about ") and line.endswith(" MB."), line
    assert " h on " in line, line
    for words in (["assess"], ["chart", "--out", str(folder / "sheet.svg")], ["outage"]):
        for quiet in ([], ["--quiet"]):
            command = [program, *words, *quiet, "--draws", "500000", "--step", "0.2", "--progress",
                       "scenarios/tram-hall.yaml"]
            with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                                  text=True) as run_:
                seen = []
                for line in run_.stderr:
                    seen.append(line)
                    if "floor" in line or "cells of" in line:
                        break
                run_.send_signal(signal.SIGINT)
                run_.communicate()
            told = [line for line in seen if line.startswith("anchorwise: this will take about ")]
            assert len(told) == (0 if quiet else 1), f"{words}: {seen}"
            print(*told)


def main():
    kind, program, folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    {"ratios": ratios, "scale": scale, "says": says}[kind](program, folder)


main()
