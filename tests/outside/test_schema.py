"""The JSON Schema of a scenario, by a validator that knows nothing of the program: what the reader takes
it takes, and of what the reader refuses it refuses what one value or one block tells. Prints
"ok - name" or "not ok - name"."""
import copy
import json
import os
import re
import subprocess
import sys
import tempfile
import traceback
from pathlib import Path

import jsonschema
import yaml

PROGRAM = os.environ.get("PROGRAM") or str(Path(os.environ.get("BUILD", "build")).resolve() / "anchorwise")
SCHEMA = json.loads(subprocess.run([PROGRAM, "help", "schema"], check=True, capture_output=True, text=True).stdout)
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

# Refused by the schema; the others of tests/bad take more than one value to tell, or go by how a value
# is written, which a schema does not see.
REFUSED = """
aliased_laughs aliased_mapping_as_number anchor_at_not_three anchor_heights anchor_names_blank
anchor_spots anchors_and_tags_empty anchors_not_a_list assumptions_wrong bare_text
base_wrong_no_echo byte_order_mark_inside candidates_wrong ceiling_too_high ceiling_zero
control_escape coordinates_beyond draws_not_whole empty feet feet_limits floor_material_wrong
hex_octal_and_words hidden_characters key_with_capitals levels_not_a_list levels_wrong
lists_and_blocks lists_where_text_goes material_unknown materials_delay_wrong materials_layers_wrong
materials_of_two_kinds materials_wrong merge_key missing_everything missing_in_floor
missing_in_items name_too_long need_is_a_list need_nothing need_parts_wrong need_share_alone
need_wrong no_anchor not_a_mapping numbers_out_of_range numbers_written_wrong only_nothing
outline_bad_corners outline_two_corners prices_currency_long prices_mounts_wrong
prices_nothing_known prices_wrong quoted_version radio_not_a_mapping radio_out_of_range
ranging_not_a_mapping several_at_once shell_wrong start_longer start_unknown start_wrong
study_far_too_large study_too_large tag_fix_wrong tag_name_missing_no_echo tag_wrong title_blank
title_nothing title_too_long too_deep unknown_keys wall_too_thick wall_wrong wrong_units
wrong_version zone_without_outline
""".split()


class Core(yaml.SafeLoader):
    """YAML 1.2's core schema, as editors read it: 1e3 is a number, yes is not."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, begins in (
        ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
        ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
        ("int", r"[-+]?[0-9]+", "-+0123456789"),
        ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789")):
    Core.add_implicit_resolver("tag:yaml.org,2002:" + tag, re.compile(f"^(?:{pattern})$"), list(begins))
Core.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(loader.construct_scalar(node)))
Core.add_constructor("tag:yaml.org,2002:float", lambda loader, node: float(loader.construct_scalar(node)))


def loaded(text):
    return yaml.load(text, Core)


def complaints(document):
    return [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:120]}" for e in VALIDATOR.iter_errors(document)]


def reader_refuses(document, key):
    """Whether the program finds the value of a key out of its range, given the document as JSON, which is
    YAML too."""
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        json.dump(document, file)
        file.flush()
        run = subprocess.run([PROGRAM, "check", file.name], capture_output=True, check=False, text=True)
        return re.search(rf": {key}: .* is outside ", run.stderr) is not None


def it_is_a_schema_of_its_draft():
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def every_sound_scenario_is_accepted():
    files = [*Path("scenarios").glob("*.yaml"), *Path("tests/good").glob("*.yaml")]
    # Of those that must be complained of, the ones that are only warned about.
    files += [f for f in Path("tests/bad").glob("*.yaml")
              if all(": warning:" in line or " warning: " in line
                     for line in f.read_text("utf-8", "replace").splitlines() if line.startswith("#!"))]
    assert len(files) > 30, len(files)
    for file in files:
        found = complaints(loaded(file.read_text("utf-8")))
        assert not found, f"{file}: {found}"


def every_listed_scenario_is_refused():
    for name in REFUSED:
        assert complaints(loaded(Path("tests/bad", name + ".yaml").read_text("utf-8"))), name


def rows(node, path=()):
    """Every key of the schema in metres: the path to it, [] for an item of a list."""
    for key, row in node.get("properties", {}).items():
        yield path + (key,), row
        yield from rows(row, path + (key,))
        yield from rows(row.get("items", {}), path + (key, 0))
        if isinstance(row.get("additionalProperties"), dict):
            yield from rows(row["additionalProperties"], path + (key, "m"))


def every_key_of_the_reference_stands_in_it():
    told = [line.split("`")[1] for line in Path("docs/scenario.md").read_text("utf-8").splitlines()
            if re.match(r"\| `[a-z_0-9]+` \|", line)]
    for branch in ("then", "else"):
        assert sorted(path[-1] for path, _ in rows(SCHEMA[branch])) == sorted(told), branch


def a_number_at_its_limit_is_accepted_and_one_beyond_refused():
    """By both: the schema's limits are the reader's, in metres and in feet."""
    base = loaded(Path("tests/cases/site.yaml").read_text())
    tried = 0
    for units, branch in (("m", "else"), ("ft", "then")):
        for path, row in rows(SCHEMA[branch]):
            if len(path) != 2 or path[0] not in ("ranging", "study") or row.get("type") not in ("number", "integer"):
                continue
            for word, way in (("minimum", -1), ("maximum", 1), ("exclusiveMinimum", -1), ("exclusiveMaximum", 1)):
                if word not in row:
                    continue
                # The limit itself only in metres: in feet it is rounded.
                for steps in (-1, 0, 1) if units == "m" else (-1, 1):
                    whole = row["type"] == "integer"
                    limit = int(row[word]) if whole else row[word]
                    size = 1 if whole else max(abs(limit), 1) * 1e-6
                    document = copy.deepcopy(base)
                    document["units"] = units
                    document["study"] = {"step": 1, "draws": 10}
                    document.setdefault(path[0], {})[path[1]] = limit + steps * size
                    refused = bool(complaints(document))
                    assert refused == (steps == way or steps == 0 and "exclusive" in word), (units, path, word, steps)
                    assert refused == reader_refuses(document, path[1]), (units, path, word, steps)
                    tried += 1
    assert tried > 60, tried


def what_a_block_needs_beside_its_keys_is_told():
    for block, sound in (
            ({"zones": {"need": {}}}, False), ({"zones": {"need": {"share": 0.9}}}, False),
            ({"zones": {"need": {"share": 0.9, "p95": 1}}}, True),
            ({"materials": {"loss_db": 1, "conductivity": 0.1}}, False),
            ({"materials": {"loss_db": 1, "permittivity": 3, "conductivity": 0.1}}, True),
            ({"materials": {"based_on": "brick", "permittivity": 3}}, False),
            ({"materials": {"based_on": "brick", "layers": [["wood", 0.1]]}}, False),
            ({"materials": {"loss_db": 1, "layers": [["wood", 0.1]], "permittivity": 3}}, False),
            ({"materials": {"loss_db": 1, "layers": [["wood", 0.1]]}}, True)):
        document = loaded(Path("tests/cases/site.yaml").read_text())
        if "zones" in block:
            document["zones"][0].update(block["zones"])
        else:
            document["materials"] = {"panel": block["materials"]}
        run = subprocess.run([PROGRAM, "check", "-"], input=json.dumps(document), capture_output=True, text=True,
                             check=False)
        assert bool(complaints(document)) != sound and (run.returncode == 0) == sound, (block, run.stderr)


def text_may_be_a_plain_number():
    document = loaded(Path("tests/cases/site.yaml").read_text().replace("name: A", "name: 7"))
    assert document["anchors"][0]["name"] == 7 and not complaints(document)


def a_pit_may_be_as_deep_as_the_reader_takes():
    document = loaded(Path("tests/cases/site.yaml").read_text())
    document["levels"] = [{"name": "pit", "outline": [[3, 1], [6, 1], [6, 4], [3, 4]], "height": -2}]
    for z, sound in ((-1.5, True), (-1001, False)):
        document["anchors"][4]["at"] = [4, 2, z]
        assert bool(complaints(document)) != sound and reader_refuses(document, "z") != sound, z


failed = False
for test in (it_is_a_schema_of_its_draft, every_sound_scenario_is_accepted, every_listed_scenario_is_refused,
             every_key_of_the_reference_stands_in_it, a_number_at_its_limit_is_accepted_and_one_beyond_refused,
             what_a_block_needs_beside_its_keys_is_told, text_may_be_a_plain_number, a_pit_may_be_as_deep_as_the_reader_takes):
    try:
        test()
        print(f"ok - {test.__name__}")
    except Exception:
        failed = True
        traceback.print_exc()
        print(f"not ok - {test.__name__}")
sys.exit(failed)
