"""Reference values for tests/src/gauges: run `python3 misjudged.py > misjudged.json` in this folder.

Shares of wrongly accepted and rejected parts by mpmath quadrature of the bivariate normal distribution, and exact
intervals of agreement limits by the noncentral t distribution (mpmath integration and root finding).
"""
import json
import sys
import mpmath as mp

mp.mp.dps = 30


def pdf(x): return mp.exp(-x * x / 2) / mp.sqrt(2 * mp.pi)
def cdf(x): return mp.erfc(-x / mp.sqrt(2)) / 2


CASES = [
    # mean, part sd, bias, gauge sd, lower, upper, accepted from, accepted to
    (0, 1, 0, 0.3, -3, 3, -3, 3),
    (0, 1, 0, 0.3, -3, 3, -2.4, 2.4),
    (0.5, 1, 0.2, 0.5, -2, 3, -2, 3),
    (12.5, 0.02, 0.001, 0.004, 12.45, 12.55, 12.45, 12.55),
    (0, 1, 0, 0.001, -3, 3, -3, 3),
    (0, 1, 0, 5, -3, 3, -3, 3),
    (0, 1, 0, 0.2, None, 4, None, 4),
    (0, 1, -0.1, 0.2, -6, None, -5.8, None),
    (0, 1, 0, 0.1, -8, 8, -8, 8),
    (5, 1, 0, 0.4, -3, 3, -3, 3),
]


def shares(mean, sp, bias, sg, lower, upper, a, b):
    mean, sp, bias, sg = map(mp.mpf, map(str, (mean, sp, bias, sg)))
    num = lambda v: None if v is None else mp.mpf(str(v))
    lower, upper, a, b = map(num, (lower, upper, a, b))

    def below(x): return mp.mpf(0) if a is None else cdf((a - x - bias) / sg)
    def above(x): return mp.mpf(0) if b is None else cdf((x + bias - b) / sg)

    def inside(x):
        if a is None: return cdf((b - x - bias) / sg)
        if b is None: return cdf((x + bias - a) / sg)
        # The difference of the smaller tails.
        if x + bias > (a + b) / 2: return cdf((x + bias - a) / sg) - cdf((x + bias - b) / sg)
        return cdf((b - x - bias) / sg) - cdf((a - x - bias) / sg)

    def integral(f, start, end):
        points = {start, end}
        for limit in (lower, upper, a, b):
            if limit is None: continue
            for k in (0, 1, 2, 4, 8, 16, 30): points |= {limit - k * sg, limit + k * sg}
        for k in range(-36, 37, 2): points.add(mean + k * sp)
        inner = sorted(p for p in points if start <= p <= end)
        return mp.quad(lambda x: pdf((x - mean) / sp) / sp * f(x), inner)

    far = (mean - 36 * sp, mean + 36 * sp)
    lo = far[0] if lower is None else lower
    hi = far[1] if upper is None else upper
    accepted = (integral(inside, far[0], lo) if lower is not None else 0) + (integral(inside, hi, far[1]) if upper is not None else 0)
    rejected = integral(lambda x: below(x) + above(x), lo, hi)
    return float(accepted), float(rejected)


def noncentral_lower(t, df, delta):
    """P[T <= t] by integration over the chi distribution of s / sigma."""
    c = mp.log(2) + (df / mp.mpf(2)) * mp.log(df / mp.mpf(2)) - mp.loggamma(df / mp.mpf(2))
    f = lambda s: mp.exp(c + (df - 1) * mp.log(s) - df * s * s / 2) * cdf(t * s - delta)
    return mp.quad(f, [mp.mpf('1e-9'), 0.25, 0.5, 0.75, 1, 1.25, 1.5, 2, 3, 5])


def agreement(n, content, confidence):
    z = mp.sqrt(2) * mp.erfinv(content)
    delta = z * mp.sqrt(n)
    tail = (1 - mp.mpf(confidence)) / 2
    root = lambda p: mp.findroot(lambda t: noncentral_lower(t, n - 1, delta) - p, (delta * 0.8, delta * 1.3), tol=1e-24)
    return [float(root(p) / mp.sqrt(n)) for p in (tail, 1 - tail)]


mp.mp.dps = 30
misjudged = [{'case': c, 'shares': shares(*c)} for c in CASES]
mp.mp.dps = 20
agree = [{'n': n, 'content': p, 'confidence': c, 'factors': agreement(n, mp.mpf(str(p)), mp.mpf(str(c)))}
         for n, p, c in ((17, 0.95, 0.95), (30, 0.95, 0.95), (10, 0.9, 0.9))]
json.dump({'python': sys.version.split()[0], 'mpmath': mp.__version__, 'misjudged': misjudged, 'agreement': agree},
          sys.stdout, indent=1)
