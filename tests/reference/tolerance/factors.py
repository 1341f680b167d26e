"""Reference values for tests/src/tolerance: run `python3 factors.py > factors.json` in this folder.

Written with mpmath 1.3.0, 25 digits: both factors from the defining integrals over the distribution of s and of the
mean, by Gauss-Legendre quadrature. No noncentral t is used.
"""
import json
import mpmath
from scipy.stats import chi2  # for first guesses only
from mpmath import mp, mpf, quad, sqrt, ncdf, npdf, gammainc, gamma, exp, log, findroot, erfinv, inf

mp.dps = 25
tail = lambda x: mpmath.erfc(x / sqrt(mpf(2))) / 2


def upper_chi(x, df):
    return gammainc(mpf(df) / 2, x / 2, inf, regularized=True)


def two_sided(n, df, content, confidence):
    p, root = mpf(content), sqrt(mpf(n))

    def half_width(z):
        x = z / root
        start = sqrt(mpf(2)) * erfinv(p)
        r = x + start  # Newton's method on the logarithm, from the far side
        for _ in range(60):
            outside = tail(r + x) + tail(r - x)
            step = log(outside / (1 - p)) * outside / (npdf(r + x) + npdf(r - x))
            r += step
            if abs(step) < mpf(10) ** -22:
                return r
        raise ArithmeticError("half width not found")

    nodes = {}

    def holding(k):
        def f(z):
            if z not in nodes:
                nodes[z] = half_width(z)
            return npdf(z) * upper_chi(df * (nodes[z] / k) ** 2, df)
        return 2 * quad(f, [0, 3, 10], method="gauss-legendre", maxdegree=5)

    z = sqrt(mpf(2)) * erfinv(p)
    guess = z * sqrt(df * (1 + 1 / mpf(n)) / mpf(chi2.isf(float(confidence), float(df))))
    return findroot(lambda k: holding(k) - confidence, (guess * 0.9, guess * 1.1), solver="pegasus", tol=1e-30)


def one_sided(n, df, content, confidence):
    root, z = sqrt(mpf(n)), sqrt(mpf(2)) * erfinv(2 * mpf(content) - 1)
    half = mpf(df) / 2

    def holding(k):
        # Over u = sqrt(v), smooth at 0.
        f = lambda u: 2 * exp((2 * half - 1) * log(u) - u**2 / 2 - half * log(mpf(2)) - mpmath.loggamma(half)) * tail((z - k * u / sqrt(df)) * root)
        s = sqrt(2 * mpf(df))
        points = [0] + [df + m * s for m in (-6, -3, -1, 0, 1, 3, 6, 12) if df + m * s > 0] + [df + 40 * s + 60]
        return quad(f, [sqrt(p) for p in points], method="gauss-legendre")

    guess = z * (1 + 2 / sqrt(mpf(df)))
    return findroot(lambda k: holding(k) - confidence, (guess * 0.7, guess * 4), solver="pegasus", tol=1e-30)


rows = []
for n, df, content, confidence in [
    (3, 2, 0.95, 0.95), (5, 4, 0.99, 0.95), (10, 9, 0.9, 0.9), (43, 42, 0.9, 0.99), (30, 29, 0.9973, 0.95),
    (25, 70.5, 0.9973, 0.9), (100, 99, 0.999, 0.99), (500, 499, 0.95, 0.5),
]:
    c, g = mpf(str(content)), mpf(str(confidence))
    rows.append({"n": n, "df": df, "content": content, "confidence": confidence,
                 "twoSided": float(two_sided(n, mpf(df), c, g)), "oneSided": float(one_sided(n, mpf(df), c, g))})
print(json.dumps({"mpmath": mpmath.__version__, "rows": rows}, indent=1))
