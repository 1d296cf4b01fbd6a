"""Holds stated chances against invented sites that are simulated here, by a solver of its own.

Each site is a hall with five to nine anchors, a zone of fifteen cells and error terms at random. The
program states the chance that its need is met. Four times a site's factor is drawn from the law of
sites, an installation with its survey and delay errors, and fixes by Gauss-Newton; the factor
multiplies the error as a whole, installation included. The shares that met are those stated, within
three standard errors in each bin; those met with margin are wrong in at most 5 %. This checks the
arithmetic and not the law, which both sides draw from. With the word `whole` 2000 sites, and what is
wrong if sites differ 1.5 times as much as the law says.

Prints "ok - name" or "not ok - name" lines; names stand for sentences.
"""
import json
import os
import subprocess
import sys
import tempfile

import numpy as np
from scipy.stats import t as student

PROGRAM = os.environ.get("PROGRAM", os.path.join(os.environ.get("BUILD", "build"), "anchorwise"))
FIXES = 60  # of a cell
OUTCOMES = 4
NU = 6  # three systems and a prior of four
BINS = np.linspace(0, 1, 11)


class Site:
    def __init__(self, rng):
        self.size = rng.uniform([14, 10], [26, 18])
        n = rng.integers(5, 10)
        along = (np.arange(n) + rng.uniform(0.1, 0.9, n)) / n * 4
        edge, part = along.astype(int), along % 1
        w, h = self.size
        x = np.choose(edge, [part * w, np.full(n, w), (1 - part) * w, np.zeros(n)])
        y = np.choose(edge, [np.zeros(n), part * h, np.full(n, h), (1 - part) * h])
        self.anchors = np.stack([x, y, rng.uniform(2.5, 5, n)], 1).round(3)
        self.white, self.spot = rng.uniform(0.03, 0.12), rng.uniform(0.05, 0.25)
        self.tail_share, self.tail = rng.uniform(0, 0.15), rng.uniform(0.3, 0.7)
        self.survey, self.delay = rng.uniform(0, 0.15), rng.uniform(0, 0.2)
        self.need = float(np.exp(rng.uniform(np.log(0.1), np.log(2.5))))
        self.corner = np.array([2.0, 2.0])
        cells = [(3 + 2 * i, 3 + 2 * j) for j in range(3) for i in range(5)]
        self.spots = np.array([(*c, 1.2) for c in cells])

    def text(self, seed):
        w, h = self.size
        rows = "\n".join(f"  - {{name: A{i}, at: [{x}, {y}, {z}]}}"
                         for i, (x, y, z) in enumerate(self.anchors))
        return f"""anchorwise: 1
title: invented
floor: {{outline: [[0, 0], [{w}, 0], [{w}, {h}], [0, {h}]], ceiling: 6}}
anchors:
{rows}
tags: [{{name: t, height: 1.2}}]
ranging: {{sigma: {self.white}, spot_sigma: {self.spot}, tail_share: {self.tail_share},
  tail_sigma: {self.tail}, survey_sigma: {self.survey}, delay_sigma: {self.delay}, range: 100}}
zones: [{{name: z, outline: [[2, 2], [12, 2], [12, 8], [2, 8]], need: {{p95: {self.need}}}}}]
study: {{step: 2, draws: 400, seed: {seed}, chance: 0.99}}
"""

    def p95(self, rng):
        """Of one installation, by fixes of its own."""
        n = len(self.anchors)
        stands = self.anchors + rng.normal(0, self.survey, (n, 3))
        late = rng.normal(0, self.delay, n)
        spots = np.repeat(self.spots, FIXES, 0)
        heavy = rng.random((len(spots), n)) < self.tail_share
        spot = np.where(heavy, self.tail, self.spot) * rng.normal(size=heavy.shape)
        noise = rng.normal(0, self.white, heavy.shape) + spot + late
        rho = np.linalg.norm(spots[:, None] - stands, axis=2) + noise
        return np.quantile(self.solve(rho, spots), 0.95)

    def solve(self, rho, spots):
        """Horizontal errors of least squares with a common offset, by where anchors are said to be."""
        at = spots[:, :2].copy()
        for _ in range(8):
            full = np.concatenate([at, spots[:, 2:]], 1)
            ahead = full[:, None] - self.anchors
            r = np.linalg.norm(ahead, axis=2)
            u = ahead[..., :2] / r[..., None]
            u -= u.mean(1, keepdims=True)
            e = rho - r
            e -= e.mean(1, keepdims=True)
            step = np.linalg.solve(np.einsum("kia,kib->kab", u, u),
                                   np.einsum("kia,ki->ka", u, e)[..., None])[..., 0]
            at += np.clip(step, -2, 2)
        return np.linalg.norm(at - spots[:, :2], axis=1)


def state(site, seed, folder):
    path = os.path.join(folder, "site.yaml")
    with open(path, "w") as file:
        file.write(site.text(seed))
    run = subprocess.run([PROGRAM, "assess", path, "--json", "--quiet", "--threads", "1"],
                         capture_output=True, text=True)
    document = json.loads(run.stdout)
    return document["zones"][0], document["footing"]


def outcomes(n, wider, folder):
    """Stated chances, whether they are over 95 %, and how many of the outcomes met."""
    rng = np.random.default_rng(7)
    rows = []
    for seed in range(n):
        site = Site(rng)
        zone, footing = state(site, seed, folder)
        if zone["chance"] is None:
            continue
        middle = np.log(footing["low"] * footing["high"]) / 2
        w = np.log(footing["high"] / footing["low"]) / 2 / student.ppf(0.95, NU)
        met = [[np.exp(middle + w * times * student.rvs(NU, random_state=rng)) * p95 <= site.need
                for times in wider] for p95 in (site.p95(rng) for _ in range(OUTCOMES))]
        rows.append((zone["chance"], np.sum(met, 0)))
    return np.array([r[0] for r in rows]), np.array([r[1] for r in rows])


def main(whole):
    wider = (1, 1.5)
    with tempfile.TemporaryDirectory() as folder:
        stated, met = outcomes(2000 if whole else 80, wider, folder)
    good = True
    for low, high in zip(BINS[:-1], BINS[1:]):
        of = (stated >= low) & (stated < high)
        n = of.sum() * OUTCOMES
        if n == 0:
            continue
        said, found = stated[of].mean(), met[of].sum(0) / n
        error = np.sqrt(max(said * (1 - said), 1 / n) / n)
        good = good and abs(found[0] - said) <= 3 * error + 1 / n
        if whole:
            print(f"stated {said:.3f}: {found[0]:.3f} met (standard error {error:.3f}); "
                  f"{found[1]:.3f} if sites differ 1.5 times as much; {of.sum()} sites")
    print(f"{'ok' if good else 'not ok'} - as_many_sites_meet_their_need_as_the_chance_says")
    sure = stated >= 0.95
    n = max(sure.sum() * OUTCOMES, 1)
    wrong = 1 - met[sure].sum(0) / n
    allowed = 0.05 if whole else 0.05 + 3 * np.sqrt(0.05 * 0.95 / n)
    print(f"{'ok' if sure.any() and wrong[0] <= allowed else 'not ok'} - of_those_over_95_percent_no_"
          "more_than_5_in_100_are_wrong")
    if whole:
        print(f"over 95 %: {sure.sum()} sites, {wrong[0]:.3f} wrong, {wrong[1]:.3f} if sites differ "
              "1.5 times as much")


main("whole" in sys.argv[1:])
