"""The sweep over exchanges in NumPy: sums of every candidate in float32 once, then for each of the
first twelve the sums without it, and to these every candidate's added: rank-one updates of whole
planes. One process. bench_exchange.py SCENARIO FILE; no obstacles, every link usable."""
import re
import sys
import time

import numpy as np

ANCHORS = 12
FAINT = np.float32(1e-3)


def main():
    text = open(sys.argv[1], encoding="utf-8").read()
    places = np.array([[float(v) for v in at.split(",")]
                       for at in re.findall(r"name: C\d+, at: \[([^]]*)\]", text)])
    side, step, need, sigma = 50, 0.5, 0.3, 0.1
    line = (np.arange(round(side / step)) + 0.5) * step
    x, y = (a.ravel() for a in np.meshgrid(line, line))
    delta = np.stack([x[:, None] - places[:, 0], y[:, None] - places[:, 1],
                      np.broadcast_to(1.0 - places[:, 2], (x.size, len(places)))])
    u = (delta / np.sqrt((delta ** 2).sum(0))).astype(np.float32)
    w = np.float32(1 / sigma ** 2)
    ux, uy = np.ascontiguousarray(u[0].T), np.ascontiguousarray(u[1].T)
    planes = np.stack([np.full_like(ux, w), w * ux, w * uy, w * ux * ux, w * ux * uy,
                       w * uy * uy], 1)
    prior = np.array([1, 0, 0, 1 / 3, 0, 1 / 3], np.float32)[:, None] * w * FAINT
    flat = np.float32(-np.log(0.05) / need ** 2)
    best, score = 1e9, np.empty((ANCHORS, len(places)))
    for _ in range(3):
        began = time.perf_counter()
        total = prior + planes[:ANCHORS].sum(0)
        for slot in range(ANCHORS):
            left = total - planes[slot]
            for c in range(len(places)):
                sw, sx, sy, sxx, sxy, syy = left + planes[c]
                xx, xy, yy = sw * sxx - sx * sx, sw * sxy - sx * sy, sw * syy - sy * sy
                above = (flat * sw * (xx + yy)) ** 2
                below = (xx * yy - xy * xy) ** 2
                score[slot, c] = (above / (above + below)).sum()
        best = min(best, time.perf_counter() - began)
    np.savetxt(sys.argv[2], score.ravel())
    print(f"seconds {best:.6f}\nfixes {score.size * x.size}")


main()
