"""Reference values for tests/src/description: run `python3 description.py > description-scipy.json` in this folder.

Written with SciPy 1.17.1 and mpmath 1.3.0: Anderson-Darling statistic, skewness G1 and excess kurtosis G2 of the data
in description.json and of the NIST sets. The moments are computed with 40 digits from the doubles.
"""
import json
import warnings
from mpmath import mp, mpf, sqrt, ncdf, log
import scipy
from scipy import stats

mp.dps = 40
warnings.simplefilter("ignore")


def moments(values):
    x = [mpf(v) for v in values]
    n = len(x)
    mean = sum(x) / n
    m2, m3, m4 = (sum((v - mean) ** k for v in x) for k in (2, 3, 4))
    g1 = sqrt(n * (n - 1)) / (n - 2) * (m3 / n) / (m2 / n) ** mpf(1.5) if n > 2 else None
    g2 = (n - 1) / mpf((n - 2) * (n - 3)) * ((n + 1) * (n * m4 / m2**2 - 3) + 6) if n > 3 else None
    return mean, m2, m3, m4, g1, g2


def anderson(values):
    x = sorted(mpf(v) for v in values)
    n = len(x)
    mean, m2 = moments(values)[:2]
    z = [(v - mean) / sqrt(m2 / (n - 1)) for v in x]
    return -n - sum((2 * i + 1) * (log(ncdf(z[i])) + log(ncdf(-z[n - 1 - i]))) for i in range(n)) / n


out = []
for s in json.load(open("description.json"))["sets"]:
    values = s["values"]
    mean, m2, m3, m4, g1, g2 = moments(values)
    n = len(values)
    entry = {"n": n, "m3": float(m3), "m4": float(m4), "skewness": g1 and float(g1), "kurtosis": g2 and float(g2)}
    if n >= 8:
        a = float(anderson(values))
        assert abs(a - stats.anderson(values).statistic) < 1e-9 * max(1, a)
        entry["anderson"] = a
    if n >= 4:
        assert abs(float(g1) - stats.skew(values, bias=False)) < 1e-9
        assert abs(float(g2) - stats.kurtosis(values, bias=False)) < 1e-9
    out.append(entry)
print(json.dumps({"scipy": scipy.__version__, "sets": out}))
