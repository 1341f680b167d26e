"""Reference values for tests/src/change/drift.test.ts: run `python3 drift.py > drift.json` in this folder.

Written with SciPy 1.17.1 (scipy.stats.theilslopes, 95 % intervals) and NumPy 2.4.6. The third set repeats places.
"""
import json
import numpy as np
import scipy
from scipy.stats import theilslopes

rng = np.random.default_rng(20260518)
sets = []
for n, slope, places in [(70, 0.0004, "even"), (150, -0.0002, "uneven"), (90, 0.001, "repeated")]:
    if places == "even":
        x = np.arange(n, dtype=float)
    elif places == "uneven":
        x = np.round(np.cumsum(rng.exponential(2, n)) + 0.5, 3)
    else:
        x = np.repeat(np.arange(n // 3), 3).astype(float)
    y = np.round(12.5 + slope * x + 0.01 * rng.standard_t(4, n), 9)
    fit = theilslopes(y, x, alpha=0.95)
    pairs = [((y[i] + y[j]) - fit.slope * (x[i] + x[j] - 2 * x.mean())) / 2 for i in range(n) for j in range(i + 1)]
    sets.append({"places": places, "x": x.tolist(), "y": y.tolist(), "slope": fit.slope, "lower": fit.low_slope,
                 "upper": fit.high_slope, "level": float(np.median(pairs))})
print(json.dumps({"scipy": scipy.__version__, "numpy": np.__version__, "sets": sets}))
