"""What --json prints, by a validator that knows nothing of the program: every document of every command
on demos is what the printed schema says, and the schema is the one that is kept in golden. Prints
"ok - name" or "not ok - name"."""
import json
import os
import subprocess
import sys
import tempfile
import traceback
from pathlib import Path

import jsonschema

HERE = Path(__file__).resolve().parent.parent
PROGRAM = os.environ.get("PROGRAM") or str(Path(os.environ.get("BUILD", "build")).resolve() / "anchorwise")
WHOLE = os.environ.get("AW_WHOLE")
COARSE = ["--draws", "64", "--step", "3", "--quiet"]
DEMOS = sorted(Path("scenarios").glob("*.yaml")) if WHOLE else [
    Path("scenarios") / f"{name}.yaml" for name in ("washing-shed", "wheel-pit")]


def run(*words, ends=(0, 1)):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)
    assert done.returncode in ends, (words, done.returncode, done.stderr[-400:])
    return done.stdout


SCHEMA = json.loads(run("help", "output-schema"))


def holds(name, text):
    """The document of that name, and no other kind."""
    document = json.loads(text)
    jsonschema.Draft202012Validator({"$defs": SCHEMA["$defs"], "$ref": f"#/$defs/{name}"}).validate(document)
    return document


def spot_of(scenario):
    """Somewhere on the floor."""
    outline = {"crate-hall": "20,20"}.get(scenario.stem, "5,5")
    return ["--at", outline]


def test_the_schema_is_sound_and_names_every_document():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    named = [each["$ref"].rsplit("/", 1)[1] for each in SCHEMA["anyOf"]]
    assert len(named) == len(set(named)) == 16, named
    for name, shape in SCHEMA["$defs"].items():
        assert shape["additionalProperties"] is False and (shape["required"] or name == "parts"), name
        assert all(member["description"] for member in shape["properties"].values()), name


def test_the_schema_changes_only_with_its_format():
    kept = (HERE / "golden" / "output.schema.json").read_text()
    assert kept == run("help", "output-schema"), "renew it, and count `format` up if a key went or changed"


def test_the_page_is_the_one_that_is_printed():
    assert (HERE.parent / "docs" / "output.md").read_text() == run("help", "output")


def test_every_document_of_every_demo_is_what_the_schema_says():
    for demo in DEMOS:
        for command in ("assess", "zones", "outage", "freedom", "sensitivity"):
            document = holds(command, run(command, demo, *COARSE, "--json"))
            assert document["format"] == 1 and document["scenario"]["file"] == str(demo)
        holds("explain", run("explain", demo, *spot_of(demo), *COARSE, "--json"))
        holds("links", run("links", demo, *spot_of(demo), "--json"))
        holds("check", run("check", demo, "--json"))
        holds("compare", run("compare", demo, demo, *COARSE, "--json"))
        holds("sweep", run("sweep", demo, "--heights", "3:4" if demo.stem != "crate-hall" else "9:11",
                           *COARSE, "--json"))


def test_placings_and_sweeps_of_candidates():
    places = "scenarios/tram-hall-places.yaml"
    with tempfile.TemporaryDirectory() as folder:
        small = Path(folder) / "small.yaml"
        small.write_text("""anchorwise: 1
title: Bay
floor: {outline: [[0, 0], [12, 0], [12, 9], [0, 9]], ceiling: 5}
anchors: [{name: A, at: [0.5, 0.5, 4]}, {name: B, at: [11.5, 0.5, 4]}, {name: C, at: [11.5, 8.5, 4]}]
candidates: {points: [{name: D, at: [0.5, 8.5, 4]}, {name: E, at: [6, 0.5, 4]}, {name: F, at: [6, 8.5, 4]}]}
zones: [{name: bay, outline: [[2, 2], [10, 2], [10, 7], [2, 7]], need: {p95: 1}}]
ranging: {start: clear hall}
""")
        holds("place", run("place", small, *COARSE, "--json"))
        holds("place_needs", run("place", small, "--needs", "0.8,1.2", *COARSE, "--json"))
        holds("sweep", run("sweep", small, "--counts", "3:3", *COARSE, "--json"))
    if WHOLE:
        holds("place", run("place", places, *COARSE, "--json"))


def test_a_task_is_a_document_too():
    holds("task", run("need", "--width", "3", "--decisions", "1000", "--wrong", "1", "--json"))


def test_what_cannot_be_read_is_told_as_a_document():
    wrong = sorted((HERE / "bad").glob("*.yaml"))[::1 if WHOLE else 6]
    for path in wrong:
        text = run("check", path, "--json", ends=(0, 2))
        holds("errors" if '"errors"' in text else "check", text)
    assert len(wrong) > 20


def main():
    failed = 0
    for name, test in list(globals().items()):
        if not name.startswith("test_"):
            continue
        try:
            test()
            print(f"ok - {name[5:]}", flush=True)
        except Exception:
            failed = 1
            traceback.print_exc()
            print(f"not ok - {name[5:]}", flush=True)
    sys.exit(failed)


main()
