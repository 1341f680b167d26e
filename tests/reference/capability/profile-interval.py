"""Profile likelihood intervals of the upper index, Pp and the share above the limit, by SciPy's distributions.

Of all distributions of the family with a given figure, the likeliest is found over the shape by bounded minimisation from
many starts, the scale following from the figure; the ends by Brent's method. The bound is the square of Student's quantile
with n - 2 degrees of freedom.

    /usr/bin/python3 tests/reference/capability/profile-interval.py > tests/reference/capability/profile-interval.json
"""
import json
import numpy as np
import scipy
from scipy import optimize, stats

rng = np.random.default_rng(20261125)
values = np.round(rng.gamma(3.0, 0.01, 40), 5)
lower, upper = 0.002, 0.15
TAIL = stats.norm.sf(3)
n = len(values)
bound = stats.t.isf(0.025, n - 2) ** 2

FAMILIES = {
    "Weibull": (lambda k, s: stats.weibull_min(k, scale=s), 0.3, 12),
    "lognormal": (lambda k, s: stats.lognorm(k, scale=s), 0.1, 3),
    "gamma": (lambda k, s: stats.gamma(k, scale=s), 0.3, 30),
    "folded normal": (lambda k, s: stats.foldnorm(k, scale=s), 0.0, 8),
}

# Each figure of a distribution, and the scale that gives it the value g, from the distribution of scale 1.
FIGURES = {
    "toUpper": (
        lambda d: (upper - d.ppf(0.5)) / (d.isf(TAIL) - d.ppf(0.5)),
        lambda g, u: upper / (u.ppf(0.5) + g * (u.isf(TAIL) - u.ppf(0.5))),
    ),
    "spread": (
        lambda d: (upper - lower) / (d.isf(TAIL) - d.ppf(TAIL)),
        lambda g, u: (upper - lower) / (g * (u.isf(TAIL) - u.ppf(TAIL))),
    ),
    "above": (
        lambda d: np.log(d.sf(upper)),
        lambda g, u: upper / u.isf(np.exp(g)),
    ),
}


def least(f, low, high):
    edges = np.linspace(low, high, 25)
    at = [f(x) for x in edges]
    i = int(np.argmin(at))
    r = optimize.minimize_scalar(f, bounds=(edges[max(0, i - 1)], edges[min(24, i + 1)]), method="bounded",
                                 options={"xatol": 1e-9})
    return min(r.fun, at[i])


def ends(make, low, high, figure, scale):
    def minus(p):
        return -make(p[0], np.exp(p[1])).logpdf(values).sum() if low <= p[0] <= high else 1e9
    best = optimize.minimize(minus, [1.5, np.log(values.std())], method="Nelder-Mead",
                             options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 5000})
    value = float(figure(make(best.x[0], np.exp(best.x[1]))))

    def excess(g):
        def at(k):
            s = scale(g, make(k, 1.0))
            return -make(k, s).logpdf(values).sum() if s > 0 else 1e9
        return min(1e4, 2 * (least(at, low, high) - best.fun)) - bound

    found = [value]
    for sign in (-1, 1):
        step = 0.1 * max(0.3, abs(value))
        inside, outside = value, value + sign * step
        while excess(outside) < 0:
            inside, outside, step = outside, outside + sign * step, step * 1.5
        found.append(optimize.brentq(excess, min(inside, outside), max(inside, outside), xtol=1e-8))
    return found


cases = []
for family, (make, low, high) in FAMILIES.items():
    case = {"family": family}
    for name, (figure, scale) in FIGURES.items():
        found = ends(make, low, high, figure, scale)
        case[name] = [float(np.exp(x)) for x in found] if name == "above" else found
    cases.append(case)
print(json.dumps({"scipy": scipy.__version__, "lower": lower, "upper": upper, "values": values.tolist(), "cases": cases}, indent=1))
