"""Coverage of the 95 % noncentral t interval of the nearer index by integration instead of simulation.

    python3 coverage.py       writes coverage-exact.csv beside this script

Given the sample standard deviation the estimate depends on the sample mean alone, so that coverage is one integral over the
chi-square distribution. Noncentral t quantiles are found from the same kind of integral, independent of the program.
"""
from pathlib import Path

import numpy as np
import scipy
from scipy import optimize, stats

CASES = [(n, index, offset) for n in (10, 30, 100, 500) for index in (0.7, 1.33, 2.5) for offset in (0, 0.1, 0.5, 3)]
NODES, WEIGHTS = np.polynomial.legendre.leggauss(400)


def over_sigma(n, f):
    """Expectation of f(s / sigma), by Gauss-Legendre between far quantiles."""
    low, high = (np.sqrt(stats.chi2.ppf(1e-16, n - 1) / (n - 1)), np.sqrt(stats.chi2.isf(1e-16, n - 1) / (n - 1)))
    s = low + (high - low) * (NODES + 1) / 2
    density = stats.chi2.pdf(s * s * (n - 1), n - 1) * 2 * s * (n - 1)
    return np.sum(WEIGHTS * density * f(s)) * (high - low) / 2


def one_sided_above(n, delta, t):
    return over_sigma(n, lambda s: stats.norm.sf(t * s - delta))


rows = []
for n, index, offset in CASES:
    root = np.sqrt(n)
    delta = 3 * root * index
    spread = 12 * np.sqrt(1 + delta**2 / (2 * (n - 1))) + delta
    to = optimize.brentq(lambda t: one_sided_above(n, delta, t) - 0.025, delta - 5, delta + 4 * spread, xtol=1e-12)
    start = optimize.brentq(lambda t: one_sided_above(n, delta, t) - 0.975, 0, delta + spread, xtol=1e-12)

    def nearer_above(t):
        """P[t of the nearer limit > t]: the mean, in standard errors, between t s - far and near - t s."""
        near, far = delta, delta + 2 * offset * root
        return over_sigma(n, lambda s: np.maximum(0, stats.norm.cdf(near - t * s) - stats.norm.cdf(t * s - far)))

    below, above = nearer_above(to), 1 - nearer_above(start)
    rows.append(f'{n},{index},{offset},{1 - below - above:.8f},{below:.8f},{above:.8f}')

Path(__file__).with_name('coverage-exact.csv').write_text(
    f'# coverage.py, SciPy {scipy.__version__}, NumPy {np.__version__}\nn,index,offset,covered,below,above\n' + '\n'.join(rows) + '\n')
print('\n'.join(rows))
