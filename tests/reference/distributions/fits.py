"""Maximum likelihood fits by SciPy, to check the program's fits against.

    python3 fits.py            writes fits.json beside this script

Each data set is drawn with a fixed seed and rounded to six decimals. Its fit is the local maximum of SciPy's log-likelihood
found by repeated simplex searches with tight tolerances from the true parameters.
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy import optimize, stats

HERE = Path(__file__).parent


def maximise(loglik, start, scale):
    best = np.array(start, float)
    for _ in range(12):
        simplex = np.vstack([best] + [best + np.eye(len(best))[i] * scale[i] for i in range(len(best))])
        result = optimize.minimize(lambda v: -loglik(v) if np.isfinite(loglik(v)) else 1e300, best, method='Nelder-Mead',
                                   options=dict(initial_simplex=simplex, xatol=1e-13, fatol=1e-13, maxiter=20000, maxfev=20000))
        moved = np.max(np.abs(result.x - best))
        best = result.x
        scale = [s * 0.3 for s in scale]
        if moved < 1e-11:
            break
    return best, -result.fun


# Parameters as the program names them -> frozen SciPy distribution.
FAMILIES = {
    'lognormal': (('mu', 'sigma'), lambda mu, sigma: stats.lognorm(sigma, scale=np.exp(mu))),
    'weibull': (('shape', 'scale'), lambda shape, scale: stats.weibull_min(shape, scale=scale)),
    'weibullThreshold': (('shape', 'scale', 'threshold'), lambda shape, scale, threshold: stats.weibull_min(shape, loc=threshold, scale=scale)),
    'gamma': (('shape', 'scale'), lambda shape, scale: stats.gamma(shape, scale=scale)),
    'foldedNormal': (('mu', 'sigma'), lambda mu, sigma: stats.foldnorm(mu / sigma, scale=sigma)),
    'rayleigh': (('sigma',), lambda sigma: stats.rayleigh(scale=sigma)),
    'johnsonSU': (('gamma', 'delta', 'xi', 'lambda'), lambda g, d, x, l: stats.johnsonsu(g, d, loc=x, scale=l)),
    'johnsonSB': (('gamma', 'delta', 'xi', 'lambda'), lambda g, d, x, l: stats.johnsonsb(g, d, loc=x, scale=l)),
    'johnsonSL': (('gamma', 'delta', 'xi'), lambda g, d, x: stats.lognorm(1 / d, loc=x, scale=np.exp(-g / d))),
}

CASES = [
    ('lognormal', (0.5, 0.25), 40), ('lognormal', (-3, 1.5), 12),
    ('weibull', (1.8, 2.5), 60), ('weibull', (0.7, 0.03), 25), ('weibull', (14, 0.5), 30),
    ('weibullThreshold', (2.2, 1.5, 10), 120), ('weibullThreshold', (3, 0.05, -0.2), 300),
    ('gamma', (0.6, 2), 30), ('gamma', (12.5, 0.02), 80), ('gamma', (900, 0.01), 50),
    ('foldedNormal', (0.8, 0.5), 60), ('foldedNormal', (6, 1), 40), ('foldedNormal', (0.4, 0.5), 30),
    ('rayleigh', (0.04,), 50),
    ('johnsonSU', (-0.7, 1.6, 20, 0.3), 400), ('johnsonSU', (0.4, 1.2, 0, 2), 200),
    ('johnsonSB', (0.9, 1.1, 2, 5), 300), ('johnsonSB', (0, 0.9, -1, 2), 200),
    ('johnsonSL', (1.2, 2.2, 5), 150), ('johnsonSL', (-1, 1.1, -3), 80),
]


def main():
    rng = np.random.default_rng(20261125)
    out = []
    for family, true, n in CASES:
        names, frozen = FAMILIES[family]
        values = np.round(frozen(*true).rvs(size=n, random_state=rng), 6)
        loglik = lambda v: np.sum(frozen(*v).logpdf(values))
        scale = [0.2 * abs(t) + 0.02 for t in true]
        best, value = maximise(loglik, true, scale)
        out.append(dict(family=family, parameters=dict(zip(names, best.tolist())), logLikelihood=float(value), values=values.tolist()))
        print(family, best, value, flush=True)
    with open(HERE / 'fits.json', 'w') as f:
        json.dump(dict(madeBy=f'SciPy {scipy.__version__}, NumPy {np.__version__}, fits.py', fits=out), f, indent=None)
        f.write('\n')


if __name__ == '__main__':
    main()
