"""What a user would write with SciPy: least_squares (Levenberg-Marquardt, Jacobian given) once for
each fix. One process. Called like the other timed programs: bench_scipy.py SCENARIO FILE. Knows the
bench floor only: a 2d tag, no obstacles, white noise.
"""
import math
import sys
import time

import numpy as np
from scipy.optimize import least_squares

from bench_numpy import cells_of, read_scenario


def fix(anchors, rho):
    """Horizontal error of one draw; infinite if nothing settles."""
    def residuals(x):
        return np.sqrt(((x[:2] - anchors[:, :2]) ** 2).sum(1) + anchors[:, 2] ** 2) + x[2] - rho

    def slopes(x):
        to = x[:2] - anchors[:, :2]
        ranges = np.sqrt((to ** 2).sum(1) + anchors[:, 2] ** 2)
        return np.column_stack((to / ranges[:, None], np.ones(len(rho))))

    start = np.append(anchors[:, :2].mean(0), 0)
    found = least_squares(residuals, start, slopes, method="lm", xtol=1e-6)
    return math.hypot(*found.x[:2]) if found.success else math.inf


def main():
    outline, anchors, height, sigma, reach, step, draws, seed = read_scenario(sys.argv[1])
    p95 = []
    began = time.perf_counter()
    for number, x, y in cells_of(outline, step):
        near = anchors - (x, y, height)
        ranges = np.sqrt((near ** 2).sum(1))
        near, ranges = near[ranges <= reach], ranges[ranges <= reach]
        noise = np.random.default_rng((seed, number)).normal(0, sigma, (draws, len(ranges)))
        errors = np.sort([fix(near, ranges + row) for row in noise])
        p95.append(errors[math.ceil(0.95 * draws - 1e-9) - 1])
    seconds = time.perf_counter() - began
    np.savetxt(sys.argv[2], p95)
    print(f"seconds {seconds:.6f}\nfixes {len(p95) * draws}")


if __name__ == "__main__":
    main()
