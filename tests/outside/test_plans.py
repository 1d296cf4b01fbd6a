"""Made plans come in as they were drawn: unit, walls, outline, rooms, whatever the mess.

The truth is the generator's (plans.py), which knows nothing of how plans are read."""

import json
import os
import subprocess
import sys
import tempfile

import yaml

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from plan_truth import compare_room, compare_walls
from plans import Plan

PROGRAM = os.environ.get("PROGRAM", "build/anchorwise")
NUMBERS = [int(n) for n in os.environ.get("AW_PLANS", "0 1 2 3 4 5 7 10").split()]
failed = False


def ok(name, complaint):
    global failed
    print("not ok - %s: %s" % (name, complaint) if complaint else "ok - " + name)
    failed = failed or bool(complaint)


def run(*words):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True)


def try_plan(number, folder):
    plan = Plan(number)
    dxf, out = os.path.join(folder, "plan %d.dxf" % number), os.path.join(folder, "made.yaml")
    with open(dxf, "wb") as file:
        file.write(plan.make())
    if os.path.exists(out):
        os.remove(out)
    turn = ["--turn", "auto"] if number % 4 == 3 else []
    result = run("import", dxf, "--guess", "--json", "--out", out, *turn)
    name = "plan_%d_in_%s_with_its_header_%s" % (number, plan.unit, plan.header)
    if result.returncode != 0:
        return ok(name, "ended with %d: %s" % (result.returncode, result.stderr.strip()))
    made = json.loads(result.stdout)
    if made["unit"] != plan.unit:
        return ok(name, "unit %s: %s" % (made["unit"], made["witnesses"]))
    with open(out, encoding="utf-8") as file:
        scenario = yaml.safe_load(file)
    if turn and abs(abs(made["made"]["turn_deg"] - plan.turn + 45) % 90 - 45) > 0.001:
        return ok(name, "turned by %.5f, not %.5f" % (made["made"]["turn_deg"], plan.turn))
    made = made["made"]
    ok(name, compare_walls(plan, made, scenario) or compare_room(plan, made, scenario))


with tempfile.TemporaryDirectory() as folder:
    for number in NUMBERS:
        try_plan(number, folder)
sys.exit(failed)
