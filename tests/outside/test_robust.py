"""Holds the robust fix against one written anew for NumPy and SciPy from the published sources.

Huber, Ann. Math. Stat. 35:73-101, 1964 (1.345); Beaton and Tukey, Technometrics 16:147-185, 1974
(4.685); Fischler and Bolles, CACM 24:381-395, 1981; truncated score: Torr and Zisserman, CVIU
78:138-156, 2000; random words: Salmon, Moraes, Dror, Shaw, SC 2011 (Philox4x32-10). It takes the
plain fix from scipy.optimize.least_squares, every step from numpy.linalg.lstsq with the common
offset as an unknown, and every subset from itertools.

Prints "ok - name" or "not ok - name" lines; names stand for sentences.
"""
import itertools
import os
import subprocess
import sys

import numpy as np
from scipy.optimize import least_squares, minimize

PROBES = os.path.join(os.environ["BUILD"], "tests")
failed = False

# Stated before the first run: how near two fixes are one, m, and in what share of the cases they
# need not be, since an outcome that is on the edge of suspicion may go either way.
SAME_FIX = 1e-3
OTHERWISE = 0.005


def judge(name, problems):
    global failed
    print(("not ok - " if problems else "ok - ") + name, flush=True)
    for problem in problems[:5]:
        print(f"    {name}: {problem}", file=sys.stderr)
    failed = failed or bool(problems)


def philox(counter, key):
    c, k = list(counter), list(key)
    for _ in range(10):
        p, q = 0xD2511F53 * c[0], 0xCD9E8D57 * c[2]
        c = [(q >> 32) ^ c[1] ^ k[0], q & 0xFFFFFFFF, (p >> 32) ^ c[3] ^ k[1], p & 0xFFFFFFFF]
        k = [(k[0] + 0x9E3779B9) & 0xFFFFFFFF, (k[1] + 0xBB67AE85) & 0xFFFFFFFF]
    return c


class Case:
    def __init__(self, head, rows, plain, robust):
        self.dims, self.n = int(head[0]), int(head[1])
        box = np.array(head[2:8], float)
        self.low, self.high = box[:3], box[3:]
        self.seed, self.cell, self.draw, self.term = map(int, head[8:])
        table = np.array(rows, float)
        self.anchors, self.sigma, self.rho = table[:, :3], 1 / np.sqrt(table[:, 3]), table[:, 4]
        self.plain_found, self.plain = plain[0] == "1", np.array(plain[1:4], float)
        self.plain_offset = float(plain[4])
        self.found, self.tried, self.doubtful = (word == "1" for word in robust[:3])
        self.at = np.array(robust[3:6], float)
        self.longest = 0.25 * np.hypot(*(self.high - self.low)[:2])

    def late(self, x):
        """How late arrivals are, in sigmas, and the slopes of that (times minus one)."""
        at = np.zeros(3)
        at[:self.dims] = x[:-1]
        ahead = at - self.anchors
        r = np.linalg.norm(ahead, axis=1)
        slopes = np.column_stack([(ahead / r[:, None])[:, :self.dims], np.ones(self.n)])
        return (self.rho - r - x[-1]) / self.sigma, slopes / self.sigma[:, None]

    def step(self, x, factor, of=slice(None)):
        t, slopes = self.late(x)
        w = np.sqrt(factor(t))[of]
        if np.count_nonzero(w) <= self.dims:
            return x
        s = np.linalg.lstsq(w[:, None] * slopes[of], w * t[of], rcond=None)[0]
        length = np.linalg.norm(s[:-1])
        if length > self.longest:  # the offset follows the place
            held = s[:-1] * self.longest / length
            k = (w / self.sigma[of]) ** 2
            u = slopes[of, :-1] * self.sigma[of, None]
            s = np.append(held, s[-1] + (k @ u) @ (s[:-1] - held) / k.sum())
        return x + s

    def steps(self, x, factor, times, of=slice(None)):
        for _ in range(times):
            x = self.step(x, factor, of)
        return x

    def score_of(self, x):
        t = self.late(x)[0]
        return np.sum(np.where(t > 0, np.minimum(t * t, 9), t * t))

    def is_suspicious(self, x):
        t = self.late(x)[0]
        return t.min() < -3.5 or np.sum(np.abs(t) < 3) < max(self.dims + 2, 0.6 * self.n)

    def is_near(self, x):
        """In the site grown by its diagonal, in 3d also in its heights grown by themselves."""
        grown = np.array([4 * self.longest, 4 * self.longest, self.high[2] - self.low[2]])
        d = self.dims
        return np.all((x[:-1] >= (self.low - grown)[:d]) & (x[:-1] <= (self.high + grown)[:d]))

    def subsets(self):
        every = list(itertools.combinations(range(self.n), self.dims + 1))
        if len(every) <= 60:
            return every
        key = (self.seed & 0xFFFFFFFF, self.seed >> 32)
        m = self.draw
        words = [philox((m // 64 * 16 + m % 16, self.cell, i, self.term), key)[m % 64 // 16]
                 for i in range(60)]
        return [every[word * len(every) >> 32] for word in words]

    def find(self):
        """Place, whether consensus was tried, whether it is doubtful to the end."""
        start = np.append(self.plain[:self.dims], self.plain_offset)
        x = least_squares(lambda x: self.late(x)[0], start, jac=lambda x: -self.late(x)[1],
                          method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14).x
        before, plain = self.score_of(x), x
        x = self.steps(self.steps(x, huber, 6), tukey, 6)
        tried = self.is_suspicious(x) and self.n > self.dims + 2
        if tried:
            looks = [self.steps(self.steps(x, even, 8, list(s)), agreeing, 3)
                     for s in self.subsets()]
            looks = [look for look in looks if self.is_near(look)]
            looks = [x] + looks
            scores = np.array([self.score_of(look) for look in looks])
            equal = [look for look, s in zip(looks, scores) if s < scores.min() + 1e-6]
            x = self.steps(min(equal, key=lambda look: np.linalg.norm((look - x)[:-1])), tukey, 6)
        if self.score_of(x) > before + 4 or not self.is_near(x):
            x = plain
        return x, tried, self.is_suspicious(x)


def even(t):
    return np.ones_like(t)


def huber(t):
    return np.minimum(1, 1.345 / np.maximum(t, 1e-9))


def tukey(t):
    return np.where(t <= 0, 1, np.maximum(np.where(t < 4.685, (1 - (t / 4.685) ** 2) ** 2, 0),
                                          1e-3))


def agreeing(t):
    return (t < 3).astype(float)


def read_cases():
    text = subprocess.run([os.path.join(PROBES, "dump_robust")], check=True, text=True,
                          capture_output=True).stdout
    lines = iter(text.splitlines())
    for line in lines:
        head = line.split()[1:]
        rows = [next(lines).split() for _ in range(int(head[1]))]
        yield Case(head, rows, next(lines).split()[1:], next(lines).split()[1:])


def check_fixes(cases):
    for dims in 2, 3:
        some = [c for c in cases if c.dims == dims and c.plain_found]
        other, tried, doubted = [], [], []
        for c in some:
            x, was_tried, is_doubtful = c.find()
            off = np.linalg.norm(x[:-1] - c.at[:dims])
            if not c.found or off > SAME_FIX:
                other.append(f"{c.n} arrivals: {off:.4g} m apart, tried {was_tried}, {c.tried}")
            tried += [c.n] if was_tried != c.tried else []
            doubted += [c.n] if is_doubtful != c.doubtful else []
        few = OTHERWISE * len(some)
        judge(f"robust_fixes_in_{dims}d_are_those_of_numpy", other if len(other) > few else [])
        judge(f"consensus_is_tried_in_{dims}d_where_numpy_would_try_it", tried if len(tried) > few
              else [])
        judge(f"what_is_doubtful_in_{dims}d_is_so_to_numpy", doubted if len(doubted) > few else [])
        judge(f"the_{dims}d_cases_hold_drawn_and_all_subsets",
              [] if sum(c.tried and c.n > 9 for c in some) > 20 and
              sum(c.tried and c.n < 8 for c in some) > 20 else ["too few"])


def check_huber(cases):
    """What six reweighted steps leave to the minimum of Huber's one-sided loss, in sigmas."""
    left = []
    for c in [c for c in cases if c.plain_found and c.n >= c.dims + 4][:150]:
        start = np.append(c.plain[:c.dims], c.plain_offset)

        def loss(x):
            t, slopes = c.late(x)
            return (np.sum(np.where(t <= 1.345, t * t / 2, 1.345 * t - 1.345 ** 2 / 2)),
                    -np.minimum(t, 1.345) @ slopes)

        end = minimize(loss, start, jac=True, method="BFGS", options={"gtol": 1e-9}).x
        x = c.steps(start, huber, 6)
        left.append(np.linalg.norm(x[:-1] - end[:-1]) / np.median(c.sigma))
    judge("six_steps_come_near_to_the_minimum_of_hubers_loss",
          [] if np.median(left) < 0.01 and np.quantile(left, 0.8) < 0.2 else
          [f"median {np.median(left):.3g}, p80 {np.quantile(left, 0.8):.3g} sigma"])


def check_efficiency():
    """Variance of least squares over that of reweighted steps on normal errors, offset solved: 95.0 %
    for both sides is the published figure of either constant; one side costs less."""
    a = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    design = np.column_stack([np.cos(a), np.sin(a), np.ones_like(a)])
    noise = np.random.default_rng(3).normal(size=(20000, len(a)))
    plain = noise @ np.linalg.pinv(design).T

    def reweighted(x, factor):
        for _ in range(6):
            t = noise - x @ design.T
            w = factor(t)
            x = x + np.linalg.solve(np.einsum("mn,nk,nl->mkl", w, design, design),
                                    ((w * t) @ design)[..., None])[..., 0]
        return x

    one = reweighted(plain, huber)
    both = reweighted(plain, lambda t: huber(np.abs(t)))
    ends = {0.969: one, 0.962: reweighted(one, tukey), 0.950: both}
    seen = {want: np.sum(plain[:, :2] ** 2) / np.sum(x[:, :2] ** 2) for want, x in ends.items()}
    judge("on_clean_errors_one_sided_steps_are_as_efficient_as_stated",
          [f"{seen}"] if any(abs(want - got) > 0.004 for want, got in seen.items()) else [])


CASES = list(read_cases())
judge("all_cases_have_a_plain_fix_but_some", [] if np.mean([c.plain_found for c in CASES]) > 0.95
      else ["too many have none"])
check_fixes(CASES)
check_huber(CASES)
check_efficiency()
sys.exit(failed)
