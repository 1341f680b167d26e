"""Figures of the audit, written from the published formulas alone. NumPy 2.4.6, SciPy 1.17.1.

Each function names its source. Nothing here is taken from the program's own sources.
"""
import math
from functools import lru_cache

import numpy as np
from scipy import optimize, special, stats

GL_X, GL_W = np.polynomial.legendre.leggauss(200)


def integral(f, a, b, pieces=1):
    """Gauss and Legendre's rule of 200 points on each piece."""
    total = 0.0
    for k in range(pieces):
        lo, hi = a + (b - a) * k / pieces, a + (b - a) * (k + 1) / pieces
        total += (hi - lo) / 2 * float(np.sum(GL_W * f((lo + hi) / 2 + (hi - lo) / 2 * GL_X)))
    return total


def c4(n):
    """E[s] = c4 sigma (ISO 7870-2)."""
    return math.sqrt(2 / (n - 1)) * math.exp(special.gammaln(n / 2) - special.gammaln((n - 1) / 2))


@lru_cache
def range_constants(n):
    """d2 and d3, mean and standard deviation of the range of n standard normal values (L. H. C. Tippett, 1925)."""
    cdf, sf = special.ndtr, lambda x: special.ndtr(-x)
    d2 = integral(lambda x: 1 - cdf(x) ** n - sf(x) ** n, -9, 9, 4)
    inner = np.vectorize(
        lambda x: integral(
            lambda y: 1 - cdf(y) ** n - sf(x) ** n + (cdf(y) - cdf(x)) ** n, x, 9, 2
        )
    )
    square = 2 * integral(inner, -9, 9, 2)
    return d2, math.sqrt(square - d2 * d2)


def moments(values):
    """Count, mean and sum of squared deviations, by exact rational arithmetic on the decimals of the file."""
    from fractions import Fraction

    exact = [Fraction(v) for v in values]
    n = len(exact)
    mean = sum(exact) / n
    return n, float(mean), float(sum((v - mean) ** 2 for v in exact)), float(min(exact)), float(max(exact))


def analysis_of_variance(groups):
    """One way (H. Scheffé, The Analysis of Variance, 1959, 3.1); groups are (n, mean, m2, …)."""
    n = sum(g[0] for g in groups)
    grand = math.fsum(g[0] * g[1] for g in groups) / n
    df1, df2 = len(groups) - 1, n - len(groups)
    if df1 < 1 or df2 < 1:
        return None
    ms1 = math.fsum(g[0] * (g[1] - grand) ** 2 for g in groups) / df1
    ms2 = math.fsum(g[2] for g in groups) / df2
    f = ms1 / ms2 if ms2 else math.inf
    return dict(f=f, dfBetween=df1, dfWithin=df2, p=float(special.fdtrc(df1, df2, f)), ms1=ms1, ms2=ms2, n=n)


def sigma_within(groups, how="pooled-s"):
    """Pooled s over c4(ν + 1) (I. W. Burr, 1976), or weighted average s or R over c4 or d2 (Burr, JQT 1, 1969)."""
    groups = [g for g in groups if g[0] > 1]
    if not groups:
        return None, 0
    if how == "pooled-s":
        df = sum(g[0] - 1 for g in groups)
        return math.sqrt(math.fsum(g[2] for g in groups) / df) / c4(df + 1), df
    total = weights = 0.0
    for n, _, m2, low, high in groups:
        if how == "average-s":
            m, e, s = c4(n), math.sqrt(1 - c4(n) ** 2), math.sqrt(m2 / (n - 1))
        else:
            (m, e), s = range_constants(n), high - low
        w = (m / e) ** 2
        total += w * s / m
        weights += w
    return total / weights, weights / 2


def sigma_of_steps(means, how="average"):
    """Average moving range over d2(2) = 2/√π (ISO 7870-2), or its median over √2 Φ⁻¹(3/4)."""
    if len(means) < 2:
        return None, 0
    steps = np.abs(np.diff(means))
    if how == "average":
        return float(np.mean(steps)) / (2 / math.sqrt(math.pi)), 0.605 * (len(means) - 1)
    return float(np.median(steps)) / (math.sqrt(2) * special.ndtri(0.75)), 0.305 * (len(means) - 1)


WESTERN_ELECTRIC = {
    "beyond-three-sigma": (1, 1, 3),
    "two-of-three": (2, 3, 2),
    "four-of-five": (4, 5, 1),
    "eight-on-one-side": (8, 8, 0),
}


def western_electric(z, tests=WESTERN_ELECTRIC):
    """Windows that breach a test on one side (Statistical Quality Control Handbook, 1956, pages 25–28).

    A window counts where its last point completes it; points of windows that touch or overlap are one signal."""
    found = []
    for name, (needed, of, line) in tests.items():
        for side, sign in (("above", 1), ("below", -1)):
            out = [sign * v > line for v in z]
            sets = []
            for i in range(len(z)):
                window = [j for j in range(max(0, i - of + 1), i + 1) if out[j]]
                if out[i] and len(window) >= needed:
                    sets.append(window)
            merged = []
            for s in sets:
                if merged and s[0] <= merged[-1][-1] + 1:
                    merged[-1] = sorted(set(merged[-1]) | set(s))
                else:
                    merged.append(s)
            found += [(name, side, points) for points in merged]
    return found


@lru_cache
def run_length(names):
    """Average run length in control of the tests together, both sides (C. W. Champ and W. H. Woodall, Technometrics 29,
    1987): a Markov chain on what the last points were."""
    tests = [WESTERN_ELECTRIC[n] for n in names]
    lines = sorted({line for _, _, line in tests} | {0})
    edges = [-math.inf] + [-x for x in reversed(lines)] + lines[1 if lines[0] == 0 else 0 :] + [math.inf]
    edges = sorted(set(edges))
    regions = list(zip(edges[:-1], edges[1:]))
    prob = [float(special.ndtr(b) - special.ndtr(a)) for a, b in regions]
    longest = max(of for _, of, _ in tests)
    tracks = [(needed, of, line, sign) for needed, of, line in tests for sign in (1, -1)]

    def step(state, region):
        middle = (max(region[0], -99) + min(region[1], 99)) / 2
        new = []
        for (needed, of, line, sign), seen in zip(tracks, state):
            hit = sign * middle > line
            window = (seen + (hit,))[-of:]
            if hit and sum(window) >= needed:
                return None
            keep = window[-(of - 1) :] if of > 1 else ()
            while keep and not keep[0]:
                keep = keep[1:]
            new.append(keep)
        return tuple(new)

    start = tuple(() for _ in tracks)
    index, todo, moves = {start: 0}, [start], []
    while todo:
        state = todo.pop()
        for region, p in zip(regions, prob):
            after = step(state, region)
            if after is None:
                continue
            if after not in index:
                index[after] = len(index)
                todo.append(after)
            moves.append((index[state], index[after], p))
    a = np.eye(len(index))
    for i, j, p in moves:
        a[i, j] -= p
    return float(np.linalg.solve(a, np.ones(len(index)))[0])


def effective_sample(groups):
    """Mean and overall sigma with the independent values they are worth: Satterthwaite on MB/n₀ + MW (1 − 1/n₀)."""
    n = sum(g[0] for g in groups)
    mean = math.fsum(g[0] * g[1] for g in groups) / n
    total = math.fsum(g[2] + g[0] * (g[1] - mean) ** 2 for g in groups)
    if n < 2 or total == 0:
        return None
    sigma = math.sqrt(total / (n - 1))
    out = dict(n=n, mean=mean, sigma=sigma, ne=n, df=n - 1)
    a = analysis_of_variance(groups)
    if a is None or a["ms1"] <= a["ms2"]:
        return out
    n0 = (n - sum(g[0] ** 2 for g in groups) / n) / a["dfBetween"]
    between, within = a["ms1"] / n0, a["ms2"] * (1 - 1 / n0)
    df = (between + within) ** 2 / (between**2 / a["dfBetween"] + within**2 / a["dfWithin"])
    return dict(out, ne=min(n, sigma**2 * n / a["ms1"]), df=min(n - 1, df))


def noncentral_t(t, df, delta):
    """P[T ≤ t] and P[T > t], by integrating over the distribution of s/σ (D. B. Owen, Technometrics 10, 1968)."""
    sd = 1 / math.sqrt(2 * df)
    lo, hi = max(0.0, 1 - 12 * sd), 1 + 14 * sd
    log_norm = math.log(2) + df / 2 * math.log(df / 2) - special.gammaln(df / 2)

    def density(s):
        return np.exp(log_norm + (df - 1) * np.log(s) - df * s * s / 2)

    lower = integral(lambda s: special.ndtr(t * s - delta) * density(s), lo, hi, 3)
    upper = integral(lambda s: special.ndtr(delta - t * s) * density(s), lo, hi, 3)
    return lower, upper


def spread_index(value, df, confidence=0.95):
    """Cp, Pp: chi-square (ISO 22514-2; NIST/SEMATECH e-Handbook 6.1.6)."""
    tail = (1 - confidence) / 2
    low, high = stats.chi2.ppf(tail, df), stats.chi2.isf(tail, df)
    return dict(
        value=value,
        lower=value * math.sqrt(low / df),
        upper=value * math.sqrt(high / df),
        confidence=confidence,
    )


def nearer_index(value, n, df, confidence=0.95):
    """Cpk, Ppk: noncentral t towards the nearer limit (Owen, 1968)."""
    tail = (1 - confidence) / 2
    scale = 3 * math.sqrt(n)
    t = value * scale
    reach = 12 * math.sqrt(1 + t * t / (2 * df))
    lower = optimize.brentq(lambda d: noncentral_t(t, df, d)[1] - tail, t - reach, t, xtol=1e-13, rtol=1e-14)
    upper = optimize.brentq(lambda d: noncentral_t(t, df, d)[0] - tail, t, t + reach, xtol=1e-13, rtol=1e-14)
    return dict(value=value, lower=lower / scale, upper=upper / scale, confidence=confidence)


def index_pair(lower, upper, mean, sigma, df, ne, confidence=0.95):
    sides = []
    if lower is not None:
        sides.append((mean - lower) / (3 * sigma))
    if upper is not None:
        sides.append((upper - mean) / (3 * sigma))
    spread = None if len(sides) < 2 else spread_index((upper - lower) / (6 * sigma), df, confidence)
    return spread, nearer_index(min(sides), ne, df, confidence) if sides else None


def normal_outside(lower, upper, sample, confidence=0.95):
    """Φ(−3k) with the interval of k; both limits together by Bonferroni."""

    def share(k, sure):
        x = nearer_index(k, sample["ne"], sample["df"], sure)
        return dict(
            value=float(special.ndtr(-3 * k)),
            lower=float(special.ndtr(-3 * x["upper"])),
            upper=float(special.ndtr(-3 * x["lower"])),
            confidence=confidence,
        )

    below = None if lower is None else (sample["mean"] - lower) / (3 * sample["sigma"])
    above = None if upper is None else (upper - sample["mean"]) / (3 * sample["sigma"])
    out = dict(
        below=None if below is None else share(below, confidence),
        above=None if above is None else share(above, confidence),
    )
    if below is None or above is None:
        total = out["below"] or out["above"]
    else:
        one, two = share(below, (1 + confidence) / 2), share(above, (1 + confidence) / 2)
        total = {k: one[k] + two[k] for k in ("value", "lower", "upper")}
        total["confidence"] = confidence
    return dict(out, total=total)


def design_effect(groups, order):
    """1 + (Σn²/n − 1) ρ^order (L. Kish, Survey Sampling, 1965, 5.4)."""
    a = analysis_of_variance(groups)
    if a is None:
        return 1.0
    n, squares = a["n"], sum(g[0] ** 2 for g in groups)
    n0 = (n - squares / n) / a["dfBetween"]
    between = max(0.0, (a["ms1"] - a["ms2"]) / n0)
    return 1 + (squares / n - 1) * (between / (between + a["ms2"])) ** order


def anderson_darling(values):
    """A² with mean and sigma estimated, times 1 + 0.75/n + 2.25/n², and its p (R. B. D'Agostino and M. A. Stephens,
    Goodness-of-Fit Techniques, 1986, table 4.9)."""
    x = np.sort(np.asarray(values, float))
    n = len(x)
    z = (x - x.mean()) / x.std(ddof=1)
    i = np.arange(1, n + 1)
    a2 = -n - np.mean((2 * i - 1) * (special.log_ndtr(z) + special.log_ndtr(-z[::-1])))
    a = a2 * (1 + 0.75 / n + 2.25 / n**2)
    if a < 0.2:
        p = 1 - math.exp(-13.436 + 101.14 * a - 223.73 * a * a)
    elif a < 0.34:
        p = 1 - math.exp(-8.318 + 42.796 * a - 59.938 * a * a)
    elif a < 0.6:
        p = math.exp(0.9177 - 4.279 * a - 1.38 * a * a)
    else:
        p = math.exp(1.2937 - 5.709 * a + 0.0186 * a * a)
    return a, p


def hotelling(rows, m, level=0.0027):
    """T² with limits of N. D. Tracy, J. C. Young and R. L. Mason, JQT 24 (1992); the first m rows are the baseline."""
    x = np.asarray(rows, float)
    p = x.shape[1]
    base = x[:m]
    mean, cov = base.mean(axis=0), np.cov(base, rowvar=False).reshape(p, p)
    d = x - mean
    t2 = np.einsum("ij,ij->i", d, np.linalg.solve(cov, d.T).T)
    scale = (m - 1) ** 2 / m
    factor = p * (m + 1) * (m - 1) / (m * (m - p))
    base_limit = scale * stats.beta.isf(level, p / 2, (m - p - 1) / 2)
    later_limit = factor * stats.f.isf(level, p, m - p)
    prob = [
        stats.beta.sf(t / scale, p / 2, (m - p - 1) / 2) if i < m else stats.f.sf(t / factor, p, m - p)
        for i, t in enumerate(t2)
    ]
    return t2, prob, base_limit, later_limit


def ewma_limit(weight, alarm):
    """L for a wanted run length (S. V. Crowder, Technometrics 29, 1987), by Nyström's method with 200 nodes."""

    def length(mult):
        h = mult * math.sqrt(weight / (2 - weight))
        y, w = h * GL_X, h * GL_W
        k = stats.norm.pdf((y[None, :] - (1 - weight) * y[:, None]) / weight) / weight * w[None, :]
        arl = np.linalg.solve(np.eye(200) - k, np.ones(200))
        return 1 + float(np.sum(stats.norm.pdf(y / weight) / weight * w * arl))

    return optimize.brentq(lambda m: length(m) - alarm, 1, 5, xtol=1e-13)


def cusum_limit(k, alarm):
    """h for a wanted two-sided run length (E. S. Page, Biometrika 41, 1954; K. W. Kemp, JRSS B 23, 1961)."""

    def length(h):
        y, w = h / 2 * (GL_X + 1), h / 2 * GL_W
        points = np.concatenate([[0.0], y])
        a = np.eye(201)
        a[:, 0] -= special.ndtr(k - points)
        a[:, 1:] -= stats.norm.pdf(y[None, :] - points[:, None] + k) * w[None, :]
        return float(np.linalg.solve(a, np.ones(201))[0]) / 2

    return optimize.brentq(lambda h: length(h) - alarm, 0.5, 12, xtol=1e-13)


def spread_alarm(n, statistic):
    """Points on average until a standard deviation, or a range, of n normal values lies beyond three of its standard errors."""
    if statistic == "range":
        d2, d3 = range_constants(n)
        # P[R <= w] = n ∫ φ(x) (Φ(x + w) − Φ(x))ⁿ⁻¹ dx (L. H. C. Tippett, 1925).
        cdf = lambda w: n * integral(
            lambda x: stats.norm.pdf(x) * (special.ndtr(x + w) - special.ndtr(x)) ** (n - 1), -9, 9, 6
        )
        low = d2 - 3 * d3
        return 1 / (1 - cdf(d2 + 3 * d3) + (cdf(low) if low > 0 else 0))
    c = c4(n)
    reach = 3 * math.sqrt(1 - c * c)
    beyond = stats.chi2.sf((n - 1) * (c + reach) ** 2, n - 1)
    if c > reach:
        beyond += stats.chi2.cdf((n - 1) * (c - reach) ** 2, n - 1)
    return 1 / beyond


def moving_range_alarm():
    """As `spread_alarm` for the range of two neighbours, which is half-normal."""
    d2, d3 = range_constants(2)
    return 1 / (2 * special.ndtr(-(d2 + 3 * d3) / math.sqrt(2)))
