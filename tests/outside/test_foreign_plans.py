"""One hall as other programs write it: unit and walls are right, whatever their headers say.

The programs are run here: ezdxf and GDAL always; Inkscape's two writers, pstoedit's two, OpenSCAD
and LibreCAD with AW_WHOLE=1, each where it is installed. GDAL names inches whatever the unit, which
is one false header; another is put in by hand. No program's own drawing is kept or copied: LibreCAD's
library is read where Debian's librecad-data has it."""

import json
import math
import os
import shutil
import subprocess
import sys
import tempfile

import yaml

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from plan_truth import compare_walls

PROGRAM = os.path.abspath(os.environ.get("PROGRAM", "build/anchorwise"))
WHOLE = os.environ.get("AW_WHOLE") == "1"
LIBRARY = "/usr/share/librecad/library"
INKSCAPE = "/usr/share/inkscape/extensions"
WALLS, DOORS = "A-WALL", "A-DOOR"
failed, skipped = False, 0


def ok(name, complaint):
    global failed
    print("not ok - %s: %s" % (name, complaint) if complaint else "ok - " + name)
    failed = failed or bool(complaint)


def skip(name, what):
    global skipped
    print("ok - %s # SKIP %s is not installed" % (name, what))
    skipped += 1


class Hall:
    """20.4 x 12.2 m between its outer walls, and two inner ones with a door each; metres."""

    size, outer = (20.4, 12.2), 0.24
    inner = [(7.0, 0.12, 4.0, 0.9), (13.5, 0.15, 6.5, 1.0)]  # x, thickness, y of the door, its width
    curves = []

    def __init__(self, unit="m", origin=(0, 0)):
        self.unit, self.origin = unit, origin
        w, d, half = *self.size, self.outer / 2
        low, right, top = -half, w + half, d + half
        self.truth = [((low, low), (right, low), 2 * half), ((right, low), (right, top), 2 * half),
                      ((right, top), (low, top), 2 * half), ((low, top), (low, low), 2 * half)]
        for x, t, y, door in self.inner:
            self.truth += [((x, low), (x, y), t), ((x, y + door), (x, top), t)]

    def at(self, x, y):
        """In the plan's unit."""
        scale = {"m": 1, "mm": 1000}[self.unit]
        return (x + self.origin[0]) * scale, (y + self.origin[1]) * scale

    def faces(self):
        w, d, t = *self.size, self.outer
        around = [(-t, -t), (w + t, -t), (w + t, d + t), (-t, d + t)]
        lines = list(zip(around, around[1:] + around[:1])) + [((0, 0), (0, d)), ((w, 0), (w, d))]
        for y in (0, d):
            left = 0
            for x, thick, _, _ in self.inner:
                lines.append(((left, y), (x - thick / 2, y)))
                left = x + thick / 2
            lines.append(((left, y), (w, y)))
        for x, thick, y, door in self.inner:
            for low, high in ((0, y), (y + door, d)):
                lines += [((x + s * thick / 2, low), (x + s * thick / 2, high)) for s in (-1, 1)]
            lines += [((x - thick / 2, jamb), (x + thick / 2, jamb)) for jamb in (y, y + door)]
        return [(self.at(*a), self.at(*b)) for a, b in lines]

    def leaves(self):
        """Of each door: hinge, end of the open leaf, width."""
        return [(self.at(x, y), self.at(x + door, y), door * self.at(1, 0)[0] - door * self.at(0, 0)[0])
                for x, _, y, door in self.inner]


def quarter(hinge, radius, n=20):
    return [(hinge[0] + radius * math.cos(k * math.pi / 2 / n),
             hinge[1] + radius * math.sin(k * math.pi / 2 / n)) for k in range(n + 1)]


# --- the writers ---

def by_ezdxf(hall, out, header=4):
    import ezdxf
    drawing = ezdxf.new("R2010", units=header)
    for layer in (WALLS, DOORS):
        drawing.layers.add(layer)
    space = drawing.modelspace()
    for a, b in hall.faces():
        space.add_line(a, b, dxfattribs={"layer": WALLS})
    for hinge, end, radius in hall.leaves():
        space.add_line(hinge, end, dxfattribs={"layer": DOORS})
        space.add_arc(hinge, radius, 0, 90, dxfattribs={"layer": DOORS})
    drawing.saveas(out)


def by_gdal(hall, out):
    lines = [(WALLS, face) for face in hall.faces()]
    for hinge, end, radius in hall.leaves():
        lines += [(DOORS, (hinge, end)), (DOORS, quarter(hinge, radius))]
    features = [{"type": "Feature", "properties": {"Layer": layer},
                 "geometry": {"type": "LineString", "coordinates": [list(p) for p in line]}}
                for layer, line in lines]
    with open(out + ".json", "w") as file:
        json.dump({"type": "FeatureCollection", "features": features}, file)
    subprocess.run(["ogr2ogr", "-f", "DXF", out, out + ".json"], check=True, capture_output=True)


def drawn(hall):
    """As SVG, one unit a millimetre, y down."""
    height = 1000 * (hall.size[1] + 1)
    at = lambda p: "%.6f %.6f" % (p[0], height - p[1])
    line = lambda a, b: '<path d="M %s L %s"/>' % (at(a), at(b))
    layer = '<g inkscape:groupmode="layer" inkscape:label="%s">'
    text = ('<svg xmlns="http://www.w3.org/2000/svg" width="22000mm" height="%gmm" fill="none" '
            'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" stroke="black" '
            'viewBox="0 0 22000 %g">' % (height, height))
    text += layer % WALLS + "".join(line(a, b) for a, b in hall.faces()) + "</g>" + layer % DOORS
    for hinge, end, r in hall.leaves():
        text += line(hinge, end) + '<path d="M %s A %f %f 0 0 0 %s"/>' % (
            at(end), r, r, at((hinge[0], hinge[1] + r)))
    return text + "</g></svg>"


def by_inkscape(hall, out, writer):
    with open(out + ".svg", "w") as file:
        file.write(drawn(hall))
    subprocess.run(["/usr/bin/python3", os.path.join(INKSCAPE, writer), "--output=" + out, out + ".svg"],
                   check=True, capture_output=True, env={**os.environ, "PYTHONPATH": INKSCAPE})


def by_pstoedit(hall, out, writer):
    point = 72 / 25.4
    at = lambda p: "%.6f %.6f" % (p[0] * point, p[1] * point)
    line = lambda a, b: "newpath %s moveto %s lineto stroke\n" % (at(a), at(b))
    text = "%!PS\n<< /PageSize [62000 38000] >> setpagedevice\n0.1 setlinewidth\n"
    text += "".join(line(a, b) for a, b in hall.faces())
    for hinge, end, r in hall.leaves():
        text += line(hinge, end) + "newpath %s %.6f 0 90 arc stroke\n" % (at(hinge), r * point)
    with open(out + ".ps", "w") as file:
        file.write(text + "showpage\n")
    subprocess.run(["pstoedit", "-f", writer + ": -mm", out + ".ps", out], check=True, capture_output=True)


def by_openscad(hall, out):
    (w, d), t = hall.size, hall.outer
    text = ("difference() { translate([%g, %g]) square([%g, %g]); square([%g, %g]); }\n"
            % (-t, -t, w + 2 * t, d + 2 * t, w, d))
    for x, thick, y, door in hall.inner:
        for low, high in ((-0.01, y), (y + door, d + 0.01)):
            text += "translate([%g, %g]) square([%g, %g]);\n" % (x - thick / 2, low, thick, high - low)
    with open(out + ".scad", "w") as file:
        file.write(text)
    subprocess.run(["openscad", "-o", out, out + ".scad"], check=True, capture_output=True)


# --- the checks ---

def run(*words):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True)


def try_plan(name, hall, dxf, layer, unit=None):
    """`unit`: what must be said, because the drawing leaves it open, and is said to."""
    told = json.loads(run("import", dxf, "--json").stdout)
    expected = None if unit else hall.unit
    if told["unit"] != expected:
        return ok(name, "unit %s, not %s: %s" % (told["unit"], expected, told["witnesses"]))
    out = dxf + ".yaml"
    result = run("import", dxf, "--layer", layer + "=wall: {material: brick}", "--layer", "*=ignore", "--turn", "none", "--json",
                 "--out", out, *(["--unit", unit] if unit else []))
    if result.returncode != 0:
        return ok(name, "ended with %d: %s" % (result.returncode, result.stderr.strip()))
    with open(out, encoding="utf-8") as file:
        scenario = yaml.safe_load(file)
    ok(name, compare_walls(hall, json.loads(result.stdout)["made"], scenario))


def try_always(folder):
    path = lambda name: os.path.join(folder, name)
    hall = Hall("mm", (0.3, 0.7))
    by_ezdxf(hall, path("ezdxf.dxf"))
    try_plan("ezdxf_in_mm", hall, path("ezdxf.dxf"), WALLS)
    by_ezdxf(hall, path("inches.dxf"), header=1)
    try_plan("ezdxf_in_mm_with_a_header_in_inches", hall, path("inches.dxf"), WALLS)
    hall = Hall("m")
    by_gdal(hall, path("gdal.dxf"))
    try_plan("gdal_in_m_with_its_header_in_inches", hall, path("gdal.dxf"), WALLS)


def try_others(folder):
    path = lambda name: os.path.join(folder, name)
    hall = Hall("mm", (0.5, 0.5))
    for writer in ("dxf_outlines.py", "dxf12_outlines.py"):
        name = "inkscape_" + writer.split("_")[0]
        if not os.path.exists(os.path.join(INKSCAPE, writer)):
            skip(name, "inkscape")
            continue
        by_inkscape(hall, path(name + ".dxf"), writer)
        # R12 has no arcs left: a swing is 80 lines by themselves, and nothing tells the unit.
        try_plan(name, hall, path(name + ".dxf"), WALLS, unit="mm" if "dxf12" in name else None)
    for writer in ("dxf", "dxf_s"):
        if not shutil.which("pstoedit"):
            skip("pstoedit_" + writer, "pstoedit")
            continue
        by_pstoedit(hall, path(writer + ".dxf"), writer)
        try_plan("pstoedit_" + writer, hall, path(writer + ".dxf"), "0")
    if shutil.which("openscad"):
        by_openscad(Hall("m"), path("openscad.dxf"))
        try_plan("openscad_without_a_header", Hall("m"), path("openscad.dxf"), "0", unit="m")
    else:
        skip("openscad_without_a_header", "openscad")


def try_library():
    """Every tenth part of LibreCAD's library is listed, or refused by a line that says why."""
    parts = [os.path.join(where, name) for where, _, names in os.walk(LIBRARY) for name in names
             if name.endswith(".dxf")]
    if not parts:
        return skip("librecad_library", "librecad-data")
    silent, refused = [], []
    for part in sorted(parts)[::10]:
        result = run("import", part)
        if result.returncode == 2 and result.stderr.count(":") >= 1:
            refused.append(part)
        elif result.returncode != 0 or "unit" not in result.stdout:
            silent.append(part)
    print("# every tenth of %d parts, %d refused" % (len(parts), len(refused)))
    ok("librecad_library", "refused %s, silent %s" % (refused[:3], silent[:3])
       if silent or len(refused) > 0.001 * len(parts) else None)


def try_librecad(folder):
    """LibreCAD opens what is exported, and draws it."""
    if not shutil.which("librecad"):
        return skip("librecad_opens_an_export", "librecad")
    scenario = os.path.abspath("scenarios/tram-hall.yaml")
    dxf = os.path.join(folder, "out.dxf")
    made = run("export", scenario, "--no-contours", "--out", dxf)
    subprocess.run(["librecad", "dxf2pdf", "-a", dxf], cwd=folder, capture_output=True, timeout=120,
                   env={**os.environ, "QT_QPA_PLATFORM": "offscreen"})
    pdf = os.path.join(folder, "out.pdf")
    if made.returncode != 0 or not os.path.exists(pdf):
        return ok("librecad_opens_an_export", made.stderr or "no PDF was printed")
    png = os.path.join(folder, "out")
    subprocess.run(["pdftocairo", "-png", "-gray", "-singlefile", "-scale-to", "1500", pdf, png], check=True)
    import cairo
    surface = cairo.ImageSurface.create_from_png(png + ".png")
    rows = bytes(surface.get_data())
    dark = sum(1 for k in range(0, len(rows), 4) if rows[k] < 128)
    print("# %d dark pixels" % dark)
    ok("librecad_opens_an_export", "the page is empty" if dark < 2000 else None)


with tempfile.TemporaryDirectory() as folder:
    try_always(folder)
    if WHOLE:
        try_others(folder)
        try_librecad(folder)
        try_library()
print("# %d skipped" % skipped)
sys.exit(failed)
