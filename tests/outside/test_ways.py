"""Shortest ways round boxes against a visibility graph: every edge sampled each 0.15 m, all pairs of
samples that see each other, Dijkstra, and the points of the way found slid along their edges. With a
number, so many halls of standing and of hung boxes. Prints "ok - name" or "not ok - name"."""
import os
import subprocess
import sys

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

STEP = 0.15
NEAR = 0.002
SHRUNK = 1e-4
CASES = sys.argv[1] if len(sys.argv) > 1 else "20"


class Box:
    def __init__(self, x, y, half_width, half_depth, turn, base, top):
        self.hangs = base > 0.001
        base = base if self.hangs else -1.0  # no sample on the floor slips below it
        self.middle = np.array([x, y, (base + top) / 2])
        self.half = np.array([half_width, half_depth, (top - base) / 2])
        c, s = np.cos(turn), np.sin(turn)
        self.turn = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])

    def blocks(self, a, b):
        """Whether segments a-b, of shape (n, 3), run inside, all faces moved in by SHRUNK."""
        p, q = (a - self.middle) @ self.turn.T, (b - self.middle) @ self.turn.T
        d = q - p
        with np.errstate(divide="ignore", invalid="ignore"):
            one, other = ((sign * (self.half - SHRUNK) - p) / d for sign in (-1, 1))
        flat = np.abs(d) < 1e-12
        outside = flat & (np.abs(p) >= self.half - SHRUNK)
        begin = np.where(flat, -np.inf, np.minimum(one, other)).max(axis=1)
        end = np.where(flat, np.inf, np.maximum(one, other)).min(axis=1)
        begin, end = np.maximum(begin, 0), np.minimum(end, 1)
        return (begin < end - 1e-9) & ~outside.any(axis=1)

    def edges(self):
        """Pairs of corners: four upright, four of the top, four of the underside if it hangs."""
        def corner(i, z):
            x, y = ((-1, -1), (1, -1), (1, 1), (-1, 1))[i % 4]
            return self.middle + (self.half * (x, y, z)) @ self.turn
        above = np.array([-np.inf, -np.inf, 0])
        return ([(np.maximum(corner(i, -1), above), corner(i, 1)) for i in range(4)]
                + [(corner(i, 1), corner(i + 1, 1)) for i in range(4)]
                + [(corner(i, -1), corner(i + 1, -1)) for i in range(4) if self.hangs])


def free(boxes, a, b):
    seen = np.ones(len(a), bool)
    for box in boxes:
        seen &= ~box.blocks(a, b)
    return seen


def length_of(points):
    return np.linalg.norm(np.diff(points, axis=0), axis=1).sum()


def is_free(boxes, points):
    return free(boxes, points[:-1], points[1:]).all()


def by_graph(boxes, a, b, limit):
    """Length of the shortest way found that is no longer than limit; infinity if there is none."""
    points, owner, edges = [a, b], [-1, -1], []
    for box in boxes:
        for c, d in box.edges():
            n = max(2, int(np.ceil(np.linalg.norm(d - c) / STEP)) + 1)
            for q in np.linspace(c, d, n):
                if np.linalg.norm(q - a) + np.linalg.norm(q - b) <= limit:
                    points.append(q)
                    owner.append(len(edges))
            edges.append((c, d))
    points = np.array(points)
    i, k = np.triu_indices(len(points), 1)
    seen = np.concatenate([free(boxes, points[i[m:m + 200000]], points[k[m:m + 200000]])
                           for m in range(0, len(i), 200000)])
    i, k = i[seen], k[seen]
    far = np.linalg.norm(points[i] - points[k], axis=1)
    graph = csr_matrix((np.maximum(far, 1e-12), (i, k)), shape=(len(points),) * 2)
    lengths, last = dijkstra(graph, directed=False, indices=0, return_predecessors=True)
    if not np.isfinite(lengths[1]):
        return np.inf
    way = [1]
    while way[-1] != 0:
        way.append(last[way[-1]])
    on = [edges[owner[w]] for w in reversed(way[1:-1])]
    starts = [np.linalg.norm(points[w] - edges[owner[w]][0]) / np.linalg.norm(np.subtract(*edges[owner[w]]))
              for w in reversed(way[1:-1])]

    def laid(t):
        return np.array([a] + [c + s * (d - c) for s, (c, d) in zip(t, on)] + [b])

    best = minimize(lambda t: length_of(laid(t)), starts, bounds=[(0, 1)] * len(on), method="L-BFGS-B",
                    options={"ftol": 1e-12}).x if on else []
    return length_of(laid(best)) if is_free(boxes, laid(best)) else lengths[1]


def halls():
    program = os.path.join(os.environ.get("BUILD", "build"), "tests", "dump_ways")
    text = subprocess.run([program, CASES], capture_output=True, text=True, check=True).stdout
    for hall in text.split("hall ")[1:]:
        head, *lines = hall.splitlines()
        boxes = [Box(*map(float, line.split()[1:])) for line in lines[:-1]]
        numbers = list(map(float, lines[-1].split()[1:]))
        points = np.array(numbers[8:]).reshape(-1, 3)
        yield head.split()[0], boxes, np.array(numbers[:3]), np.array(numbers[3:6]), numbers[6], points


def main():
    found = {kind: [] for kind in ("standing", "hung")}
    wrong = []
    for kind, boxes, a, b, length, points in halls():
        limit = length + 0.05 if length > 0 else np.inf
        if length > 0:
            way = np.vstack([a, points, b])
            if abs(length_of(way) - length) > 1e-9 or not is_free(boxes, way):
                wrong.append(f"{kind}: the way of {length:.3f} m runs into a box or is not that long")
        graph = by_graph(boxes, a, b, limit)
        found[kind].append((length if length > 0 else np.inf) - graph if np.isfinite(graph) else 0.0)
    failed = bool(wrong)
    print(f"{'not ok' if wrong else 'ok'} - ways_are_free_and_as_long_as_they_say", *wrong)
    for kind, off in found.items():
        share = np.mean(np.array(off) <= NEAR)
        good = len(off) == int(CASES) and share >= 0.995
        failed = failed or not good
        print(f"{'ok' if good else 'not ok'} - {kind}_boxes_are_gone_round_the_shortest_way"
              + ("" if good and CASES == "20" else
                 f": {len(off)} links, {np.sum(np.array(off) > NEAR)} longer than the graph's, {max(off):.4f} m at most"))
    return failed


raise SystemExit(main())
