"""Ctrl-C at many moments of every command, on scenes that would keep it for minutes.

usage: stops.py waits|works|writes PROGRAM FOLDER
Says what went wrong and ends with 1, or with 0. A stop within a second is what is promised; a busy
machine is given more, and the work left would take far longer than that.
"""
import os
import pathlib
import random
import signal
import subprocess
import sys
import time

SOON = 5  # s
HALL = "tests/good/hall_metres.yaml"
# Each with options that any scene can bear.
COMMANDS = {"check": [], "assess": [], "chart": ["--out", "{}.svg"], "compare": ["{}"],
            "explain": ["--at", "20,7"], "links": ["--at", "20,7"], "outage": [], "zones": [],
            "sweep": ["--counts", "4:9"], "place": ["--afresh"], "sensitivity": [],
            "freedom": []}


def is_ready(run):
    """Whether the program has begun: before its first statement the system ends it."""
    try:
        with open(f"/proc/{run.pid}/status", encoding="ascii") as status:
            caught = next(line for line in status if line.startswith("SigCgt"))
    except (FileNotFoundError, ProcessLookupError, StopIteration):
        return True
    return bool(int(caught.split()[1], 16) & 1 << (signal.SIGINT - 1)) or run.poll() is not None


def wait_until_ready(run):
    until = time.monotonic() + 60
    while not is_ready(run):
        time.sleep(0.001)
        assert time.monotonic() < until, f"{run.args}: Ctrl-C is not caught"


def stop(command, moment, done=False, **how):
    """Stops a run so many seconds after its start; what it said. Unless it may be done by then, it
    must not be."""
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, **how) as run:
        wait_until_ready(run)
        time.sleep(moment)
        run.send_signal(signal.SIGINT)
        began = time.monotonic()
        try:
            said = run.communicate(timeout=SOON)[1].decode()
        except subprocess.TimeoutExpired:
            run.kill()
            sys.exit(f"{command}: goes on {SOON} s after a stop at {moment:.3f} s")
    took = time.monotonic() - began
    if run.returncode == 130 or (done and run.returncode in (0, 1, 2)):
        print(f"{moment:.3f} s: {run.returncode} after {took:.3f} s, {command[1:4]}: {said[-60:]!r}")
        return run.returncode, said
    return sys.exit(f"{command}: status {run.returncode} after a stop at {moment:.3f} s: {said}")


def words(program, name, scene, folder):
    options = [o.format(scene if name == "compare" else folder / "sheet") for o in COMMANDS[name]]
    return [program, name, *options, "--quiet", str(scene)]


def left_over(folder, known):
    more = {p.name for p in folder.iterdir()} - known
    assert not more, f"left over: {more}"


def waits(program, folder):
    """A scenario, and then an output, that is a pipe with nobody at its other end; standard input
    and output likewise."""
    pipe = folder / "pipe.svg"
    os.mkfifo(pipe)
    known = {p.name for p in folder.iterdir()}
    for name in COMMANDS:
        said = stop(words(program, name, pipe, folder), 0.05)[1]
        assert said == "anchorwise: stopped; nothing was written\n", said
    fast = ["--draws", "16", "--step", "4", "--quiet"]
    hall = "tests/good/hall_metres.yaml"
    for command in (["check", "--out", pipe], ["assess", "--cells", pipe, *fast],
                    ["chart", "--out", pipe, *fast], ["zones", "--out", pipe, *fast],
                    ["sweep", "--counts", "4:5", "--chart", pipe, *fast],
                    ["explain", "--at", "20,7", "--out", pipe, *fast],
                    ["outage", "--out", pipe, *fast]):
        stop([program, *map(str, command), hall], 1)
    read, write = os.pipe()
    os.set_blocking(write, False)
    try:
        while os.write(write, bytes(4096)):
            pass
    except BlockingIOError:
        os.set_blocking(write, True)
    with subprocess.Popen([program, "help", "scenario"], stdout=write) as run:
        wait_until_ready(run)
        time.sleep(0.1)
        run.send_signal(signal.SIGINT)
        assert run.wait(SOON) == 130, "a full pipe holds the program"
    os.close(read)
    os.close(write)
    left_over(folder, known)


def crowded(path, obstacles, fill=0):
    """Obstacles each over the next, in a file of `fill` bytes: with as many as a scenario may hold,
    parsing and every check is slow."""
    with open(path, "w", encoding="ascii") as f:
        f.write("anchorwise: 1\ntitle: A crowd\n"
                "floor: {outline: [[0, 0], [200, 0], [200, 200], [0, 200]], ceiling: 9}\n"
                "anchors:\n")
        for i in range(1024):
            f.write(f"  - {{name: a{i}, at: [{i % 32 * 6 + 1}, {i // 32 * 6 + 1}, 5]}}\n")
        f.write("zones:\n  - {name: all, outline: [[1, 1], [199, 1], [199, 199], [1, 199]], "
                "need: {p95: 0.5}}\nobstacles:\n")
        for i in range(obstacles):
            x, y = i % 400 * 0.45, i // 400 % 400 * 0.45
            f.write(f"  - {{name: o{i}, footprint: [[{x:g}, {y:g}], [{x + 1:g}, {y:g}], "
                    f"[{x + 1:g}, {y + 1:g}]], top: 2, material: wood}}\n")
        f.write("study: {step: 0.1, draws: 100}\n")
        f.write("# the end\n" * ((fill - f.tell()) // 10))
    assert fill - 10 < path.stat().st_size <= 16 << 20 or not fill
    return path


def works(program, folder):
    """Huge scenes, from reading through preparing to drawing; then the searches."""
    seeded = random.Random(21)
    scenes = {"parsed": crowded(folder / "parsed.yaml", 50000, 16 << 20),
              "crowded": crowded(folder / "crowded.yaml", 3000),
              "wide": crowded(folder / "wide.yaml", 3)}
    known = {p.name for p in folder.iterdir()}
    late = False
    for scene, path in scenes.items():
        for name in COMMANDS:
            # Links of a scene that is read soon are done soon; candidates may be too many for it.
            done = scene != "parsed" and name in ("links", "check", "sweep", "place")
            late = not late
            stop(words(program, name, path, folder), seeded.uniform(0, 1.5 if late else 0.3), done)
    long = ["--draws", "20000", "--step", "0.2", "--threads", "2"]
    for name, scene in (("sensitivity", HALL), ("freedom", "scenarios/l-hall.yaml"),
                        ("outage", HALL)):
        stop(words(program, name, scene, folder) + long, seeded.uniform(0.3, 1))
    for moment in (0.1, 1, 3):
        stop([program, "place", "scenarios/tram-hall-places.yaml", "--afresh", "--quiet"],
             moment + seeded.uniform(0, 0.5), True)
    left_over(folder, known)


def writes(program, folder):
    """Files that are being written, and sheets with many contours: the old file stays as it was or
    the new one is whole, and nothing stands beside it."""
    seeded = random.Random(22)
    big = ["--draws", "1", "--step", "0.2", "--quiet", HALL]
    # What is told a text that stops short: the end of each kind of file.
    for command, option, end in ((["assess", "--out", os.devnull], "--cells", b"\r\n"),
                                 (["chart"], "--out", b"</svg>\n")):
        target = folder / "out.svg"
        command = [program, *command, option, str(target), *big]
        began = time.monotonic()
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL)
        took = time.monotonic() - began
        new = target.read_bytes()
        assert len(new) > 10000 and new.endswith(end)
        for k in range(12):
            target.write_bytes(b"old\n")
            share = seeded.uniform(*((0, 1.1), (0.6, 1.1))[k % 2])
            status, said = stop(command, share * took, True)
            assert {p.name for p in folder.iterdir()} == {"out.svg"}, "something is left over"
            assert target.read_bytes() in (b"old\n", new), "half a file"
            if "nothing was written" in said:
                assert status == 130 and target.read_bytes() == b"old\n", said
        target.unlink()


def main():
    kind, program, folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    {"waits": waits, "works": works, "writes": writes}[kind](program, folder)


main()
