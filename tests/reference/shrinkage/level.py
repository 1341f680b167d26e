# Reference values for tests/src/shrinkage/level.test.ts: run `python3 level.py > level.json` in this folder.
# Written with Python 3.11, NumPy 1.24, SciPy 1.10. The exponentially weighted level by full covariance matrices of the
# differences from the first build, in place of a filter.
import json, sys
import numpy as np, scipy, scipy.special
from scipy.linalg import cho_factor, cho_solve

WEIGHTS = [0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.55, 0.7, 0.9]
MOVING = [w * (1 - w) ** 2 for w in WEIGHTS]
STILL = 0.2
rng = np.random.default_rng(20261125)

def level(y, noise):
    n = len(y)
    r = np.array(y[1:]) - y[0]
    logs, values, variances, scales, steps = [], [], [], [], []
    for i, w in enumerate(WEIGHTS):
        q = w * w / (1 - w)
        t = np.arange(1, n)
        V = q * np.minimum.outer(t, t) + np.diag(noise[1:]) + noise[0]
        c = q * t + noise[0]
        factor = cho_factor(V)
        squares = r @ cho_solve(factor, r)
        prior = STILL if i == 0 else (1 - STILL) * MOVING[i] / sum(MOVING)
        logs.append(np.log(prior) - np.sum(np.log(np.diag(factor[0]))) - (n - 1) / 2 * np.log(squares))
        values.append(y[0] + c @ cho_solve(factor, r))
        variances.append(q * (n - 1) + noise[0] - c @ cho_solve(factor, c))
        scales.append(squares / (n - 1))
        steps.append(q)
    p = np.exp(np.array(logs) - max(logs)); p /= p.sum()
    values, variances, scales, steps = map(np.array, (values, variances, scales, steps))
    value = p @ values
    return dict(value=value, standardError=np.sqrt(p @ (variances * scales + (values - value) ** 2)),
                sigma=np.sqrt(p @ scales), stepVariance=p @ (scales * steps), weight=p @ np.array(WEIGHTS),
                driftProbability=p[1:].sum())

# How much more likely a record is where a factor does not fit than where it does: multivariate normal densities with
# the level started around the factor, the variance of builds integrated out by its prior 1/variance.
def log_ratio(y, noise, factor):
    n = len(y)
    r = np.array(y) - factor
    t = np.arange(1, n + 1)
    logs = []
    for i, w in enumerate(WEIGHTS):
        q = w * w / (1 - w)
        # The level starts before the first build, and steps once before each.
        V = 1 + q * np.minimum.outer(t, t) + np.diag(noise)
        factor_ = cho_factor(V)
        prior = STILL if i == 0 else (1 - STILL) * MOVING[i] / sum(MOVING)
        logs.append(np.log(prior) - np.sum(np.log(np.diag(factor_[0]))) - n / 2 * np.log(r @ cho_solve(factor_, r)))
    fits = -np.sum(np.log(noise)) / 2 - n / 2 * np.log(np.sum(r * r / np.array(noise)))
    return scipy.special.logsumexp(logs) - fits

sets = []
for n, drift in [(3, 0), (12, 0.0), (30, 0.3), (60, 0.6)]:
    noise = rng.uniform(0.6, 1.8, n).round(3)
    y = (1.19 + 0.0005 * (np.cumsum(drift * rng.normal(size=n)) + np.sqrt(noise) * rng.normal(size=n))).round(7)
    sets.append(dict(values=list(y), noise=list(noise), level=level(list(y), list(noise)),
                     factor=1.19, logRatio=log_ratio(list(y), list(noise), 1.19)))
json.dump(dict(python=sys.version.split()[0], numpy=np.__version__, scipy=scipy.__version__, sets=sets), sys.stdout)
