"""Damaged and hostile plans: a clear line and status 2, or an import that is told; within 15 s, and
nothing half written. AW_HOSTILE says how many mutations of made plans are tried."""

import os
import random
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from plans import Plan

PROGRAM = os.environ.get("PROGRAM", "build/anchorwise")
MUTATIONS = int(os.environ.get("AW_HOSTILE", "8"))
LARGE = "AW_HOSTILE" in os.environ
MOST_SECONDS = 15 + 3
failed = False


def ok(name, complaint):
    global failed
    print("not ok - %s: %s" % (name, complaint) if complaint else "ok - " + name)
    failed = failed or bool(complaint)


def dxf(entities="", blocks="", head=""):
    return ("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n" + head + "0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n"
            + blocks + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + entities + "0\nENDSEC\n0\nEOF\n")


LINE = "0\nLINE\n8\nA-WALL\n10\n%s\n20\n%s\n11\n%s\n21\n%s\n"
BOX = "".join(LINE % side for side in ((0, 0, 20, 0), (20, 0, 20, 10), (20, 10, 0, 10), (0, 10, 0, 0)))


def insert(block, more=""):
    return "0\nINSERT\n8\n0\n2\n%s\n10\n0\n20\n0\n%s" % (block, more)


def block(name, inside):
    return "0\nBLOCK\n8\n0\n2\n%s\n70\n0\n10\n0\n20\n0\n%s0\nENDBLK\n" % (name, inside)


def tower():
    """Ten in ten, eleven deep."""
    blocks = block("B0", LINE % (0, 0, 1, 1))
    for k in range(1, 12):
        blocks += block("B%d" % k, insert("B%d" % (k - 1)) * 10)
    return dxf(insert("B11"), blocks)


def bulges(n):
    return dxf("0\nPOLYLINE\n8\n0\n66\n1\n" + "0\nVERTEX\n8\n0\n10\n%d\n20\n0\n42\n0.5\n" * 0
               + "".join("0\nVERTEX\n8\n0\n10\n%d\n20\n%d\n42\n0.9\n" % (i, i % 2) for i in range(n))
               + "0\nSEQEND\n")


VRT = '<OGRVRTDataSource><OGRVRTLayer name="x"><SrcDataSource>/etc/passwd</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>'
CASES = [  # name, bytes, statuses that are right, a word of the complaint
    ("an_empty_file", "", {2}, "empty"),
    ("a_DWG", "AC1015\0\0\0\0", {2}, "DWG"),
    ("a_binary_DXF", "AutoCAD Binary DXF\r\n\x1a\0", {2}, "binary DXF"),
    ("a_PDF", "%PDF-1.4\n", {2}, "PDF"),
    ("another_format_inside", VRT, {2}, "not a text DXF"),
    ("another_format_in_a_section", "0\nSECTION\n2\nENTITIES\n" + VRT, {2}, "line"),
    ("prose", "Dear client,\nhere is the plan.\n", {2}, "not a text DXF"),
    ("NUL_bytes", dxf(BOX) + "\0", {2}, "NUL"),
    ("no_entities", "0\nSECTION\n2\nHEADER\n0\nENDSEC\n0\nEOF\n", {2}, "no ENTITIES"),
    ("a_tower_of_blocks", tower(), {2}, "2 000 000"),
    ("a_grid_of_a_billion", dxf(insert("B", "70\n30000\n71\n30000\n44\n1\n45\n1\n"), block("B", BOX)), {2},
     "2 000 000"),
    ("a_block_that_holds_itself", dxf(insert("B"), block("B", BOX + insert("B"))), {2}, "holds itself"),
    ("two_blocks_that_hold_each_other",
     dxf(insert("B"), block("B", insert("C")) + block("C", insert("B"))), {2}, "holds itself"),
    ("a_chain_of_3000_blocks",
     dxf(insert("B0"), "".join(block("B%d" % k, insert("B%d" % (k + 1))) for k in range(3000))), {2}, "64"),
    ("coordinates_that_are_none", dxf(BOX + LINE % ("nan", "inf", "1e308", "-1e999")), {0, 2}, None),
    ("words_for_coordinates", dxf(BOX + LINE % ("one", "two", "three", "four")), {0}, None),
    ("far_strays", dxf(BOX + LINE % (9e7, 9e7, 9e7 + 1, 9e7)), {0}, None),
    ("a_line_of_5_MB", dxf("0\nTEXT\n8\n0\n10\n0\n20\n0\n40\n1\n1\n" + "x" * 5_000_000 + "\n" + BOX), {0, 2},
     None),
    ("a_block_that_is_missing", dxf(BOX + insert("XREF")), {0}, None),
    ("half_a_pair", dxf(BOX)[:-60], {0, 2}, None),
    ("JSON_that_ends_early", '{"type": "FeatureCollection", "features": [', {2}, "not JSON"),
    ("JSON_that_is_no_plan", '{"type": "Topology"}', {2}, "FeatureCollection"),
    ("JSON_100000_deep", "{\"a\":" * 100000, {2}, "not JSON"),
    ("GeoJSON_of_nonsense", '{"type": "FeatureCollection", "features": [1, {"geometry": {"type": "Polygon",'
     ' "coordinates": [[[1, "x"], 2]]}}, {"properties": [], "geometry": null}]}', {0, 2}, None),
]
LARGE_CASES = [
    ("a_million_curved_edges", lambda: bulges(1_000_000), {0, 2}, None),
    ("a_hundred_megabytes_of_lines", lambda: dxf((LINE % (1.5, 2.5, 3.5, 4.5)) * 2_400_000), {2}, None),
    ("a_million_lines", lambda: dxf("".join(LINE % (i % 997, i // 997, i % 997 + 0.4, i // 997)
                                            for i in range(1_000_000))), {0, 2}, None),
]


def attempt(path, folder, roles):
    out = os.path.join(folder, "made.yaml")
    if os.path.exists(out):
        os.remove(out)
    began = time.monotonic()
    result = subprocess.run(["prlimit", "--as=4000000000", PROGRAM, "import", "--unit", "m", *roles, "--out",
                             out, "--", path], capture_output=True, timeout=60)
    return result, time.monotonic() - began, out


def judge(result, seconds, out, statuses, word):
    said = result.stderr.decode("utf-8", "replace")
    if result.returncode not in statuses:
        return "ended with %d: %s" % (result.returncode, said[:300])
    if seconds > MOST_SECONDS:
        return "took %.1f s" % seconds
    if result.returncode == 2 and (not said.strip() or os.path.exists(out)):
        return "refused in silence, or wrote a file"
    if word and result.returncode == 2 and word not in said and word != "line":
        return "did not say %r: %s" % (word, said[:300])
    if os.listdir(os.path.dirname(out)) not in (["plan"], ["made.yaml", "plan"], ["plan", "made.yaml"]):
        return "left %s behind" % os.listdir(os.path.dirname(out))
    return None


def mutated(number):
    r = random.Random(1000 + number)
    text = bytearray(Plan(number % 12).make())
    kind = number % 4
    if kind == 0:
        return bytes(text[:r.randrange(len(text))])
    for _ in range(r.choice([1, 5, 40])):
        at = r.randrange(len(text))
        if kind == 1:
            text[at] = r.randrange(1, 256)
        elif kind == 2:
            text[at:at] = text[r.randrange(len(text)):][:r.randrange(200)]
        else:
            del text[at:at + r.randrange(30)]
    return bytes(text)


with tempfile.TemporaryDirectory() as folder:
    path = os.path.join(folder, "plan")
    cases = CASES + [(name, make(), statuses, word) for name, make, statuses, word in LARGE_CASES * LARGE]
    cases += [("mutation_%d" % k, mutated(k), {0, 2}, None) for k in range(MUTATIONS)]
    for name, content, statuses, word in cases:
        roles = ["--guess"] if isinstance(content, bytes) else ["--layer", "A-WALL=outline", "--layer", "*=ignore"]
        with open(path, "wb") as file:
            file.write(content if isinstance(content, bytes) else content.encode("latin-1"))
        try:
            ok(name, judge(*attempt(path, folder, roles), statuses, word))
        except subprocess.TimeoutExpired:
            ok(name, "never ended")
    os.remove(path)
    for name in ("-plan.dxf", "GeoJSON:{}", "vsicurl_streaming", "plan\n.dxf"):
        odd = os.path.join(folder, name)
        with open(odd, "w") as file:
            file.write(dxf(BOX))
        result = subprocess.run([os.path.abspath(PROGRAM), "import", "--unit", "m", "--", name], cwd=folder,
                                capture_output=True)
        ok("a_file_called_%s" % name.replace("\n", "_"),
           None if result.returncode == 0 else result.stderr.decode())
        os.remove(odd)
    with open(path, "w") as file:
        file.write(dxf(BOX))
    result = subprocess.run([os.path.abspath(PROGRAM), "import", path], env={"PATH": folder}, capture_output=True,
                            text=True)
    ok("without_ogr2ogr_it_says_what_to_install", None if result.returncode == 2 and "gdal-bin" in result.stderr
       else "%d: %s" % (result.returncode, result.stderr))
sys.exit(failed)
