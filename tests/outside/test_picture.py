"""A client's plan as a picture lies where its two points say, whatever its kind; a bad one is refused.

Pictures are made here, by hand but for the JPEG. Where a pixel must lie follows from turn, scale and
shift put in by this script; where it lies is read from the SVG, held to marks of anchors there."""

import math
import os
import re
import struct
import subprocess
import sys
import tempfile
import time
import zlib

PROGRAM = os.path.abspath(os.environ.get("PROGRAM", "build/anchorwise"))
SIZE = (400, 300)                      # of the picture, in its own units
TURN, SCALE, SHIFT = 17.0, 0.05, (3.0, 2.0)  # degrees; metres a unit; where its lower left corner lies
failed = False

SCENARIO = """anchorwise: 1
title: a hall with a picture
floor:
  outline: [[0, 0], [30, 0], [30, 24], [0, 24]]
  ceiling: 8
  picture: {file: "%s", points: [%s, %s]%s}
anchors:
  - {name: one, at: [%.6f, %.6f, 5]}
  - {name: two, at: [%.6f, %.6f, 5]}
  - {name: three, at: [1, 1, 5]}
  - {name: four, at: [29, 23, 5]}
study: {step: 2, draws: 20}
"""


def ok(name, complaint):
    global failed
    print("not ok - %s: %s" % (name, complaint) if complaint else "ok - " + name)
    failed = failed or bool(complaint)


def site(px, py):
    """Of a point of the picture, counted from its upper left corner."""
    c, s = math.cos(math.radians(TURN)), math.sin(math.radians(TURN))
    u, v = SCALE * px, SCALE * (SIZE[1] - py)
    return SHIFT[0] + c * u - s * v, SHIFT[1] + s * u + c * v


def png(width=SIZE[0], height=SIZE[1], rows=None):
    chunk = lambda kind, data: struct.pack(">I", len(data)) + kind + data + \
        struct.pack(">I", zlib.crc32(kind + data))
    if rows is None:
        rows = b"".join(b"\0" + bytes(0 if (x // 20 + y // 20) % 5 == 0 else 255 for x in range(width))
                        for y in range(height))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)) + \
        chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="75mm" viewBox="0 0 400 300">' \
      b'<rect x="10" y="10" width="380" height="280" fill="none" stroke="black" stroke-width="3"/></svg>'


def pdf(pages=2):
    """Its second page is the picture, turned by a quarter as a scanner leaves it."""
    draw = b"3 w 10 10 280 380 re S"
    objects = [b"<</Type/Catalog/Pages 2 0 R>>",
               b"<</Type/Pages/Count %d/Kids[%s]>>" % (pages, b" ".join([b"3 0 R", b"4 0 R"][:pages])),
               b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 50 50]>>",
               b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 300 400]/Rotate 90/Contents 5 0 R>>",
               b"<</Length %d>>stream\n%s\nendstream" % (len(draw), draw)]
    out, places = b"%PDF-1.4\n", []
    for k, text in enumerate(objects):
        places.append(len(out))
        out += b"%d 0 obj%s endobj\n" % (k + 1, text)
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    return out + b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, table)


def write(path, data):
    with open(path, "wb") as file:
        file.write(data)


def chart(folder, picture, page=None, out="chart.svg"):
    a, b = (50, 40), (350, 260)
    pin = lambda p: "[%g, %g, %.9f, %.9f]" % (*p, *site(*p))
    text = SCENARIO % (picture, pin(a), pin(b), ", page: %d" % page if page else "",
                       *site(120, 80), *site(300, 200))
    write(os.path.join(folder, "hall.yaml"), text.encode())
    return subprocess.run([PROGRAM, "chart", os.path.join(folder, "hall.yaml"), "--out",
                           os.path.join(folder, out)], capture_output=True, text=True)


def marks(svg):
    """Middles of the anchors' rings, mm."""
    out = []
    for data in re.findall(r'<path class="ring"[^>]* d="([^"]*)"', svg):
        x = y = 0
        points = []
        for kind, numbers in re.findall(r"([Ml])([^Mlz]*)", data):
            values = [float(n) for n in numbers.split()]
            for u, v in zip(values[::2], values[1::2]):
                x, y = (u, v) if kind == "M" else (x + u, y + v)
                points.append((x, y))
        out.append((sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)))
    return out


def try_kind(folder, name, page=None):
    result = chart(folder, name, page)
    if result.returncode != 0:
        return ok("lies_right_" + name, result.stderr)
    with open(os.path.join(folder, "chart.svg"), encoding="utf-8") as file:
        svg = file.read()
    image = re.search(r'<image width="(\d+)" height="(\d+)"[^>]*matrix\(([^)]*)\)', svg)
    if image is None:
        return ok("lies_right_" + name, "there is no picture in the chart")
    width, height = int(image[1]), int(image[2])
    m = [float(n) for n in image[3].split()]
    all_marks, worst = marks(svg), 0
    for px, py in ((120, 80), (300, 200)):
        u, v = px * width / SIZE[0], py * height / SIZE[1]
        x, y = m[0] * u + m[2] * v + m[4], m[1] * u + m[3] * v + m[5]
        worst = max(worst, min((math.dist((x, y), mark) for mark in all_marks), default=99))
    ok("lies_right_" + name, "an anchor is %.3f mm off its place in the picture" % worst
       if worst > 0.05 else None)


def try_bad(folder, name, data, words, page=None):
    if data is not None:
        write(os.path.join(folder, name), data)
    out = os.path.join(folder, "bad.svg")
    began = time.monotonic()
    result = chart(folder, name, page, "bad.svg")
    took = time.monotonic() - began
    place = result.stderr.startswith(os.path.join(folder, "hall.yaml") + ":6:")
    ok("refused_" + name, None if result.returncode == 2 and place and words in result.stderr and
       not os.path.exists(out) and took < 20 else
       "status %d in %.1f s: %s" % (result.returncode, took, result.stderr))


with tempfile.TemporaryDirectory(prefix="a plan ") as folder:
    path = lambda name: os.path.join(folder, name)
    write(path("plan.png"), png())
    write(path("plan.svg"), SVG)
    write(path("plan.pdf"), pdf())
    subprocess.run(["gdal_translate", "-q", "-of", "JPEG", path("plan.png"), path("plan.jpg")], check=True)
    try_kind(folder, "plan.png")
    try_kind(folder, "plan.jpg")
    try_kind(folder, "plan.svg")
    try_kind(folder, "plan.pdf", page=2)
    whole = png()
    try_bad(folder, "none.png", None, "cannot be read")
    try_bad(folder, "empty.png", b"", "no PNG, JPEG, SVG or PDF")
    try_bad(folder, "words.png", b"a plan in words", "no PNG, JPEG, SVG or PDF")
    try_bad(folder, "cut.png", whole[:len(whole) // 2], "damaged")
    try_bad(folder, "huge.png", png(60000, 60000, b""), "40 million")
    try_bad(folder, "cut.jpg", b"\xff\xd8\xff\xe0" + b"\0" * 400, "damaged")
    try_bad(folder, "sizeless.svg", b"<svg xmlns='http://www.w3.org/2000/svg'></svg>", "no size")
    try_bad(folder, "askew.svg", SVG.replace(b"75mm", b"20mm"), "another shape")
    laughs = b"".join(b'<!ENTITY a%d "%s">' % (k + 1, b"&a%d;" % k * 10) for k in range(9))
    try_bad(folder, "laughs.svg", b'<!DOCTYPE svg [<!ENTITY a0 "ha">' + laughs + b"]>" +
            SVG.replace(b"</svg>", b"<text>&a9;</text></svg>"), "rsvg-convert")
    try_bad(folder, "two.pdf", pdf(), "", page=3)
    try_bad(folder, "cut.pdf", b"%PDF-1.4\nnothing", "pdfinfo")
sys.exit(failed)
