"""Reference values for the distributions, with mpmath to 30 digits or more.

    python3 make.py            writes the CSV files beside this script

    python3 make.py student    writes the files of one part

The first line of each file names the mpmath version. Tails come from closed forms, from power series of positive terms,
and from sums and quadrature with many more digits than a double holds; the smaller tail is never a rounded difference.
SciPy gives starting points for the quantiles, and nothing else. A density that is not computed is nan.
"""
import sys
from pathlib import Path

import mpmath as mp
from mpmath import mpf

mp.mp.dps = 40
HERE = Path(__file__).parent
D = 20


def write(name, head, rows):
    with open(HERE / name, 'w') as out:
        out.write(f'# mpmath {mp.__version__}, make.py\n{head}\n')
        for row in rows:
            out.write(','.join(v if isinstance(v, str) else mp.nstr(v, D, min_fixed=0, max_fixed=0) if isinstance(v, mpf) else repr(v) for v in row) + '\n')
    print(name, len(rows), flush=True)


# --- normal -----------------------------------------------------------------------------------------------

def normal_upper(x):
    return mp.erfc(mpf(x) / mp.sqrt(2)) / 2


def normal():
    rows = []
    for x in [0, 1e-9, 0.001, 0.1, 0.3, 0.5, 0.67, 0.675, 0.7, 1, 1.5, 2, 2.5, 3, 4, 5, 5.65, 5.66, 6, 7, 7.9413453, 9, 12, 15.3, 20, 27, 33, 37.5]:
        rows.append([x, mp.npdf(mpf(x)), normal_upper(-x), normal_upper(x)])
    write('normal.csv', 'x,density,lower,upper', rows)
    rows = []
    for q in [0.4999, 0.45, 0.3, 0.1, 0.075, 0.0749, 0.025, 0.00135, 1e-3, 1e-4, 1e-6, 1e-9, 1e-11, 1e-12, 1e-15, 1e-20, 1e-40, 1e-100, 1e-200, 1e-300]:
        start = mp.sqrt(max(mpf(0), -2 * mp.log(mpf(q)) - mp.log(max(mpf(1), -4 * mp.pi * mp.log(mpf(q))))))
        x = mp.findroot(lambda t: mp.log(normal_upper(t) / mpf(q)), start)
        rows.append([q, x])
    write('normal-quantile.csv', 'upper,x', rows)


# --- gamma and beta functions: tails by power series of positive terms --------------------------------------

def gamma_lower(a, x):
    """P(a, x) from x^a e^-x sum x^n / (a)_(n+1): positive terms only."""
    a, x = mpf(a), mpf(x)
    term = 1 / a
    total = term
    n = 0
    while term > total * mpf(10) ** (-mp.mp.dps):
        n += 1
        term *= x / (a + n)
        total += term
    return mp.exp(a * mp.log(x) - x - mp.loggamma(a)) * total


def gamma_tails(a, x):
    """Both tails; the upper one as a difference with enough digits to spare."""
    old = mp.mp.dps
    mp.mp.dps = 60
    low = gamma_lower(a, x)
    if 1 - low < mpf(10) ** -15:
        mp.mp.dps = 400
        low = gamma_lower(a, x)
    up = 1 - low
    mp.mp.dps = old
    return +low, +up


def beta_lower(a, b, x, y):
    """I_x(a, b) from x^a y^b / (a B) sum (a + b)_n / (a + 1)_n x^n: positive terms only."""
    term = mpf(1)
    total = term
    n = 0
    while term > total * mpf(10) ** (-mp.mp.dps) or (a + b + n) * x > a + 1 + n:
        term *= (a + b + n) / (a + 1 + n) * x
        total += term
        n += 1
    return mp.exp(a * mp.log(x) + b * mp.log(y) - mp.loggamma(a) - mp.loggamma(b) + mp.loggamma(a + b)) / a * total


def beta_tails(a, b, f):
    """Both tails, from the series in whichever of x and y is smaller; digits to spare for the difference."""
    old = mp.mp.dps
    for dps in (60, 400):
        mp.mp.dps = dps
        a, b, f = mpf(a), mpf(b), mpf(f)
        x = a * f / (a * f + b)
        y = b / (a * f + b)
        if x < y:
            low = beta_lower(a, b, x, y)
            up = 1 - low
        else:
            up = beta_lower(b, a, y, x)
            low = 1 - up
        if (up if x < y else low) > mpf(10) ** -15:
            break
    mp.mp.dps = old
    return +low, +up


Z = [-38, -30, -20, -12, -8, -5, -3, -1, -0.1, 0.01, 0.5, 2, 4, 7, 10, 15, 25, 37]
DF = [1, 1.5, 2, 3, 4.75, 7, 10, 19, 30, 60.5, 100, 333, 1000, 5000, 20000.25, 100000]


def short(v):
    """A double with few digits, so that the argument is read back exactly."""
    return float(f'{v:.10g}')


def chi_square():
    rows = []
    for df in DF:
        xs = {short(df * v) for v in (1e-12, 1e-6, 1e-3, 0.1)} if df < 50 else set()
        for z in Z:
            cube = 1 - 2 / (9 * df) + z * (2 / (9 * df)) ** 0.5
            if cube > 0:
                xs.add(short(df * cube ** 3))
        for x in sorted(xs):
            low, up = gamma_tails(mpf(df) / 2, mpf(x) / 2)
            a = mpf(df) / 2
            density = mp.exp((a - 1) * mp.log(mpf(x)) - mpf(x) / 2 - a * mp.log(2) - mp.loggamma(a))
            if min(low, up, density) > mpf(10) ** -300:
                rows.append([x, df, density, low, up])
    write('chi-square.csv', 'x,df,density,lower,upper', rows)


def f_density(x, d1, d2):
    a, b, x = mpf(d1) / 2, mpf(d2) / 2, mpf(x)
    return mp.exp(a * mp.log(a * x / (a * x + b)) + b * mp.log(b / (a * x + b)) - mp.log(x)
                  - mp.loggamma(a) - mp.loggamma(b) + mp.loggamma(a + b))


def f():
    rows = []
    pairs = [(1, 1), (1, 2.5), (1, 30), (1, 1000), (1, 100000), (2, 7), (3, 3), (4.5, 60), (5, 100000), (9, 20), (19, 80),
             (100, 1), (100, 100), (1000, 30.25), (5000, 5000), (100000, 1), (100000, 12), (100000, 100000)]
    for d1, d2 in pairs:
        xs = set()
        spread = (2 / d1 + 2 / d2) ** 0.5
        for z in Z:
            xs.add(short(2.718281828459045 ** max(-40, min(40, z * spread))))
        for x in sorted(xs):
            density = f_density(x, d1, d2)
            low, up = beta_tails(mpf(d1) / 2, mpf(d2) / 2, mpf(x))
            if min(low, up, density) > mpf(10) ** -300:
                rows.append([x, d1, d2, density, low, up])
    write('f.csv', 'x,df1,df2,density,lower,upper', rows)


def student_upper(t, nu):
    """Upper tail for t > 0 from the square, which is F(1, nu)."""
    return beta_tails(mpf(1) / 2, mpf(nu) / 2, mpf(t) ** 2)[1] / 2


def student():
    rows = []
    for nu in DF:
        ts = {1e-8, 0.01, 0.5, 0.99, 1, 1.01, 1.7, 2, 3, 4.5, 6, 8, 12, 20, 36}
        if nu < 20:
            ts |= {1e3, 1e6, 1e12}
        for t in sorted(ts):
            density = mp.exp(mp.loggamma((mpf(nu) + 1) / 2) - mp.loggamma(mpf(nu) / 2)
                             - (mpf(nu) + 1) / 2 * mp.log(1 + mpf(t) ** 2 / nu)) / mp.sqrt(mp.pi * nu)
            up = student_upper(t, nu)
            if up > mpf(10) ** -300:
                rows.append([t, nu, density, 1 - up, up])
    write('student.csv', 't,nu,density,lower,upper', rows)


# --- quantiles: inverse of the tails above -------------------------------------------------------------------

def solve(fn, target, u):
    """Secant on the logarithm of the tail over u = ln x."""
    g = lambda v: mp.log(fn(mp.exp(v)) / target)
    return mp.exp(mp.findroot(g, (u, u + mpf('0.001')), solver='secant', tol=mpf(10) ** -50, maxsteps=60))


def quantiles():
    from scipy import stats  # starting points only
    rows = []
    probabilities = [1e-15, 1e-9, 1e-5, 0.00135, 0.025, 0.2, 0.5]
    for df in [1, 2.5, 10, 100, 3000, 100000]:
        for p in probabilities:
            low = solve(lambda x: gamma_tails(mpf(df) / 2, x / 2)[0], mpf(p), mp.log(float(stats.chi2.ppf(p, df))))
            up = solve(lambda x: gamma_tails(mpf(df) / 2, x / 2)[1], mpf(p), mp.log(float(stats.chi2.isf(p, df))))
            rows.append([p, df, low, up])
    write('chi-square-quantile.csv', 'p,df,quantile,upperQuantile', rows)
    rows = []
    for d1, d2 in [(1, 1), (1, 100000), (2.5, 7), (9, 60), (100, 20), (5000, 300), (100000, 3), (100000, 100000)]:
        for p in probabilities:
            low = solve(lambda x: beta_tails(mpf(d1) / 2, mpf(d2) / 2, x)[0], mpf(p), mp.log(float(stats.f.ppf(p, d1, d2))))
            up = solve(lambda x: beta_tails(mpf(d1) / 2, mpf(d2) / 2, x)[1], mpf(p), mp.log(float(stats.f.isf(p, d1, d2))))
            rows.append([p, d1, d2, low, up])
    write('f-quantile.csv', 'p,df1,df2,quantile,upperQuantile', rows)
    rows = []
    for nu in [1, 1.5, 3, 8.25, 30, 1000, 100000]:
        for p in [1e-15, 1e-9, 1e-5, 0.00135, 0.025, 0.2, 0.3, 0.49, 0.4999999]:
            up = solve(lambda t: student_upper(t, nu), mpf(p), mp.log(float(stats.t.isf(p, nu))))
            rows.append([p, nu, up])
    write('student-quantile.csv', 'upper,nu,t', rows)


# --- mean and standard deviation of the range -----------------------------------------------------------------

def range_constants():
    """Tippett's integrals (Biometrika 17, 1925): single for the mean, double for the mean square."""
    rows = []
    old = mp.mp.dps
    mp.mp.dps = 28
    # A fixed grid and the trapezoidal rule in x, Gauss-Legendre in w.
    cdf = lambda x: mp.erfc(-x / mp.sqrt(2)) / 2
    nodes = [(mpf(0), mpf(1))]
    nodes = mp.calculus.quadrature.GaussLegendre(mp.mp).get_nodes(mpf(0), mpf(16), degree=7, prec=100)
    step = mpf(1) / 16
    xs = [step * i for i in range(-16 * 11, 16 * 11 + 1)]
    low = [cdf(x) for x in xs]
    for n in (30, 100, 500, 1000):
        mean = step * sum(1 - (1 - c) ** n - c ** n for c in low)
        second = mpf(0)
        for w, weight in nodes:
            inner = mpf(0)
            for x, c in zip(xs, low):
                up = cdf(x + w)
                inner += 1 - up ** n - (1 - c) ** n + (up - c) ** n
            second += weight * inner
        second *= 2 * step
        rows.append([n, mean, mp.sqrt(second - mean ** 2)])
    mp.mp.dps = old
    write('range-constants.csv', 'n,d2,d3', rows)


# --- noncentral t: the series in Poisson weights and incomplete beta functions ---------------------------------

def noncentral_lower(t, nu, delta):
    """P[T <= t] for t >= 0: R. V. Lenth, AS 243, Applied Statistics 38 (1989), carried with digits to spare."""
    t, nu, delta = mpf(t), mpf(nu), mpf(delta)
    x = t * t / (nu + t * t)
    y = nu / (nu + t * t)
    half = delta * delta / 2
    total = mp.ncdf(-delta)
    if t == 0:
        return total
    b = nu / 2
    f = lambda a: (x / a) / (y / b)
    p = mp.exp(-half) / 2
    q = delta * mp.exp(-half) / mp.sqrt(2) / mp.gamma(mpf(3) / 2) / 2
    i_p = beta_tails(mpf(1) / 2, b, f(mpf(1) / 2))[0]
    i_q = beta_tails(mpf(1), b, f(mpf(1)))[0]
    term = lambda a: mp.exp(a * mp.log(x) + b * mp.log(y) + mp.loggamma(a + b) - mp.loggamma(a + 1) - mp.loggamma(b))
    t_p, t_q = term(mpf(1) / 2), term(mpf(1))
    j = 0
    limit = mpf(10) ** (-mp.mp.dps + 10)
    while True:
        add = p * i_p + q * i_q
        total += add
        if j > half and abs(p) < limit:
            return total
        i_p -= t_p
        i_q -= t_q
        t_p *= x * (j + mpf(1) / 2 + b) / (j + mpf(3) / 2)
        t_q *= x * (j + 1 + b) / (j + 2)
        j += 1
        p *= half / j
        q *= half / (j + mpf(1) / 2)


def noncentral_tails(t, nu, delta):
    old = mp.mp.dps
    mp.mp.dps = 90
    if t >= 0:
        low = noncentral_lower(t, nu, delta)
        tails = low, 1 - low
    else:
        up = noncentral_lower(-t, nu, -delta)
        tails = 1 - up, up
    mp.mp.dps = old
    return +tails[0], +tails[1]


def noncentral_density(t, nu, delta):
    """Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 2 (1995), chapter 31, as a Hermite integral."""
    old = mp.mp.dps
    mp.mp.dps = 60
    t, nu, delta = mpf(t), mpf(nu), mpf(delta)
    z = delta * t / mp.sqrt(nu + t * t)
    # 1F1 form: f = nu^(nu/2) nu! exp(-delta^2/2) / ... split in even and odd parts
    c = mp.loggamma(nu + 1) - nu * mp.log(2) - mp.loggamma(nu / 2) + nu / 2 * mp.log(nu) - delta ** 2 / 2 - (nu + 1) / 2 * mp.log(nu + t * t)
    even = mp.hyp1f1((nu + 1) / 2, mpf(1) / 2, z * z / 2) / mp.gamma(nu / 2 + 1) if nu < 300 else None
    if even is None:
        mp.mp.dps = old
        return None
    odd = mp.sqrt(2) * z * mp.hyp1f1(nu / 2 + 1, mpf(3) / 2, z * z / 2) / mp.gamma((nu + 1) / 2)
    value = mp.exp(c) * (even + odd)
    mp.mp.dps = old
    return +value


def noncentral():
    rows = []
    cases = [(1, 0), (1, 0.7), (1, -3), (1, 8), (1, 60), (1.5, 2.3), (2, -50), (3, 5), (4.5, 25), (9, 1), (9, -6), (9, 12.5),
             (24, 5.3), (24, 40), (49, 37.7), (99, 40), (99, -50), (150.25, 90), (999, 3), (999, 130), (20000, 45), (100000, 2),
             (100000, -8), (100000, 100)]
    for nu, delta in cases:
        ts = set()
        for z in (-7.8, -4, -1.5, 0, 0.8, 2.5, 5, 7.8):
            spread = (1 + delta ** 2 / (2 * nu)) ** 0.5
            if nu > 50:
                ts.add(float(f'{delta + z * spread:.6g}'))
            else:
                s = max(1e-3, 1 - 2 / (9 * nu) + (-z) * (2 / (9 * nu)) ** 0.5) ** 1.5
                ts.add(float(f'{(delta + (z if delta * z > 0 else z / 4)) / s if abs(z) > 0.5 else delta:.6g}'))
        if nu < 50:
            ts |= {0.0, float(f'{delta / 10:.3g}'), -2.0, 1.5}
        for t in sorted(ts):
            low, up = noncentral_tails(t, nu, delta)
            density = noncentral_density(t, nu, delta)
            if min(low, up) > mpf(10) ** -30:
                rows.append([t, nu, delta, 'nan' if density is None else density, low, up])
        print(nu, delta, flush=True)
    write('noncentral-student.csv', 't,nu,delta,density,lower,upper', rows)


def noncentral_far():
    """Large noncentrality: tolerance factors of tens of thousands of values."""
    rows = []
    for nu, delta, ts in [(1, 600, (150, 500, 900, 1e5, 1e12)), (30, 600, (350, 560, 700, 1500)), (40000, 600, (585, 600, 612)),
                          (100000, 400, (393, 400.5, 407))]:
        for t in ts:
            low, up = noncentral_tails(t, nu, delta)
            if min(low, up) > mpf(10) ** -30:
                rows.append([float(t), nu, delta, low, up])
        print(nu, delta, flush=True)
    write('noncentral-student-far.csv', 't,nu,delta,lower,upper', rows)


# --- range and studentised range: double trapezoidal sums ---------------------------------------------------------

def range_tails(w, n):
    """Both tails of the range of n normal values; the upper one as a difference of integrands."""
    step = mpf(1) / 12 if n < 50 else mpf(1) / 24
    low = up = mpf(0)
    i = int(-14 / step)
    while i * step < 12:
        x = i * step
        above = mp.erfc(x / mp.sqrt(2)) / 2
        inside = above - mp.erfc((x + w) / mp.sqrt(2)) / 2
        d = mp.exp(-x * x / 2)
        low += d * inside ** (n - 1)
        up += d * (above ** (n - 1) - inside ** (n - 1))
        i += 1
    factor = n * step / mp.sqrt(2 * mp.pi)
    return low * factor, up * factor


def normal_range():
    old = mp.mp.dps
    mp.mp.dps = 60
    rows = []
    for n in (2, 3, 5, 12, 50, 300):
        for w in (0.05, 0.5, 1, 1.7, 3, 4.5, 6, 9, 14):
            low, up = range_tails(mpf(w), n)
            if min(low, up) > mpf(10) ** -40:
                rows.append([w, n, low, up])
    mp.mp.dps = old
    write('normal-range.csv', 'w,n,lower,upper', rows)


def studentised_range():
    old = mp.mp.dps
    mp.mp.dps = 30
    rows = []
    for k, nu, qs in [(3, 2, (0.4, 4, 60)), (5, 10, (1, 4.65, 14)), (20, 20, (2.5, 5)), (20, 7.5, (5, 25)), (60, 200, (6, 9.5)), (200, 60, (5, 8))]:
        for q in qs:
            step = min(mpf(1) / 12, 1 / mp.sqrt(2 * nu) / 3)
            low = up = mpf(0)
            for direction in (-1, 1):
                i = 0 if direction == 1 else -1
                while True:
                    u = i * step
                    f = mp.exp(nu * (u - mp.expm1(2 * u) / 2))
                    a, b = range_tails(q * mp.exp(u), k)
                    low += f * a
                    up += f * b
                    if f * min(a, b) < mpf(10) ** -22 * min(low, up) and f < mpf(10) ** -17 * max(low, up) and f * a < mpf(10) ** -17 * low and f * b < mpf(10) ** -17 * up:
                        break
                    i += direction
            total = low + up
            rows.append([q, k, nu, low / total, up / total])
            print(q, k, nu, flush=True)
    mp.mp.dps = old
    write('studentised-range.csv', 'q,k,nu,lower,upper', rows)


# --- distributions for skewed and bounded data: tails by quadrature of the textbook density ------------------------

def skewed():
    old = mp.mp.dps
    mp.mp.dps = 70
    phi = lambda z: mp.exp(-z * z / 2) / mp.sqrt(2 * mp.pi)
    densities = {
        'lognormal': (lambda x, m, s: phi((mp.log(x) - m) / s) / (x * s), lambda m, s: (0, mp.inf)),
        'weibull': (lambda x, k, c, a: k / c * ((x - a) / c) ** (k - 1) * mp.exp(-((x - a) / c) ** k), lambda k, c, a: (a, mp.inf)),
        'gamma': (lambda x, k, c: x ** (k - 1) * mp.exp(-x / c) / (mp.gamma(k) * c ** k), lambda k, c: (0, mp.inf)),
        'foldedNormal': (lambda x, m, s: (phi((x - m) / s) + phi((x + m) / s)) / s, lambda m, s: (0, mp.inf)),
        'rayleigh': (lambda x, s: x / s ** 2 * mp.exp(-x * x / (2 * s * s)), lambda s: (0, mp.inf)),
        'johnsonSU': (lambda x, g, d, a, l: d / mp.sqrt(l * l + (x - a) ** 2) * phi(g + d * mp.asinh((x - a) / l)),
                      lambda g, d, a, l: (-mp.inf, mp.inf)),
        'johnsonSB': (lambda x, g, d, a, l: d * l / ((x - a) * (a + l - x)) * phi(g + d * mp.log((x - a) / (a + l - x))),
                      lambda g, d, a, l: (a, a + l)),
        'johnsonSL': (lambda x, g, d, a: d / (x - a) * phi(g + d * mp.log(x - a)), lambda g, d, a: (a, mp.inf)),
    }
    cases = [
        ('lognormal', (0.5, 0.25), (0.3, 1, 1.6, 2, 5, 11)), ('lognormal', (-3, 1.5), (1e-5, 0.05, 3, 200)),
        ('weibull', (1.8, 2.5, 0), (1e-6, 0.2, 2, 6, 18)), ('weibull', (0.7, 0.03, 10), (10.000001, 10.01, 10.2, 12)),
        ('weibull', (8, 1.5, -1), (-0.9, 0, 0.4, 1.1)),
        ('gamma', (0.6, 2), (1e-8, 0.1, 3, 60)), ('gamma', (12.5, 0.02), (0.01, 0.1, 0.25, 0.5, 1.2)),
        ('foldedNormal', (0, 1.2), (1e-7, 0.3, 2, 9)), ('foldedNormal', (0.8, 0.5), (1e-7, 0.2, 1, 2.5, 4.4)),
        ('foldedNormal', (6, 1), (1e-3, 1, 5, 8, 13)),
        ('rayleigh', (0.04,), (1e-9, 0.01, 0.05, 0.15, 0.33)),
        ('johnsonSU', (-0.7, 1.6, 20, 0.3), (10, 19, 20, 20.2, 21, 27)), ('johnsonSU', (0, 3, 0, 1), (-5, -0.3, 0.1, 4)),
        ('johnsonSB', (0.9, 1.1, 2, 5), (2.001, 2.2, 3, 5, 6.9)), ('johnsonSB', (0, 0.6, -1, 2), (-0.9999, -0.5, 0.2, 0.9999)),
        ('johnsonSL', (1.2, 2.2, 5), (5.01, 5.4, 6, 8, 20)),
    ]
    rows = []
    for name, parameters, xs in cases:
        f, support = densities[name]
        exact = [mpf(v) for v in parameters]
        low_end, high_end = support(*exact)
        for x in xs:
            x = mpf(x)
            g = lambda v: f(v, *exact)
            # Geometric pieces towards each end of the support, so that no feature is stepped over.
            scale = abs(x) + 1
            def pieces(end, sign):
                far = mpf(10) ** 12 * scale if mp.isinf(end) else abs(end - x)
                if mp.isinf(end):
                    return [x] + [x + sign * scale * mpf(2) ** i * mpf('1e-4') for i in range(0, 40)]
                return [x] + [end - sign * far * mpf(2) ** -i for i in range(1, 200)]
            low = abs(mp.quad(g, pieces(low_end, -1)))
            up = abs(mp.quad(g, pieces(high_end, 1)))
            if abs(low + up - 1) > mpf(10) ** -16:
                raise ValueError((name, parameters, x, low, up))
            rows.append([name, repr(float(x))] + [repr(v) for v in parameters] + [''] * (4 - len(parameters)) + [g(x), low, up])
        print(name, flush=True)
    mp.mp.dps = old
    write('skewed.csv', 'name,x,a,b,c,d,density,lower,upper', rows)


if __name__ == '__main__':
    parts = {'skewed': skewed, 'normal_range': normal_range, 'studentised_range': studentised_range, 'range_constants': range_constants, 'noncentral': noncentral, 'noncentral_far': noncentral_far, 'normal': normal, 'chi_square': chi_square, 'f': f, 'student': student, 'quantiles': quantiles}
    for part in sys.argv[1:] or parts:
        parts[part]()
