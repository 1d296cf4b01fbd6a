"""Holds the product against NumPy and SciPy, which share no line with it.

1. The fix: scipy.optimize.least_squares (MINPACK's Levenberg-Marquardt) on the same measurements,
   once with the common offset as an unknown, once as time differences whitened by their full
   covariance.
2. The cells of two small scenarios: usable anchors, DOP, bound and bias from normal matrices with
   the offset as a column; percentiles from a Monte Carlo with other random numbers.
3. Numbers in CSV and JSON: the shortest text that reads back.

Prints "ok - name" or "not ok - name" lines; names stand for sentences.
"""
import csv
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from decimal import Decimal

import numpy as np
from scipy.linalg import cholesky, solve_triangular
from scipy.optimize import least_squares

PROGRAM = os.environ["PROGRAM"]
PROBES = os.path.join(os.environ["BUILD"], "tests")
failed = False


def judge(name, problems):
    """One result line; `problems` lists what is wrong."""
    global failed
    print(("not ok - " if problems else "ok - ") + name, flush=True)
    for problem in problems[:5]:
        print(f"    {name}: {problem}", file=sys.stderr)
    failed = failed or bool(problems)


# --- 1. the fix ---

SAME_FIX = 1e-4  # m: the product ends a descent with a step shorter than this
APART = 5e-3  # m: roots nearer than this are one root
AT_REST = 1e-5  # m: a Gauss-Newton step from where SciPy ended is shorter
# Shares of the cases, stated before the first run. Two solvers that start at one place may still
# end in two roots, more often in 3d, where a mirror root lies behind the anchors' mean plane.
SECOND_ROOTS = {2: 0.01, 3: 0.05}
NOT_FOUND = {2: 0.01, 3: 0.02}
# Of these, cases where SciPy's root lies inside the site and the product's does not; and fixes that
# are not within SAME_FIX because the descent is slow (slack() over 1).
MISSED = 0.01
SLOW = 0.01


class Case:
    def __init__(self, head, rows, fix):
        self.dims, n = int(head[1]), int(head[2])
        self.floor, self.ceiling, *box = map(float, head[3:])
        self.low, self.high = np.array(box[:2]), np.array(box[2:])
        table = np.array(rows, float)
        assert table.shape == (n, 5)
        self.anchors, self.weights, self.rho = table[:, :3], table[:, 3], table[:, 4]
        self.found, self.ambiguous = fix[1] == "1", fix[2] == "1"
        self.at, self.offset, self.squares = np.array(fix[3:6], float), float(fix[6]), float(fix[7])
        # The documented start: weighted centroid, in 3d on the floor.
        self.start = np.average(self.anchors, axis=0, weights=self.weights)[:self.dims]
        if self.dims == 3:
            self.start[2] = self.floor

    def ranges(self, x):
        at = np.zeros(3)
        at[:self.dims] = x
        ahead = at - self.anchors
        r = np.linalg.norm(ahead, axis=1)
        return r, (ahead / r[:, None])[:, :self.dims]

    def residuals(self, unknown):
        r, _ = self.ranges(unknown[:-1])
        return np.sqrt(self.weights) * (self.rho - r - unknown[-1])

    def slopes(self, unknown):
        _, u = self.ranges(unknown[:-1])
        return -np.sqrt(self.weights)[:, None] * np.column_stack([u, np.ones(len(u))])

    def gauss_newton_step(self, unknown):
        """Length of the next step of a plain descent: 0 where the gradient is."""
        s = np.linalg.lstsq(self.slopes(unknown), self.residuals(unknown), rcond=None)[0]
        return np.linalg.norm(s[:-1])

    def hessian(self, unknown):
        """Half the second derivative of the sum of squares, curvature of the ranges included:
        that of |x - a| is (I - u u^T) / r."""
        r, u = self.ranges(unknown[:-1])
        j, d = self.slopes(unknown), self.dims
        h = j.T @ j
        pull = np.sqrt(self.weights) * self.residuals(unknown) / r
        h[:d, :d] -= np.sum(pull) * np.eye(d) - (u.T * pull) @ u
        return h

    def slack(self, unknown):
        """How far from a root a plain descent may stop, as a multiple of its last step s: the
        gradient it stepped on was J s, which the root cancels at the distance H^-1 J s."""
        d, j = self.dims, self.slopes(unknown)
        h = np.linalg.inv(self.hessian(unknown))[:d, :d]
        j = np.linalg.inv(np.linalg.inv(j.T @ j)[:d, :d])  # the offset eliminated
        return np.linalg.norm(h @ j - np.eye(d), 2)

    def is_inside(self, x):
        plan = np.all(x[:2] >= self.low) and np.all(x[:2] <= self.high)
        return plan and (self.dims == 2 or self.floor <= x[2] <= self.ceiling)


def read_cases():
    text = subprocess.run([os.path.join(PROBES, "dump_fixes")], check=True, text=True,
                          capture_output=True).stdout
    rows, head = [], None
    for line in text.splitlines():
        words = line.split()
        if words[0] == "case":
            rows, head = [], words
        elif words[0] == "fix":
            yield Case(head, rows, words)
        else:
            rows.append(words)


TIGHT = dict(method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14, max_nfev=2000)


def solve_with_offset(case, start, _):
    r, _ = case.ranges(start)
    offset = np.average(case.rho - r, weights=case.weights)
    return least_squares(case.residuals, np.append(start, offset), case.slopes, **TIGHT).x


def solve_differences(case, start, reference):
    """Time differences against one anchor, whitened by their covariance, which is full."""
    others = np.arange(len(case.rho)) != reference
    variance = 1 / case.weights
    covariance = np.diag(variance[others]) + variance[reference]
    root = cholesky(covariance, lower=True)
    measured = (case.rho - case.rho[reference])[others]

    def residuals(x):
        r, _ = case.ranges(x)
        return solve_triangular(root, measured - (r - r[reference])[others], lower=True)

    def slopes(x):
        _, u = case.ranges(x)
        return -solve_triangular(root, (u - u[reference])[others], lower=True)

    x = least_squares(residuals, start, slopes, **TIGHT).x
    r, _ = case.ranges(x)
    return np.append(x, np.average(case.rho - r, weights=case.weights))


def second_root(case, ours, theirs):
    """Why two different places are both right: a kind, or a sentence that speaks against it."""
    off = np.linalg.norm(ours[:-1] - theirs[:-1])
    if off < APART:
        slack = case.slack(theirs)
        if off <= SAME_FIX * slack:
            return "slow"
        return (f"{off:.7f} m apart in one root where {slack * SAME_FIX:.7f} could be, "
                f"next step {case.gauss_newton_step(ours):.7f} m")
    if case.gauss_newton_step(ours) > SAME_FIX or case.gauss_newton_step(theirs) > AT_REST:
        return f"{off:.3g} m apart, not both are roots"
    if min(np.linalg.eigvalsh(case.hessian(x))[0] for x in (ours, theirs)) <= 0:
        return f"{off:.3g} m apart, not both are minima"
    cost = [np.sum(case.residuals(x) ** 2) for x in (ours, theirs)]
    inside = [case.is_inside(x[:-1]) for x in (ours, theirs)]
    if inside[1] and not inside[0]:
        return "missed"
    # The rule: roots inside the site stand; among those that do, any within 4 of the least.
    if inside[0] == inside[1] and cost[0] > cost[1] + 4 + 1e-6:
        return f"{off:.3g} m apart, ours costs {cost[0]:.6g}, theirs {cost[1]:.6g}"
    return "second"


def compare(case, theirs, counts):
    """Counts the kind of a difference; returns what cannot be explained, or None."""
    ours = np.append(case.at[:case.dims], case.offset)
    if np.linalg.norm(theirs[:-1] - ours[:-1]) > SAME_FIX:
        reason = second_root(case, ours, theirs)
        if reason not in counts:
            return reason
        counts[reason] += 1
    elif abs(theirs[-1] - ours[-1]) > 2 * SAME_FIX:
        return f"offset {ours[-1]} against {theirs[-1]}"
    return None


def hold_against(cases, solve, name):
    for dims in 2, 3:
        mine = [c for c in cases if c.dims == dims and c.found]
        counts, problems = {"second": 0, "missed": 0, "slow": 0, "lost": 0}, []
        for i, case in enumerate(mine):
            theirs = solve(case, case.start, i % len(case.rho))
            if case.gauss_newton_step(theirs) > AT_REST:
                # SciPy walked off: it has to find a root from the true place, and is counted.
                counts["lost"] += 1
                theirs = solve(case, np.zeros(dims), i % len(case.rho))
            reason = compare(case, theirs, counts)
            if reason:
                problems.append(f"{dims}d case {i}: {reason}")
        limits = {"missed": MISSED, "slow": SLOW}
        for kind, count in counts.items():
            if kind in limits and count > limits[kind] * len(mine):
                problems.append(f"{dims}d: {count} of {len(mine)} {kind}")
        if counts["second"] + counts["missed"] + counts["lost"] > SECOND_ROOTS[dims] * len(mine):
            problems.append(f"{dims}d: other roots in {counts} of {len(mine)}")
        print(f"{name.format(dims)}: {len(mine)} cases, {counts}", file=sys.stderr)
        judge(name.format(dims), problems)


def test_fixes():
    cases = list(read_cases())
    problems = []
    for dims in 2, 3:
        lost = sum(c.dims == dims and not c.found for c in cases)
        if lost > NOT_FOUND[dims] * sum(c.dims == dims for c in cases):
            problems.append(f"{lost} cases of {dims}d without a fix")
    judge("nearly every ragged case has a fix", problems)
    judge("the fix reports its own sum of squares",
          [f"{c.squares} against {want}" for c in cases if c.found for want in
           [np.sum(c.residuals(np.append(c.at[:c.dims], c.offset)) ** 2)]
           if abs(c.squares - want) > 1e-4 * max(1, want)])
    hold_against(cases, solve_with_offset,
                 "scipy with the offset as an unknown finds the same {}d fix")
    hold_against(cases, solve_differences,
                 "scipy with whitened differences finds the same {}d fix")


# --- 2. the cells ---

AGREE = 1e-9
# Built-in figures the 2d bay relies on: ITU-R P.2040-3 slab, channel 5, normal incidence.
BRICK = {"loss_db": 4.0, "delay": 0.108}

# Ragged on purpose: a wall that delays, a crane that hides, every error term of its own size.
BAY_2D = {
    "anchorwise": 1, "title": "Ragged bay",
    "floor": {"outline": [[0.3, -1.2], [41.7, -1.2], [41.7, 17.9], [23.1, 17.9], [23.1, 29.6],
                          [0.3, 29.6]], "ceiling": 8.4},
    "materials": {"crane": {"loss_db": 31, "delay": 0.6}},
    "walls": [{"name": "shell", "path": [[13.4, 2.2], [15.9, 13.7], [22.3, 14.1]],
               "thickness": 0.24, "base": 0.2, "top": 4.6, "material": "brick"}],
    "obstacles": [{"name": "crane", "footprint": [[28.3, 6.1], [34.9, 7.3], [34.3, 9.8],
                                                  [27.7, 8.9]],
                   "base": 0, "top": 3.3, "material": "crane"}],
    "anchors": [[0.9, -0.7, 5.2], [20.6, -0.9, 6.1], [41.1, 0.4, 4.7], [39.8, 17.2, 6.6],
                [22.4, 28.8, 5.9], [1.6, 29.1, 7.3], [1.1, 13.3, 4.4], [18.7, 11.9, 7.9]],
    "tags": [{"name": "tag", "height": 1.13, "height_sigma": 0.21, "fix": "2d"}],
    "ranging": {"sigma": 0.083, "spot_sigma": 0.146, "tail_share": 0.17, "tail_sigma": 0.47,
                "survey_sigma": 0.031, "delay_sigma": 0.052, "range": 27.5, "budget_db": 12},
    "study": {"step": 1.07, "draws": 20000, "seed": 20260117},
}
BAY_3D = {
    "anchorwise": 1, "title": "Ragged shaft",
    "floor": {"outline": [[0, 0], [19.3, 0.4], [18.1, 14.6], [-1.2, 13.9]], "ceiling": 11.3},
    "anchors": [[0.4, 0.7, 0.6], [18.4, 1.3, 10.9], [17.2, 13.8, 1.4], [-0.3, 13.1, 10.2],
                [8.8, 0.6, 11.1], [9.7, 14.0, 5.3], [0.1, 6.6, 7.7]],
    "tags": [{"name": "tag", "height": 2.37, "height_sigma": 0, "fix": "3d"}],
    "ranging": {"sigma": 0.061, "spot_sigma": 0.058, "tail_share": 0, "tail_sigma": 0,
                "survey_sigma": 0.017, "delay_sigma": 0.024, "range": 18.9, "budget_db": 20},
    "study": {"step": 0.83, "draws": 20000, "seed": 77},
}


class Bay:
    """What a scenario says, computed without the product: plain NumPy, all cells at once."""

    def __init__(self, scenario):
        named = [{"name": f"N{i}", "at": at} for i, at in enumerate(scenario["anchors"])]
        self.text = json.dumps({**scenario, "anchors": named})  # which is YAML, too
        self.anchors, self.outline = np.array(scenario["anchors"]), scenario["floor"]["outline"]
        tag, self.ranging, study = scenario["tags"][0], scenario["ranging"], scenario["study"]
        self.dims, self.height, self.rise = int(tag["fix"][0]), tag["height"], tag["height_sigma"]
        self.step, self.draws = study["step"], study["draws"]
        materials = {"brick": BRICK, **scenario.get("materials", {})}
        # Each body: corners of its prisms, base, top, material.
        self.bodies = [([np.array(o["footprint"])], o["base"], o["top"], materials[o["material"]])
                       for o in scenario.get("obstacles", [])]
        self.bodies += [(list(legs_of(w["path"], w["thickness"])), w["base"], w["top"],
                         materials[w["material"]]) for w in scenario.get("walls", [])]

    def spots(self):
        """Cell centres inside the outline and outside solids at the tag's height."""
        low, size = np.min(self.outline, axis=0), np.ptp(self.outline, axis=0)
        nx, ny = (math.ceil(s / self.step - 1e-9) for s in size)
        y, x = np.meshgrid((np.arange(ny) + 0.5) * self.step + low[1],
                           (np.arange(nx) + 0.5) * self.step + low[0], indexing="ij")
        at = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, self.height)])
        kept = holds(self.outline, at)
        for prisms, base, top, _ in self.bodies:
            for corners in prisms if base < self.height < top else []:
                kept &= ~holds(corners, at)
        return at[kept]

    def links(self, at):
        """Usable links and their excess, for all spots and anchors."""
        r = np.linalg.norm(at[:, None] - self.anchors, axis=2)
        loss, excess = np.zeros_like(r), np.zeros_like(r)
        for prisms, base, top, material in self.bodies:
            inside = sum(length_inside(at, self.anchors, p, base, top) for p in prisms)
            loss += material["loss_db"] * (inside > 1e-3)
            excess += material["delay"] * (inside > 1e-3)
        usable = (r <= self.ranging["range"]) & (loss <= self.ranging["budget_db"])
        return usable, excess * usable

    def variance(self):
        r = self.ranging
        return (r["sigma"] ** 2 + (1 - r["tail_share"]) * r["spot_sigma"] ** 2
                + r["tail_share"] * r["tail_sigma"] ** 2 + r["survey_sigma"] ** 2
                + r["delay_sigma"] ** 2)

    def figures(self, spot, usable, excess):
        """DOP, bound and bias of one spot from the normal matrix of rows [u, 1]."""
        d, ahead = self.dims, spot - self.anchors[usable]
        rows = ahead / np.linalg.norm(ahead, axis=1)[:, None]
        rows = np.column_stack([rows[:, :d], np.ones(len(rows))])
        q = np.linalg.inv(rows.T @ rows)
        bias = q @ rows.T @ excess[usable]
        want = {"hdop": math.sqrt(q[0, 0] + q[1, 1]), "tdop": math.sqrt(q[d, d]),
                "gdop": math.sqrt(np.trace(q)), "bias_m": math.hypot(bias[0], bias[1]),
                "bound_m": math.sqrt(self.variance() * (q[0, 0] + q[1, 1]))}
        if d == 3:
            want["vdop"] = math.sqrt(q[2, 2])
            want["pdop"] = math.sqrt(np.trace(q[:3, :3]))
        return want

    def errors(self, spot, usable, excess, n, random, start=None):
        """Errors (x, y, z) of n draws: every term drawn apart, vectorised descent."""
        a, d, terms, normal = self.anchors[usable], self.dims, self.ranging, random.standard_normal
        shape = (n, len(a))
        true = np.tile(spot, (n, 1))
        true[:, 2] += self.rise * normal(n)
        surveyed = a + terms["survey_sigma"] * normal((n, len(a), 3))
        is_tail = random.random(shape) < terms["tail_share"]
        rho = np.linalg.norm(true[:, None] - surveyed, axis=2) + excess[usable]
        rho += np.where(is_tail, terms["tail_sigma"], terms["spot_sigma"]) * normal(shape)
        rho += terms["sigma"] * normal(shape) + terms["delay_sigma"] * normal(shape)
        if start is None:
            start = np.append(a.mean(0)[:2], spot[2] if d == 2 else 0)
        x = np.tile(start, (n, 1))
        for _ in range(60):
            ahead = x[:, None] - a
            r = np.linalg.norm(ahead, axis=2)
            u = (ahead / r[:, :, None])[:, :, :d]
            u -= u.mean(1, keepdims=True)
            left = rho - r
            step = np.linalg.solve(np.einsum("mik,mil->mkl", u, u),
                                   np.einsum("mik,mi->mk", u, left)[..., None])[..., 0]
            x[:, :d] += step
            if np.max(np.abs(step)) < 1e-6:
                break
        else:
            raise ArithmeticError("the descent did not settle")
        return x - spot


def holds(corners, at):
    """Even-odd rule, half open: (y1 > y) != (y2 > y)."""
    inside = np.zeros(len(at), bool)
    for (x1, y1), (x2, y2) in zip(corners, np.roll(corners, -1, axis=0)):
        straddles = (y1 > at[:, 1]) != (y2 > at[:, 1])
        if y1 != y2:
            inside ^= straddles & (at[:, 0] < x1 + (at[:, 1] - y1) / (y2 - y1) * (x2 - x1))
    return inside


def length_inside(at, anchors, corners, base, top):
    """Length of every segment inside a convex prism, by clipping against its half-spaces."""
    start, along = at[:, None], anchors - at[:, None]
    enter, leave = np.zeros(along.shape[:2]), np.ones(along.shape[:2])
    after = np.roll(corners, -1, axis=0)
    turn = np.sum(corners[:, 0] * after[:, 1] - corners[:, 1] * after[:, 0])
    planes = [((0, 0, -1), -base), ((0, 0, 1), top)]
    for (x1, y1), (x2, y2) in zip(corners, after):
        normal = np.array([y2 - y1, x1 - x2, 0]) * np.sign(turn)
        planes.append((normal, normal[0] * x1 + normal[1] * y1))
    for normal, limit in planes:
        room, pace = limit - start @ np.array(normal, float), along @ np.array(normal, float)
        with np.errstate(divide="ignore", invalid="ignore"):
            cut = room / pace
        enter = np.where(pace < 0, np.maximum(enter, cut), enter)
        leave = np.where(pace > 0, np.minimum(leave, cut), leave)
        leave = np.where((pace == 0) & (room < 0), 0, leave)
    return np.maximum(leave - enter, 0) * np.linalg.norm(along, axis=2)


def legs_of(path, thickness):
    """A wall's footprints: one rectangle for each leg, square ends."""
    for a, b in zip(np.array(path[:-1]), np.array(path[1:])):
        side = np.array([a[1] - b[1], b[0] - a[0]]) / np.linalg.norm(b - a) * thickness / 2
        yield np.array([a - side, b - side, b + side, a + side])


def assess(bay, folder):
    """The product's cells as rows of text, its JSON as text."""
    scenario, cells = os.path.join(folder, "bay.yaml"), os.path.join(folder, "cells.csv")
    with open(scenario, "w", encoding="utf-8") as out:
        out.write(bay.text)
    done = subprocess.run([PROGRAM, "assess", "--quiet", "--json", "--cells", cells, scenario],
                          check=True, text=True, capture_output=True)
    with open(cells, newline="", encoding="utf-8") as rows:
        return list(csv.DictReader(rows)), done.stdout


def check_geometry(bay, rows, answer, spots, usable, excess):
    problems, no_fix = [], 0
    if len(rows) != len(spots):
        return [f"{len(rows)} cells, not {len(spots)}"]
    for row, spot, links, late in zip(rows, spots, usable, excess):
        here = [float(row[key]) for key in ("x_m", "y_m", "z_m")]
        if not np.allclose(here, spot, rtol=AGREE, atol=0) or float(row["used"]) != links.sum():
            problems.append(f"{here} uses {row['used']}, not {links.sum()} at {spot}")
        elif links.sum() <= bay.dims:
            no_fix += 1
            if row["hdop"] or row["p95_m"] or row["bound_m"] or float(row["fix_share"]) != 0:
                problems.append(f"{here} has {links.sum()} links and a figure")
        else:
            for key, want in bay.figures(spot, links, late).items():
                if not abs(float(row[key]) - want) <= AGREE * max(want, late.max()):
                    problems.append(f"{here} {key} {row[key]}, not {want!r}")
            if bay.dims == 2 and (row["vdop"] or row["pdop"]):
                problems.append(f"{here} has a vertical figure")
    for i, anchor in enumerate(answer["anchors"]):
        if anchor["used_share"] != usable[:, i].sum() / len(spots):
            problems.append(f"{anchor['name']} used_share {anchor['used_share']}")
    print(f"{bay.dims}d: {len(rows)} cells, {no_fix} without a fix", file=sys.stderr)
    return problems


def standard_error(sorted_errors, q, n):
    """Of the nearest-rank percentile of n draws: sqrt(q (1 - q) / n) over the density there."""
    edge = 0.02 if q < 0.9 else 0.01
    m = len(sorted_errors)
    slope = (sorted_errors[int((q + edge) * m)] - sorted_errors[int((q - edge) * m)]) / (2 * edge)
    return math.sqrt(q * (1 - q) / n) * slope


def check_percentiles(bay, rows, spots, usable, excess):
    """Six cells drawn by chance among those where no second root threatens."""
    random, n = np.random.default_rng(20261125), 40000
    clear = [i for i, row in enumerate(rows) if usable[i].sum() >= bay.dims + 3
             and float(row["fix_share"]) == 1 and float(row["ambiguous_share"]) == 0]
    problems = [] if len(clear) > len(rows) / 3 else [f"only {len(clear)} cells to choose from"]
    for i in random.choice(clear, 6, replace=False):
        errors = bay.errors(spots[i], usable[i], excess[i], n, random)
        lengths = np.hypot(errors[:, 0], errors[:, 1]), np.abs(errors[:, 2])
        for q, key in (0.5, "p50_m"), (0.95, "p95_m"):
            for values, prefix in zip(lengths[:bay.dims - 1], ("", "vertical_")):
                values = np.sort(values)
                want, got = values[math.ceil(q * n) - 1], float(rows[i][prefix + key])
                allowed = 4 * math.hypot(standard_error(values, q, bay.draws),
                                         standard_error(values, q, n))
                if not abs(got - want) <= allowed:
                    problems.append(f"cell {i} {prefix}{key} {got}, not {want} +- {allowed}")
    return problems


# --- 3. numbers ---

def is_shortest(token):
    """The digits are those of repr, whatever the way the exponent is written."""
    if re.search(r"\.(\d*0)?(e|$)", token) or not math.isfinite(float(token)):
        return False
    return Decimal(token).normalize() == Decimal(repr(float(token))).normalize()


def check_numbers(rows, text):
    tokens = [value for row in rows for value in row.values() if value]
    cells = len(tokens)
    json.loads(text, parse_float=tokens.append, parse_int=tokens.append)
    problems = [f"{token} for {float(token)!r}" for token in tokens if not is_shortest(token)]
    if cells < 10 * len(rows) or len(tokens) < cells + 20:
        problems.append("too few numbers to judge")
    return problems


def test_cells():
    for bay in Bay(BAY_2D), Bay(BAY_3D):
        with tempfile.TemporaryDirectory() as folder:
            rows, text = assess(bay, folder)
        spots = bay.spots()
        usable, excess = bay.links(spots)
        name = f"in the {bay.dims}d bay "
        judge(name + "links, dop, bound and bias are those of numpy",
              check_geometry(bay, rows, json.loads(text), spots, usable, excess))
        judge(name + "percentiles are those of another monte carlo",
              check_percentiles(bay, rows, spots, usable, excess))
        judge(name + "every number is the shortest that reads back", check_numbers(rows, text))


def main():
    test_fixes()
    test_cells()
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
