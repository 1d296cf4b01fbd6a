"""What a user would write in NumPy: one cell after the other, all its draws at once, closed-form
2x2 Gauss-Newton in float64, draws that have settled leave the active set. One process.

Called like the other timed programs: bench_numpy.py SCENARIO FILE. Knows the bench floor only: a 2d
tag, no obstacles, white noise. Start, stop and failure rules are those of the product; a step that
would raise the sum of squares is halved.
"""
import json
import math
import re
import sys
import time

import numpy as np

ITERATIONS = 25


def read_scenario(path):
    """The bench floor's few figures, by pattern: no YAML reader needed."""
    text = open(path, encoding="utf-8").read()

    def value(key):
        return json.loads(re.search(rf"\b{key}: *([-\d.\[\], ]*[\d\]])", text).group(1))

    outline = np.array(value("outline"), float)
    anchors = [json.loads(at) for at in re.findall(r"\bat: *(\[[^]]*\])", text)]
    return (outline, np.array(anchors, float), *map(value, ("height", "sigma", "range", "step",
                                                            "draws", "seed")))


def dot(a, b):
    """Sum over the anchors, for every draw; quicker than (a * b).sum(0)."""
    return np.einsum("ij,ij->j", a, b)


def sums(x, y, ax, ay, az2, rho, w, total):
    """Normal matrix, right side and sum of squares of every draw, the offset eliminated."""
    dx = x - ax
    dy = y - ay
    r = np.sqrt(dx * dx + dy * dy + az2)
    left = rho - r
    dx /= r
    dy /= r
    wx, wy, wl = w * dx, w * dy, w * left
    mx, my, ml = wx.sum(0), wy.sum(0), wl.sum(0)
    jxx = dot(wx, dx) - mx * mx / total
    jxy = dot(wx, dy) - mx * my / total
    jyy = dot(wy, dy) - my * my / total
    gx = dot(wx, left) - mx * ml / total
    gy = dot(wy, left) - my * ml / total
    return jxx, jxy, jyy, gx, gy, dot(wl, left) - ml * ml / total


def fix(anchors, rho, w):
    """Errors x, y of all draws (columns of rho); NaN where nothing settles."""
    ax, ay, az2 = anchors[:, :1], anchors[:, 1:2], anchors[:, 2:] ** 2
    n, total = rho.shape[1], w.sum()
    fx, fy = np.full(n, np.nan), np.full(n, np.nan)
    x, y = np.full(n, (w * ax).sum() / total), np.full(n, (w * ay).sum() / total)
    active, last = np.arange(n), np.full(n, np.inf)
    sx, sy = np.zeros(n), np.zeros(n)
    for _ in range(ITERATIONS):
        jxx, jxy, jyy, gx, gy, squares = sums(x, y, ax, ay, az2, rho, w, total)
        det = jxx * jyy - jxy * jxy
        rises = squares > last * (1 + 1e-10)
        nx, ny = (jyy * gx - jxy * gy) / det, (jxx * gy - jxy * gx) / det
        if rises.any():
            # Back by half of the step that brought it here.
            nx, ny = np.where(rises, -sx / 2, nx), np.where(rises, -sy / 2, ny)
            squares = np.where(rises, last, squares)
        x, y = x + nx, y + ny
        open_ = nx * nx + ny * ny >= 1e-8
        settled = ~open_
        if settled.any():
            good = settled & (det > 1e-12 * jxx * jyy)
            fx[active[good]], fy[active[good]] = x[good], y[good]
            active, rho = active[open_], rho[:, open_]
            if not active.size:
                break
            x, y, last, sx, sy = x[open_], y[open_], squares[open_], nx[open_], ny[open_]
        else:
            last, sx, sy = squares, nx, ny
    return fx, fy


def percentile(errors, q):
    rank = math.ceil(q * len(errors) - 1e-9) - 1
    value = np.partition(errors, rank)[rank]
    return value if np.isfinite(value) else np.nan


def assess_cell(spot, anchors, sigma, reach, low, high, draws, random):
    away = anchors - spot
    ranges = np.linalg.norm(away, axis=1)
    heard = ranges <= reach
    away, ranges = away[heard], ranges[heard, None]
    w = np.full((len(away), 1), 1 / sigma ** 2)
    x, y = fix(away, ranges + sigma * random.standard_normal((len(away), draws)), w)
    errors = np.hypot(x, y)
    px, py = x + spot[0], y + spot[1]
    errors[~((px >= low[0]) & (px <= high[0]) & (py >= low[1]) & (py <= high[1]))] = np.inf
    fixed = errors[np.isfinite(errors)]
    rms = math.sqrt(np.mean(fixed * fixed)) if fixed.size else np.nan
    return percentile(errors, 0.5), percentile(errors, 0.95), rms


def cells_of(outline, step):
    """Number and centre of every cell of a floor that fills its box, in the map's order."""
    low, high = outline.min(0), outline.max(0)
    nx, ny = (math.ceil(s / step - 1e-9) for s in high - low)
    for number in range(nx * ny):
        j, i = divmod(number, nx)
        yield number, low[0] + (i + 0.5) * step, low[1] + (j + 0.5) * step


def main():
    outline, anchors, height, sigma, reach, step, draws, seed = read_scenario(sys.argv[1])
    low, high = outline.min(0), outline.max(0)
    diagonal = math.hypot(*(high - low))
    random = np.random.Generator(np.random.SFC64(seed))
    began = time.perf_counter()
    p95 = []
    with np.errstate(invalid="ignore", divide="ignore"):
        for _, x, y in cells_of(outline, step):
            p95.append(assess_cell(np.array([x, y, height]), anchors, sigma, reach, low - diagonal,
                                   high + diagonal, draws, random)[1])
    seconds = time.perf_counter() - began
    np.savetxt(sys.argv[2], p95, fmt="%.9g")
    print(f"seconds {seconds:.6f}\nfixes {len(p95) * draws}")


if __name__ == "__main__":
    main()
