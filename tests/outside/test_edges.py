"""The loss over one to four edges against the same integral computed otherwise: on a contour turned by
30 degrees instead of 45, by panels instead of squared nodes; two edges besides by Plackett's identity
(Biometrika 41:351, 1954, from memory) continued to the Fresnel integral, one by SciPy's Fresnel
integrals. With a number, so many cases of each. Prints "ok - name" or "not ok - name"."""
import os
import subprocess
import sys

import numpy as np
from scipy.integrate import quad
from scipy.special import fresnel

LAMBDA = 299792458 / 6489.6e6
K = 2 * np.pi / LAMBDA
NEAR = 0.1  # dB
TURN = np.exp(-1j * np.pi / 6)
CASES = sys.argv[1] if len(sys.argv) > 1 else "10"


def field(v):
    """Share of the field over one edge, v its clearance in Fresnel's measure, below 0 if clear."""
    s, c = fresnel(v)
    return (1 + 1j) / 2 * ((0.5 - c) - 1j * (0.5 - s))


def contour(reach, ridge):
    """Points and weights on (0, reach): panels of 16 Gauss-Legendre nodes as wide as a ridge."""
    panels = int(np.clip(np.ceil(reach / ridge / 3), 6, 60))
    at, weight = np.polynomial.legendre.leggauss(16)
    edges = np.linspace(0, reach, panels + 1)
    wide = np.diff(edges)[:, None]
    return (edges[:-1, None] + wide * (at + 1) / 2).ravel(), (wide * weight / 2).ravel()


def over(legs, bends, sides):
    n, total = len(bends), sum(legs)
    before, values, points = None, None, None
    for i in range(n):
        near, far = sum(legs[:i + 1]), sum(legs[i + 1:])
        # Edges passed closely lift the ridge; bends into the shadow only shorten what counts.
        lift = sum(abs(min(b, 0)) * min(near, far) for b in bends)
        reach = np.sqrt(2 * 30 * near * far / (near + far) / K / np.sin(np.pi / 3)) + 2 * lift
        points, weights = contour(reach, np.sqrt(min(legs[i], legs[i + 1]) / K))
        own = sides[i] * points * TURN
        bend = np.exp(-1j * K * sides[i] * bends[i] * own)
        if i == 0:
            sums = np.exp(-1j * K * own ** 2 / (2 * legs[0]))
        else:
            sums = np.exp(-1j * K * (own[:, None] - before[None, :]) ** 2 / (2 * legs[i])) @ values
        before, values = own, bend * sums * weights * TURN
    whole = np.sum(values * np.exp(-1j * K * before ** 2 / (2 * legs[n])))
    return whole / (np.sqrt((2 * np.pi / K) ** n * np.prod(legs) / total) * np.exp(-1j * np.pi * n / 4))


def over_two(legs, bends, sides):
    """Both heights measured from the straight line, each bend back to a height by the polyline."""
    a, b, c = legs
    slope = np.linalg.solve([[1 / a + 1 / b, -sides[0] * sides[1] / b], [-sides[0] * sides[1] / b, 1 / b + 1 / c]], bends)
    d = a + b + c
    v = [h * np.sqrt(2 * d / (LAMBDA * x * (d - x))) for h, x in zip(slope, (a, a + b))]
    rho = sides[0] * sides[1] * np.sqrt(a * c / ((a + b) * (b + c)))

    def integrand(u):
        sine = np.tanh(u)
        square = 1 - sine ** 2
        return np.exp(-0.5j * np.pi * (v[0] ** 2 - 2 * v[0] * v[1] * sine + v[1] ** 2) / square) * np.sqrt(square)

    end = np.arctanh(rho)
    part = [quad(lambda u, f=f: f(integrand(u)), 0, end, limit=2000, epsabs=1e-9)[0] for f in (np.real, np.imag)]
    return field(v[0]) * field(v[1]) + complex(*part) / (2 * np.pi)


def decibels(share):
    return -20 * np.log10(abs(share))


def main():
    program = os.path.join(os.environ.get("BUILD", "build"), "tests", "dump_edges")
    rows = subprocess.run([program, CASES], capture_output=True, text=True, check=True).stdout.splitlines()
    off = {name: [] for name in ("one", "two", "three", "four", "two_by_plackett")}
    for row in rows:
        n, *numbers = row.split()
        n, numbers = int(n), [float(x) for x in numbers]
        legs, bends, sides, db = numbers[:n + 1], numbers[n + 1:2 * n + 1], numbers[2 * n + 1:-1], numbers[-1]
        if n == 1:
            v = bends[0] * np.sqrt(2 * legs[0] * legs[1] / (LAMBDA * sum(legs)))
            off["one"].append(decibels(field(v)) - db)
            continue
        off[("one", "two", "three", "four")[n - 1]].append(decibels(over(legs, bends, sides)) - db)
        if n == 2:
            off["two_by_plackett"].append(decibels(over_two(legs, bends, sides)) - db)
    failed = False
    for name, values in off.items():
        worst = np.max(np.abs(values))
        good = len(values) == int(CASES) and worst < NEAR
        failed = failed or not good
        print(f"{'ok' if good else 'not ok'} - {name}_cost_what_another_quadrature_says"
              + ("" if good and CASES == "10" else f": {len(values)} cases, at most {worst:.3f} dB apart"))
    return failed


raise SystemExit(main())
