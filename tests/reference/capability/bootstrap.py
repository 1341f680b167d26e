"""BCa intervals by SciPy for the upper index of a lognormal distribution by the quantile method.

    python3 bootstrap.py       writes bootstrap.json beside this script
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy import stats

rng = np.random.default_rng(20261125)
values = np.round(np.exp(-3 + 0.4 * rng.standard_normal(200)), 6)
upper = 0.2


def index(x, axis=-1):
    logs = np.log(x)
    mu, sigma = logs.mean(axis=axis), logs.std(axis=axis)
    middle = np.exp(mu)
    return (upper - middle) / (np.exp(mu + 3 * sigma) - middle)


result = stats.bootstrap((values,), index, n_resamples=100_000, batch=2000, confidence_level=0.95, method='BCa', random_state=rng)
interval = result.confidence_interval
out = dict(madeBy=f'SciPy {scipy.__version__}, bootstrap.py', upper=upper, value=float(index(values)),
           interval=[float(interval.low), float(interval.high)], values=values.tolist())
Path(__file__).with_suffix('.json').write_text(json.dumps(out) + '\n')
print(out['value'], out['interval'])
