"""Makes moves.csv and expected-moves.json: one lasting step and one drift towards a limit, and what follows from them.

Run with: python3 make_moves.py (Python 3, NumPy 2.4.6, SciPy 1.17.1).
"""
import csv
import json
import math

import numpy as np
from scipy import stats

BUILDS, STEP, DRIFT, UPPER = 40, 23, 15, 20.1
rng = np.random.default_rng(8)
values = {"STEP": [], "DRIFT": []}
rows = []
for b in range(BUILDS):
    for number, level in (
        ("STEP", 10 + (0.03 if b >= STEP else 0)),
        ("DRIFT", 20 + max(0, b - DRIFT + 1) * 0.0018),
    ):
        own = [f"{level + rng.normal(0, 0.01):.4f}" for _ in range(4)]
        values[number].append(np.mean([float(v) for v in own]))
        rows += [[number, "A", f"{b}-{i}", f"b{b + 10}", "1", v] for i, v in enumerate(own)]
with open("moves.csv", "w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["part_number", "revision", "serial", "build", "characteristic", "value"])
    out.writerows(rows)

# The step: maximum likelihood and its confidence set (B. E. Hansen, Econometrica 68, 2000).
y = np.array(values["STEP"])
n = len(y)
rest = lambda i: np.sum((y[:i] - y[:i].mean()) ** 2) + np.sum((y[i:] - y[i:].mean()) ** 2)
at = min(range(1, n), key=rest)
allowed = rest(at) * math.expm1(-2 * math.log(1 - math.sqrt(0.95)) / (n - 2))
plausible = [i for i in range(1, n) if rest(i) - rest(at) <= allowed]
shift = y[at:].mean() - y[:at].mean()
step = {"from": at, "plausible": plausible, "shift": shift}
# With one place in the set, Student's interval; the place counts as a third parameter.
if len(plausible) == 1:
    df = n - 3
    half = stats.t.isf(0.025, df) * math.sqrt(rest(at) / df * (1 / at + 1 / (n - at)))
    step |= {"lower": shift - half, "upper": shift + half}

# The drift: a ramp from the build that leaves least squares, then Theil and Sen's line from there (SciPy's own), the level of
# J. L. Hodges and E. L. Lehmann (1963), and E. C. Fieller's limits (JRSS B 16, 1954) of where it crosses the limit.
y = np.array(values["DRIFT"])


def ramp(start):
    x = np.c_[np.ones(n), np.maximum(0, np.arange(n) - start + 1)]
    fit = np.linalg.lstsq(x, y, rcond=None)[0]
    return np.sum((y - x @ fit) ** 2), fit[1] * (n - start)


start = min(range(2, n - 2), key=lambda s: ramp(s)[0])
x, own = np.arange(start, n), y[start:]
slope, _, low, high = stats.theilslopes(own, x, 0.95)
centre = x.mean()
flat = own - slope * (x - centre)
level = np.median([(flat[i] + flat[j]) / 2 for i in range(len(flat)) for j in range(i + 1)])
distance, half, sxx = UPPER - level, (high - low) / 2, np.sum((x - centre) ** 2)
a, b, c = slope**2 - half**2, slope * distance, distance**2 - half**2 * sxx / len(x)
root = math.sqrt(b * b - a * c)
last = n - 1 - centre
drift = {
    "from": start,
    "size": ramp(start)[1],
    "inBuilds": distance / slope - last,
    "earliest": (b - root) / a - last,
    "latest": (b + root) / a - last,
}
with open("expected-moves.json", "w") as file:
    json.dump({"step": step, "drift": drift}, file, indent=1, default=float)
    file.write("\n")
