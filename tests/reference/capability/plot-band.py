"""Intervals of order statistics by SciPy: the i-th of n independent values of a distribution, quantiles of Beta(i, n + 1 - i).

    /usr/bin/python3 tests/reference/capability/plot-band.py > tests/reference/capability/plot-band.json
"""
import json
import scipy
from scipy import stats

rows = []
for n, worth in ((5, 5), (50, 50), (50, 20), (876, 81.25)):
    for place in (0, 15, 30, 45, 60):
        z = -stats.norm.ppf(0.5 / n) * (2 * place / 60 - 1)
        i = stats.norm.cdf(z) * worth + 0.5
        ends = [stats.norm.ppf(stats.beta.ppf(p, i, worth + 1 - i), 10, 0.02) for p in (0.025, 0.975)]
        rows.append({"n": n, "worth": worth, "place": place, "low": ends[0], "high": ends[1]})
print(json.dumps({"madeBy": f"SciPy {scipy.__version__}, plot-band.py", "mean": 10, "sigma": 0.02, "rows": rows}, indent=1))
