"""Distributions that values are judged by, fitted by maximum likelihood with SciPy 1.17.1 alone."""
import math

import numpy as np
from formulas import anderson_darling, design_effect
from scipy import optimize, special, stats

TAIL = special.ndtr(-3)


def fitted(kind, values, groups):
    """The family and its parameters, with what speaks for it."""
    n = len(values)
    if kind in ("flatness", "position"):
        inflation = design_effect(groups, 2)
        reason = dict(n=n, nEffective=n / inflation)
        if kind == "position":
            sigma = math.sqrt(np.mean(values**2) / 2)
            return dict(family="Rayleigh", parameters=dict(family="Rayleigh", sigma=sigma), reason=reason)
        mu, sigma = folded(values)
        return dict(family="folded normal", parameters=dict(family="folded normal", mu=mu, sigma=sigma), reason=reason)
    inflation = design_effect(groups, 3)
    a, p = anderson_darling(values)
    reason = dict(n=n, nEffective=n / inflation, normality=dict(statistic=a / inflation, bound=1.159, p=p))
    normal = dict(family="normal", mean=float(values.mean()), sigma=float(values.std(ddof=1)))
    if a / inflation <= 1.159:
        return dict(family="normal", parameters=normal, reason=reason)
    gamma, delta, xi, like = johnson_sl(values)
    plain = -n / 2 * (math.log(2 * math.pi * values.var()) + 1)
    bic = lambda log_likelihood, k: -2 * log_likelihood / inflation + k * math.log(n / inflation)
    reason["advantage"] = bic(plain, 2) - bic(like, 3)
    return dict(
        family="Johnson S_L",
        parameters=dict(family="Johnson S_L", gamma=gamma, delta=delta, xi=xi),
        reason=reason,
    )


def folded(values):
    """|N(μ, σ)|; its likelihood is flat at μ = 0 (F. C. Leone, L. S. Nelson and R. B. Nottingham, Technometrics 3, 1961)."""

    def minus(theta):
        mu, sigma = abs(theta[0]), math.exp(theta[1])
        return -np.sum(np.logaddexp(stats.norm.logpdf(values, mu, sigma), stats.norm.logpdf(values, -mu, sigma)))

    square = np.mean(values**2)
    best = (minus([0, math.log(square) / 2]), 0.0, math.sqrt(square))
    for start in (0.3, 0.7, 0.95):
        found = optimize.minimize(
            minus,
            [start * math.sqrt(square), math.log(square * (1 - start**2)) / 2],
            method="Nelder-Mead",
            options=dict(xatol=1e-12, fatol=1e-12, maxiter=4000),
        )
        if found.fun < best[0] - 1e-9:
            best = (found.fun, abs(found.x[0]), math.exp(found.x[1]))
    return best[1], best[2]


def johnson_sl(values):
    """Lognormal from ξ on: γ + δ ln(x − ξ) is standard normal (N. L. Johnson, Biometrika 36, 1949); ξ by profile likelihood."""
    n, low = len(values), values.min()

    def profile(gap):
        y = np.log(values - low + math.exp(gap))
        return n / 2 * (math.log(2 * math.pi * y.var()) + 1) + y.sum()

    gaps = np.linspace(math.log(1e-4 * np.ptp(values)), math.log(10 * np.ptp(values)), 400)
    at = int(np.argmin([profile(g) for g in gaps]))
    found = optimize.minimize_scalar(
        profile, bracket=(gaps[at - 1], gaps[at], gaps[at + 1]), method="brent", options=dict(xtol=1e-12)
    )
    y = np.log(values - low + math.exp(found.x))
    delta = 1 / y.std()
    return -y.mean() * delta, delta, low - math.exp(found.x), -found.fun


def profile_interval(fit, values, inflation, lower, upper):
    """Indices by quantiles (ISO 22514-2) and shares outside, with intervals by profile likelihood where the family has a scale."""
    family, at = fit["family"], fit["parameters"]
    if family == "Johnson S_L":
        quantile = lambda z: at["xi"] + math.exp((z - at["gamma"]) / at["delta"])
        low, middle, high = quantile(-3), quantile(0), quantile(3)
        spread = (upper - lower) / (high - low)
        nearer = min((upper - middle) / (high - middle), (middle - lower) / (middle - low))
        above = special.ndtr(-(at["gamma"] + at["delta"] * math.log(upper - at["xi"])))
        below = 0.0 if lower <= at["xi"] else special.ndtr(at["gamma"] + at["delta"] * math.log(lower - at["xi"]))
        outside = dict(below=dict(value=below), above=dict(value=above), total=dict(value=above + below))
        return dict(value=spread), dict(value=nearer), outside
    n = len(values)
    squares = np.sum(values**2)
    if family == "Rayleigh":
        shapes, parameters = [0.0], 1
        unit = lambda _: stats.rayleigh()
        like = lambda _, s: np.sum(np.log(values)) - 2 * n * math.log(s) - squares / (2 * s * s)
        estimate = (0.0, at["sigma"])
    else:
        # Shape is the angle between the mean and the root of the mean square.
        shapes, parameters = None, 2
        unit = lambda a: stats.foldnorm(math.tan(a), scale=1.0)
        like = lambda a, s: float(
            np.sum(
                np.logaddexp(
                    stats.norm.logpdf(values, math.tan(a) * s, s), stats.norm.logpdf(values, -math.tan(a) * s, s)
                )
            )
        )
        estimate = (math.atan(at["mu"] / at["sigma"]), at["sigma"])
    best = like(*estimate)
    bound = stats.t.isf(0.025, n / inflation - parameters) ** 2

    def ends(value, scale_at):
        def excess(g):
            def at_shape(a):
                s = scale_at(g, unit(a))
                return like(a, s) if s > 0 and math.isfinite(s) else -1e300

            if shapes is not None:
                top = at_shape(0.0)
            else:
                grid = np.linspace(0, 1.55, 60)
                k = int(np.argmax([at_shape(a) for a in grid]))
                found = optimize.minimize_scalar(
                    lambda a: -at_shape(a),
                    bounds=(grid[max(0, k - 1)], grid[min(59, k + 1)]),
                    method="bounded",
                    options=dict(xatol=1e-10),
                )
                top = max(at_shape(grid[k]), -found.fun)
            return min(1e4, 2 * (best - top) / inflation) - bound

        out = []
        for sign in (-1, 1):
            inside, step = value, 0.02 * abs(value)
            while excess(inside + sign * step) < 0:
                inside, step = inside + sign * step, step * 1.5
            out.append(optimize.brentq(excess, inside, inside + sign * step, xtol=1e-9))
        return out

    quantiles = lambda d: (d.ppf(TAIL), d.ppf(0.5), d.isf(TAIL))
    low, middle, high = (estimate[1] * q for q in quantiles(unit(estimate[0])))
    nearer = (upper - middle) / (high - middle)
    a, b = ends(nearer, lambda g, d: upper / (quantiles(d)[1] + g * (quantiles(d)[2] - quantiles(d)[1])))
    share = float(unit(estimate[0]).sf(upper / estimate[1]))
    c, d = ends(math.log(share), lambda g, dist: upper / dist.isf(math.exp(g)) if g < 0 else math.nan)
    above = dict(value=share, lower=math.exp(c), upper=math.exp(d), confidence=0.95)
    return None, dict(value=nearer, lower=a, upper=b, confidence=0.95), dict(below=None, above=above, total=above)
