"""Makes expected-gauges.json: figures of the studies in crossed.csv, known-parts.csv and two-gauges.csv, and what they make of
characteristic 1. Run after make_expected.py with: python3 make_gauges_expected.py (Python 3, NumPy 2.4.6, SciPy 1.17.1)."""
import csv
import json
import math
from fractions import Fraction

import numpy as np
from formulas import *
from make_expected import BUILDS, Characteristic
from scipy import integrate


def rows(name):
    with open(name) as file:
        return list(csv.DictReader(file))


def limits_of_mean_squares(terms, tail):
    """Lower limit of Σ c E[S²] (N. Ting, R. K. Burdick, F. A. Graybill, S. Jeyaratnam and T.-F. C. Lu, 1990; from memory)."""
    g = lambda df: 1 - df / stats.chi2.isf(tail, df)
    h = lambda df: df / stats.chi2.ppf(tail, df) - 1
    plus = [(c * m, df) for c, m, df in terms if c * m > 0]
    minus = [(-c * m, df) for c, m, df in terms if c * m < 0]
    v = sum((g(df) * a) ** 2 for a, df in plus) + sum((h(df) * b) ** 2 for b, df in minus)
    for a, p in plus:
        for b, q in minus:
            f = stats.f.isf(tail, p, q)
            v += ((f - 1) ** 2 - (g(p) * f) ** 2 - h(q) ** 2) / f * a * b
    if minus:
        for i, (a, p) in enumerate(plus):
            for b, q in plus[i + 1 :]:
                both = (g(p + q) * (p + q)) ** 2 - (g(p) * p) ** 2 - (g(q) * q) ** 2
                v += both / (p * q) * a * b / (len(plus) - 1)
    return sum(c * m for c, m, _ in terms) - math.sqrt(max(0, v))


def crossed(readings, tolerance, tail=0.025):
    """Two random factors (H. Scheffé, The Analysis of Variance, 1959, 7.4)."""
    parts = sorted({r["part"] for r in readings})
    people = sorted({r["inspector"] for r in readings})
    y = np.array(
        [
            [[float(Fraction(r["value"]) - 42) for r in readings if (r["part"], r["inspector"]) == (i, j)] for j in people]
            for i in parts
        ]
    )
    p, o, r = y.shape
    cell, row, col, all_ = y.mean(2), y.mean((1, 2)), y.mean((0, 2)), y.mean()
    ss = dict(
        part=o * r * np.sum((row - all_) ** 2),
        inspector=p * r * np.sum((col - all_) ** 2),
        interaction=r * np.sum((cell - row[:, None] - col[None, :] + all_) ** 2),
        repeatability=np.sum((y - cell[:, :, None]) ** 2),
    )
    df = dict(part=p - 1, inspector=o - 1, interaction=(p - 1) * (o - 1), repeatability=p * o * (r - 1))
    ms = {k: ss[k] / df[k] for k in ss}
    against = dict(part="interaction", inspector="interaction", interaction="repeatability")
    lines = []
    for k in ss:
        a = against.get(k)
        f = ms[k] / ms[a] if a else None
        lines.append(
            dict(
                source=k,
                df=df[k],
                sumOfSquares=ss[k],
                meanSquare=ms[k],
                f=f,
                p=float(special.fdtrc(df[k], df[a], f)) if a else None,
            )
        )
    kept = lines[2]["p"] < 0.25
    if not kept:
        ss["repeatability"] += ss.pop("interaction")
        df["repeatability"] += df.pop("interaction")
        ms = {k: ss[k] / df[k] for k in ss}
    error = "interaction" if kept else "repeatability"
    combos = dict(
        repeatability=dict(repeatability=1),
        inspector={"inspector": 1 / (p * r), error: -1 / (p * r)},
        part={"part": 1 / (o * r), error: -1 / (o * r)},
    )
    add = lambda *of: {k: sum(c.get(k, 0) for c in of) for k in ms}
    if kept:
        combos["interaction"] = dict(interaction=1 / r, repeatability=-1 / r)
        combos["reproducibility"] = add(combos["inspector"], combos["interaction"])
    else:
        combos["reproducibility"] = combos["inspector"]
    combos["gauge"] = add(combos["repeatability"], combos["reproducibility"])
    combos["total"] = add(combos["gauge"], combos["part"])
    raw = {k: max(0.0, sum(c[s] * ms[s] for s in c)) for k, c in combos.items()}
    value = dict(raw)
    value["reproducibility"] = raw["inspector"] + raw.get("interaction", 0)
    value["gauge"] = raw["repeatability"] + value["reproducibility"]
    value["total"] = value["gauge"] + raw["part"]
    terms = lambda c: [(c.get(s, 0), ms[s], df[s]) for s in ms]
    lower = lambda c: limits_of_mean_squares(terms(c), tail)
    upper = lambda c: -limits_of_mean_squares([(-a, m, d) for a, m, d in terms(c)], tail)
    sd = lambda v, a, b: dict(value=math.sqrt(v), lower=math.sqrt(a), upper=math.sqrt(b))
    components = {}
    for k, c in combos.items():
        v = value[k]
        s = sd(v, min(v, max(0, lower(c))), max(v, upper(c)))
        components[k] = dict(variance=v, sd=s, shareOfTolerance={q: 6 * s[q] / tolerance for q in s})
    excess = lambda share: {s: combos["gauge"].get(s, 0) - share * combos["total"].get(s, 0) for s in ms}
    at = lambda f: 0 if f(0) <= 0 else optimize.brentq(f, 0, 1, xtol=1e-14)
    a, b = at(lambda s: lower(excess(s))), at(lambda s: upper(excess(s)))
    share = sd(value["gauge"] / value["total"], a, b)
    cats = lambda s: math.sqrt(2 * (1 - s * s)) / s
    return dict(
        method="analysis of variance",
        interaction="kept" if kept else "pooled",
        analysis=lines,
        components=components,
        gaugeShareOfSpread=share,
        categories=dict(value=cats(share["value"]), lower=cats(share["upper"]), upper=cats(share["lower"])),
    )


def student(value, error, df):
    t = stats.t.isf(0.025, df)
    return dict(
        value=value, lower=value - t * error, upper=value + t * error, p=float(2 * stats.t.sf(abs(value / error), df))
    )


def bias(readings):
    """Student's t of the deviations; the line through all of them by least squares."""
    x = np.array([float(r["reference_value"]) for r in readings])
    d = np.array([float(Fraction(r["value"]) - Fraction(r["reference_value"])) for r in readings])
    parts = []
    for reference in sorted(set(x)):
        own = d[x == reference]
        parts.append(
            dict(
                reference=reference,
                n=len(own),
                bias=own.mean(),
                sd=own.std(ddof=1),
                estimate=student(own.mean(), own.std(ddof=1) / math.sqrt(len(own)), len(own) - 1),
            )
        )
    n, mx = len(d), x.mean()
    sxx = np.sum((x - mx) ** 2)
    slope = np.sum((x - mx) * d) / sxx
    intercept = d.mean() - slope * mx
    rest = math.sqrt(np.sum((d - intercept - slope * x) ** 2) / (n - 2))
    return dict(
        parts=parts,
        overall=student(d.mean(), d.std(ddof=1) / math.sqrt(n), n - 1),
        linearity=dict(
            intercept=student(intercept, rest * math.sqrt(1 / n + mx**2 / sxx), n - 2),
            slope=student(slope, rest / math.sqrt(sxx), n - 2),
            residualSd=rest,
            df=n - 2,
        ),
    )


def agreement(readings):
    """J. M. Bland and D. G. Altman (1986), with the exact intervals of A. Carkeet (2015): quantiles of noncentral t."""
    mean = lambda gauge, part: sum(
        own := [Fraction(r["value"]) for r in readings if (r["gauge"], r["part"]) == (gauge, part)]
    ) / len(own)
    parts = sorted({r["part"] for r in readings})
    pairs = [(mean("G-1", p), mean("G-2", p)) for p in parts]
    d = np.array([float(a - b) for a, b in pairs])
    size = np.array([float((a + b) / 2) for a, b in pairs])
    n, sd = len(d), d.std(ddof=1)
    z = special.ndtri(0.975)
    root = math.sqrt(n)
    factor = lambda level: optimize.brentq(lambda t: noncentral_t(t, n - 1, z * root)[0] - level, 0, 40, xtol=1e-13) / root
    near, far = factor(0.025), factor(0.975)
    x = size - size.mean()
    slope = np.sum(x * d) / np.sum(x * x)
    rest = math.sqrt(np.sum((d - d.mean() - slope * x) ** 2) / (n - 2))
    m = d.mean()
    return dict(
        n=n,
        difference=student(m, sd / root, n - 1),
        sd=sd,
        lowerLimit=dict(value=m - z * sd, lower=m - far * sd, upper=m - near * sd),
        upperLimit=dict(value=m + z * sd, lower=m + near * sd, upper=m + far * sd),
        trend=student(slope, rest / math.sqrt(np.sum(x * x)), n - 2),
    )


def misjudged(mean, part_sd, off, gauge_sd, low, high):
    """JCGM 106:2012, section 9: integrals over true values of density times the chance of being read inside or outside."""
    f = lambda x: stats.norm.pdf(x, mean, part_sd)
    reads_in = lambda x: special.ndtr((high - x - off) / gauge_sd) - special.ndtr((low - x - off) / gauge_sd)
    reads_out = lambda x: special.ndtr((low - x - off) / gauge_sd) + special.ndtr(-(high - x - off) / gauge_sd)
    over = lambda g, a, b: integrate.quad(lambda x: f(x) * g(x), a, b, epsabs=0, epsrel=1e-12, limit=400)[0]
    edge = 12 * gauge_sd
    accepted = over(reads_in, low - edge, low) + over(reads_in, high, high + edge)
    rejected = over(reads_out, low, low + edge) + over(reads_out, high - edge, high)
    return dict(wronglyAccepted=accepted, wronglyRejected=rejected)


def main():
    stated = rows("characteristics.csv")
    with open("decisions.json") as file:
        decisions = json.load(file)
    c = Characteristic(stated[0], rows("values.csv"), decisions)
    study = crossed(rows("crossed.csv"), 0.12)
    off = bias(rows("known-parts.csv"))
    parts = study["components"]
    readings = [
        ("repeated readings", parts["repeatability"]["sd"]["value"], 8 * 3 * 2),
        ("inspectors", parts["reproducibility"]["sd"]["value"], 2),
        ("calibration", 0.003 / 2, None),
        ("bias", abs(off["overall"]["value"]) / math.sqrt(3), None),
    ]
    variance = sum(s * s for _, s, _ in readings)
    df = 1 / sum((s * s / variance) ** 2 / d for _, s, d in readings if d)
    u = math.sqrt(variance)
    uncertainty = dict(standard=u, expanded=2 * u, effectiveDf=df, coverage=float(1 - 2 * stats.t.sf(2, df)))
    figures = c.figures(c.included)
    g = parts["gauge"]["sd"]
    corrected = {}
    for name, sigma in (("cp", "sigmaInControl"), ("cpk", "sigmaInControl"), ("pp", "sigmaOverall"), ("ppk", "sigmaOverall")):
        plain, s = figures[name], figures[sigma]
        factor = lambda sd: 1 / math.sqrt(1 - (sd / s) ** 2)
        corrected[name] = dict(
            plain=plain,
            gaugeShare=(g["value"] / s) ** 2,
            corrected=dict(
                value=plain["value"] * factor(g["value"]),
                lower=plain["lower"] * factor(g["lower"]),
                upper=None if g["upper"] >= s else plain["upper"] * factor(g["upper"]),
            ),
        )
    s = figures["sigmaOverall"]
    shares = misjudged(
        figures["mean"] - off["overall"]["value"],
        math.sqrt(s * s - g["value"] ** 2),
        off["overall"]["value"],
        g["value"],
        c.lower,
        c.upper,
    )

    def proof(x):
        # ISO 14253-1; the probability by JCGM 106:2012, section 7, with nothing known but the measurement.
        inside = c.lower + 2 * u <= x <= c.upper - 2 * u
        outside = x < c.lower - 2 * u or x > c.upper + 2 * u
        below, above = special.ndtr((c.lower - x) / u), special.ndtr((x - c.upper) / u)
        p = special.ndtr((c.upper - x) / u) - below if x > 42 else special.ndtr((x - c.lower) / u) - above
        decision = "conforming" if inside else "not conforming" if outside else "inside the uncertainty"
        return dict(decision=decision, expanded=2 * u, probability=float(p))

    receipt = {x: proof(float(x)) for x in ("42.0601", "42.0700", "41.9335", "41.9200", "42.0535", "41.9465")}
    values = [float(v) for i in c.included for v in c.values[BUILDS[i]]]
    good = sum(c.lower + 2 * u <= v <= c.upper - 2 * u for v in values)
    bad = sum(v < c.lower - 2 * u or v > c.upper + 2 * u for v in values)
    with open("reml.json") as file:
        reml = json.load(file)["kept"]
    sd = lambda k: dict(sd=dict(value=reml[k]))
    out = dict(
        crossed=dict(study, uncertainty=uncertainty),
        misjudged=shares,
        unbalanced=dict(
            method="restricted maximum likelihood",
            components=dict(
                repeatability=sd("Residual"),
                inspector=sd("inspector"),
                interaction=sd("part:inspector"),
                part=sd("part"),
            ),
        ),
        bias=off,
        agreement=agreement(rows("two-gauges.csv")),
        corrected=corrected,
        receipt=receipt,
        conformity={"conforming": good, "not conforming": bad, "inside the uncertainty": len(values) - good - bad},
    )
    with open("expected-gauges.json", "w") as file:
        json.dump(out, file, indent=1, default=float)
        file.write("\n")


if __name__ == "__main__":
    main()
