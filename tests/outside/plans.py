"""Made plans: DXF texts of halls whose walls, outline, unit and rooms are known.

Every drawing is named by a number, which decides unit, header, turn, grid, code page and mess."""

import math
import random

UNITS = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048}
CODES = {"in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6}
WALLS = [("A-WALL", "ascii"), ("Wände", "cp1252"), ("Ściany", "cp1250"), ("cloisons", "ascii"),
         ("TABIQUE", "ascii"), ("PartitionWalls", "ascii")]
ROOMS = [("Lackiererei Süd", "cp1252"), ("склад колёс", "cp1251"), ("塗装工場", "cp932")]


class Plan:
    """Pairs of a DXF that is being drawn, in metres of the site until they are written."""

    def __init__(self, number):
        self.r = random.Random(number)
        self.number = number
        r = self.r
        self.unit = list(UNITS)[number % 5]
        self.header = ["right", "missing", "wrong"][number % 3]
        self.turn = r.uniform(-40, 40) if number % 2 else 0.0
        self.grid = (3.5e6 + r.uniform(0, 99), 5.8e6 + r.uniform(0, 99)) if number % 4 == 1 else (0, 0)
        self.modern = number % 3 != 1
        self.handles = number % 6 != 4
        self.wall_layer, self.page = WALLS[number % len(WALLS)]
        self.room, room_page = ROOMS[number % 3]
        if self.page == "ascii":
            self.page = room_page
        if self.modern and number % 2:
            self.page = "utf-8"
        try:
            self.room.encode(self.page)
        except UnicodeEncodeError:
            self.room = "".join(c if ord(c) < 128 else "\\U+%04X" % ord(c) for c in self.room)
        self.room_name = ROOMS[number % 3][0]
        self.lines, self.blocks, self.handle = [], [], 0x100
        self.truth, self.curves = [], []
        self.eol = ["\n", "\r\n"][number % 2]

    # --- writing ---

    def at(self, x, y):
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        u = UNITS[self.unit]
        return (self.grid[0] + c * x - s * y) / u, (self.grid[1] + s * x + c * y) / u

    def pairs(self, *pairs):
        return [item for code, value in pairs for item in ("%3d" % code, str(value))]

    def entity(self, kind, layer, *pairs):
        head = [(0, kind)]
        if self.handles:
            self.handle += 1
            head.append((5, "%X" % self.handle))
        if self.modern:
            head.append((100, "AcDbEntity"))
        return self.pairs(*head, (8, layer), *pairs)

    def line(self, layer, a, b, place=None):
        place = place or self.at
        (x0, y0), (x1, y1) = place(*a), place(*b)
        return self.entity("LINE", layer, (10, "%.9f" % x0), (20, "%.9f" % y0), (30, 0),
                           (11, "%.9f" % x1), (21, "%.9f" % y1), (31, 0))

    def arc(self, layer, centre, radius, from_deg, to_deg):
        x, y = self.at(*centre)
        return self.entity("ARC", layer, (10, "%.9f" % x), (20, "%.9f" % y), (30, 0),
                           (40, "%.9f" % (radius / UNITS[self.unit])),
                           (50, "%.9f" % (from_deg + self.turn)), (51, "%.9f" % (to_deg + self.turn)))

    def polyline(self, layer, corners):
        out = self.entity("POLYLINE", layer, (66, 1), (70, 1))
        for corner in corners:
            x, y = self.at(*corner)
            out += self.entity("VERTEX", layer, (10, "%.9f" % x), (20, "%.9f" % y), (30, 0))
        return out + self.entity("SEQEND", layer)

    def text(self, layer, at, text, height=0.25):
        x, y = self.at(*at)
        return self.entity("TEXT", layer, (10, "%.9f" % x), (20, "%.9f" % y), (30, 0),
                           (40, "%.6f" % (height / UNITS[self.unit])), (1, text))

    def insert(self, layer, block, at, scale=(1, 1), angle=0.0):
        x, y = self.at(*at)
        return self.entity("INSERT", layer, (2, block), (10, "%.9f" % x), (20, "%.9f" % y), (30, 0),
                           (41, scale[0]), (42, scale[1]), (50, "%.9f" % (angle + self.turn)))

    # --- drawing ---

    def face(self, a, b):
        """One face of a wall as people draw it: in pieces, doubled, an end a little open."""
        r = self.r
        length = math.dist(a, b)
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        cuts = [r.uniform(0, 0.01) * (r.random() < 0.3)]
        if r.random() < 0.4:
            cuts.append(length * r.uniform(0.3, 0.7))
        cuts.append(length - r.uniform(0, 0.01) * (r.random() < 0.3))
        pieces = []
        for t0, t1 in zip(cuts, cuts[1:]):
            if r.random() < 0.3 and t1 < length - 0.5:
                t1 += 0.3
            p = lambda t: (a[0] + u[0] * t, a[1] + u[1] * t)
            pieces.append((p(t0), p(t1)) if r.random() < 0.5 else (p(t1), p(t0)))
            if r.random() < 0.15:
                pieces.append(pieces[-1])
        if r.random() < 0.2:
            pieces.append((a, a))
        self.faces += pieces

    def hall(self):
        r = self.r
        self.faces = []
        w, d = r.uniform(20, 60), r.uniform(18, 40)
        w, d = round(w, 2), round(d, 2)
        t0 = r.choice([0.24, 0.3, 0.365, 0.4])
        self.size, self.outer = (w, d), t0
        corners = [(0, 0), (w, 0), (w, d), (0, d)]
        outside = [(-t0, -t0), (w + t0, -t0), (w + t0, d + t0), (-t0, d + t0)]
        middle = [(-t0 / 2, -t0 / 2), (w + t0 / 2, -t0 / 2), (w + t0 / 2, d + t0 / 2),
                  (-t0 / 2, d + t0 / 2)]
        for k in range(4):
            self.face(outside[k], outside[(k + 1) % 4])
            self.truth.append((middle[k], middle[(k + 1) % 4], t0))
        n = r.randint(2, 4)
        self.walls_x = [round(w * (k + 1) / (n + 1) + r.uniform(-1, 1), 3) for k in range(n)]
        thick = [r.choice([0.06, 0.1, 0.115, 0.15, 0.2]) for _ in range(n)]
        # The inner faces of the outer walls are interrupted where a partition meets them.
        for k, (a, b) in enumerate(zip(corners, corners[1:] + corners[:1])):
            stops = sorted((x - t / 2, x + t / 2) for x, t in zip(self.walls_x, thick))
            if k in (1, 3):
                self.face(a, b)
                continue
            x = 0
            for left, right in stops + [(w, w)]:
                y = 0 if k == 0 else d
                self.face((x, y), (left, y))
                x = right
        self.doors = []
        for x, t in zip(self.walls_x, thick):
            door, y = r.choice([0.8, 0.9, 1.0]), round(r.uniform(4, d - 5), 3)
            for y0, y1 in ((0, y), (y + door, d)):
                for side in (-1, 1):
                    self.face((x + side * t / 2, y0), (x + side * t / 2, y1))
                end0 = -t0 / 2 if y0 == 0 else y0
                end1 = d + t0 / 2 if y1 == d else y1
                self.truth.append(((x, end0), (x, end1), t))
            for jamb in (y, y + door):
                self.faces.append(((x - t / 2, jamb), (x + t / 2, jamb)))
            self.doors.append((x, y, door))

    def curve(self):
        """A double wall round a quarter of a circle, away from all others."""
        left = self.walls_x[0]
        radius = min(3.0, left / 2 - 1)
        centre, t = (left / 2, self.size[1] / 2), 0.2
        self.curves.append((centre, radius, 200, 340, t))
        return self.arc(self.wall_layer, centre, radius - t / 2, 200, 340) + \
            self.arc(self.wall_layer, centre, radius + t / 2, 200, 340)

    def make(self):
        self.hall()
        out, block = [], []
        mirrored = self.number % 2 == 0
        for k, (a, b) in enumerate(self.faces):
            if mirrored and k % 3 == 0:
                # In a block that is mirrored inside another block, about its own y axis.
                place = lambda x, y: (-x / UNITS[self.unit], y / UNITS[self.unit])
                block += self.line("0", a, b, place)
            else:
                out += self.line(self.wall_layer, a, b)
        blocks = []
        if block:
            blocks += self.block("INNER", block)
            nested = self.entity("INSERT", self.wall_layer, (2, "INNER"), (10, 0), (20, 0), (30, 0),
                                 (41, -1), (42, 1))
            blocks += self.block("PART", nested)
            out += self.insert(self.wall_layer, "PART", (0, 0))
        leaf = self.entity("LINE", "0", (10, 0), (20, 0), (30, 0), (11, 1), (21, 0), (31, 0)) + \
            self.entity("ARC", "0", (10, 0), (20, 0), (30, 0), (40, 1), (50, 0), (51, 90))
        blocks += self.block("DOORLEAF", leaf)
        for x, y, door in self.doors:
            scale = door / UNITS[self.unit]
            out += self.insert("A-DOOR", "DOORLEAF", (x, y), (scale, scale), 90)
        if self.number % 3 == 0:
            out += self.curve()
        w, d = self.size
        out += self.line("OLD-WALL", (1, 2), (w - 1, 2)) + self.line("OLD-WALL", (1, 2.2), (w - 1, 2.2))
        zone = [(1, 1), (5, 1), (5, 3.5), (1, 3.5)]
        self.zone = zone
        out += self.polyline("ROOMS", zone) + self.text("ROOMS", (2, 2), self.room)
        out += self.text("NOTES", (w / 2, -3), "hall %d" % self.number)
        return self.whole(out, blocks)

    def block(self, name, entities):
        return self.pairs((0, "BLOCK"), (8, "0"), (2, name), (70, 0), (10, 0), (20, 0), (30, 0),
                          (3, name)) + entities + self.pairs((0, "ENDBLK"), (8, "0"))

    def whole(self, entities, blocks):
        version = "AC1009" if not self.modern else "AC1021" if self.page == "utf-8" else "AC1015"
        unit = {"right": CODES[self.unit], "missing": None,
                "wrong": CODES["in" if self.unit != "in" else "mm"]}[self.header]
        page = {"ascii": "ANSI_1252", "utf-8": "ANSI_1252"}.get(self.page, "ANSI_" + self.page[2:])
        head = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, version), (9, "$DWGCODEPAGE"),
                (3, page)]
        if unit is not None:
            head += [(9, "$INSUNITS"), (70, unit)]
        head += [(0, "ENDSEC"), (0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, 9)]
        for layer in ("0", self.wall_layer, "A-DOOR", "ROOMS", "NOTES", "OLD-WALL"):
            head += [(0, "LAYER"), (2, layer), (70, 1 if layer == "OLD-WALL" else 0), (62, 7),
                     (6, "CONTINUOUS")]
        head += [(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "BLOCKS")]
        items = self.pairs(*head) + blocks + self.pairs((0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")) \
            + entities + self.pairs((0, "ENDSEC"), (0, "EOF"))
        return (self.eol.join(items) + self.eol).encode(self.page if self.page != "ascii" else "ascii",
                                                        "replace")
