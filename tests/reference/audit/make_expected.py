"""Makes expected.json: every figure of values.csv under the decisions of decisions.json, by formulas.py.

Run with: python3 make_expected.py (Python 3, NumPy 2.4.6, SciPy 1.17.1). The answers of the program are compared with it part by
part: what is not in it is not compared.
"""
import csv
import json
import math

import numpy as np
from fractions import Fraction

from fits import fitted, profile_interval
from formulas import *

BUILDS = [f"B{b:02d}" for b in range(1, 35)]
TESTS = tuple(WESTERN_ELECTRIC)


def limits_of(row):
    number = lambda key: float(row[key]) if row[key] else None
    lower, upper = number("lower"), number("upper")
    if row["limit_per_part"]:
        return None, 1.0
    return (None if row["kind"] == "flatness" else lower), upper


class Characteristic:
    """One characteristic with its study and the values that count."""

    def __init__(self, row, rows, decisions):
        self.id, self.kind = row["designator"], row["kind"]
        self.stated = row
        self.lower, self.upper = limits_of(row)
        mine = [d for d in decisions if d["of"] == self.id]
        changes = {d["change"]["kind"]: d["change"] for d in mine if d["kind"] == "study"}
        self.repeats = changes.get("choose-repeats", {}).get("repeats", "every")
        estimators = changes.get("choose-estimators", {})
        self.within, self.step = estimators.get("within", "pooled-s"), estimators.get("step", "average")
        self.phases = [0] + ([BUILDS.index(changes["open-phase"]["build"])] if "open-phase" in changes else [])
        span = changes.get("choose-baseline", {}).get("span")
        self.baseline = span and (BUILDS.index(span["from"]), BUILDS.index(span["to"]))
        self.frozen = "freeze-limits" in changes
        left_out = [d for d in mine if d["kind"] == "exclusion"]
        self.whole = {d["build"] for d in left_out if d["single"] is None}
        single = {(d["build"], d["single"]["serial"]) for d in left_out if d["single"]}
        parts, own = {}, []
        for r in rows:
            if r["characteristic"] != self.id or (r["build"], r["serial"]) in single:
                continue
            value = Fraction(r["value"])
            if r["bonus"]:
                limit = Fraction(row["upper"]) + Fraction(r["bonus"])
                own.append(limit)
                value /= limit
            parts.setdefault((r["build"], r["serial"]), []).append(value)
        self.own = (float(min(own)), float(max(own))) if own else None
        choose = {
            "every": lambda v: v,
            "first": lambda v: v[:1],
            "last": lambda v: v[-1:],
            "mean": lambda v: [sum(v) / len(v)],
        }[self.repeats]
        self.values = {b: [] for b in BUILDS}
        for (build, _), measured in parts.items():
            self.values[build] += choose(measured)
        self.places = [i for i, b in enumerate(BUILDS) if self.values[b]]
        self.groups = {i: moments(self.values[BUILDS[i]]) for i in self.places}
        self.included = [i for i in self.places if BUILDS[i] not in self.whole]

    # ---- control chart

    def spans(self):
        """Places of each phase that count, and those its limits come from."""
        for k, start in enumerate(self.phases):
            end = (self.phases + [len(BUILDS)])[k + 1]
            inside = [i for i in self.included if start <= i < end]
            base = inside[:25]
            if self.baseline:
                base = [i for i in inside if self.baseline[0] <= i <= self.baseline[1]]
            yield start, end, inside, base

    def chart(self):
        at = {place: k for k, place in enumerate(self.places)}
        count = len(self.places)
        spans = list(self.spans())
        tests = [analysis_of_variance([self.groups[i] for i in base]) for *_, base in spans]
        form = "three-way" if any(t["p"] < 0.01 for t in tests) else "mean-and-s"
        names = ["values", "centre", "lower", "upper", "sigma"]
        panels = {p: {n: [None] * count for n in names} for p in ("location", "moving-range", "spread")}

        def put(panel, i, value, centre, sigma):
            lower, upper = centre - 3 * sigma, centre + 3 * sigma
            if panel != "location" and lower <= 0:
                lower = None
            for name, x in zip(names, (value, centre, lower, upper, sigma)):
                panels[panel][name][at[i]] = x

        phases, signals = [], []
        for (start, end, inside, base), test in zip(spans, tests):
            groups = [self.groups[i] for i in base]
            means = [g[1] for g in groups]
            within, df = sigma_within(groups, self.within)
            of_means, _ = sigma_of_steps(means, self.step)
            n = sum(g[0] for g in groups)
            centre = (
                math.fsum(g[0] * g[1] for g in groups) / n if form == "mean-and-s" else math.fsum(means) / len(means)
            )
            share = math.fsum(1 / g[0] for g in groups) / len(groups)
            phases.append(
                dict(
                    baselineFrom=at[base[0]],
                    baselineTo=at[base[-1]],
                    baselineCount=len(base),
                    baselineValues=n,
                    provisional=len(base) < 25,
                    centre=centre,
                    sigmaWithin=within,
                    dfWithin=df,
                    sigmaMeans=of_means,
                    sigmaBetween=math.sqrt(max(0, of_means**2 - within**2 * share)),
                    betweenTest=dict(
                        f=test["f"],
                        dfBetween=test["dfBetween"],
                        dfWithin=test["dfWithin"],
                        p=test["p"],
                        differs=test["p"] < 0.01,
                    ),
                )
            )
            for i in inside:
                size, mean, m2, low, high = self.groups[i]
                put("location", i, mean, centre, of_means if form == "three-way" else within / math.sqrt(size))
                if size > 1 and self.within == "average-range":
                    d2, d3 = range_constants(size)
                    put("spread", i, high - low, d2 * within, d3 * within)
                elif size > 1:
                    c = c4(size)
                    put("spread", i, math.sqrt(m2 / (size - 1)), c * within, math.sqrt(1 - c * c) * within)
            if form == "three-way":
                for before, i in zip(inside, inside[1:]):
                    step = abs(self.groups[i][1] - self.groups[before][1])
                    d2, d3 = range_constants(2)
                    put("moving-range", i, step, d2 * of_means, d3 * of_means)
            for name, panel in panels.items():
                seen = [i for i in inside if panel["values"][at[i]] is not None]
                z = [(panel["values"][at[i]] - panel["centre"][at[i]]) / panel["sigma"][at[i]] for i in seen]
                used = WESTERN_ELECTRIC if name == "location" else {"beyond-three-sigma": (1, 1, 3)}
                for test_name, side, points in western_electric(z, used):
                    signals.append(
                        dict(panel=name, test=test_name, side=side, points=[at[seen[p]] for p in points])
                    )
        panel = lambda name: dict(panels[name], id=name)
        return dict(
            chart=dict(
                form=form,
                spreadStatistic="range" if self.within == "average-range" else "standard deviation",
                subgroups=[
                    dict(
                        label=BUILDS[i],
                        n=self.groups[i][0],
                        mean=self.groups[i][1],
                        sd=None if self.groups[i][0] < 2 else math.sqrt(self.groups[i][2] / (self.groups[i][0] - 1)),
                        leftOut=i not in self.included,
                    )
                    for i in self.places
                ],
                phases=phases,
                location=panel("location"),
                movingRange=panel("moving-range") if form == "three-way" else None,
                spread=panel("spread"),
                inControlRunLength=run_length(TESTS),
            ),
            spreadAlarm=spread_alarm(
                max(2, sorted(self.groups[i][0] for i in self.places)[len(self.places) // 2]),
                "range" if self.within == "average-range" else "standard deviation",
            ),
            signals=sorted(signals, key=lambda s: (s["points"], s["panel"], s["test"], s["side"])),
        )

    def slow(self):
        """The means as a running average and as running sums, begun anew with each phase."""
        model = self.chart()["chart"]
        panel = model["location"]
        limit, decision = ewma_limit(0.2, 370.4), cusum_limit(0.5, 370.4)
        average, reach, high, low = ([None] * len(self.places) for _ in range(4))
        at = {place: k for k, place in enumerate(self.places)}
        for *_, inside, _ in self.spans():
            z = variance = up = down = 0.0
            for i in inside:
                k = at[i]
                x = (panel["values"][k] - panel["centre"][k]) / panel["sigma"][k]
                z, variance = 0.2 * x + 0.8 * z, 0.2**2 + 0.8**2 * variance
                average[k], reach[k] = z, limit * math.sqrt(variance)
                up, down = max(0, up + x - 0.5), max(0, down - x - 0.5)
                high[k], low[k] = up, -down
        return dict(
            average=dict(multiplier=limit, above=average, upper=reach),
            sum=dict(multiplier=decision, above=high, below=low),
        )

    # ---- capability

    def figures(self, places):
        groups = [self.groups[i] for i in places]
        values = np.array([float(v) for i in places for v in self.values[BUILDS[i]]])
        sample = effective_sample(groups)
        within, df = sigma_within(groups, self.within)
        test = analysis_of_variance(groups)
        in_control, in_control_df = within, df
        if test["p"] < 0.01:
            of_means, steps_df = sigma_of_steps([g[1] for g in groups], self.step)
            between = of_means**2
            inside = within**2 * (1 - math.fsum(1 / g[0] for g in groups) / len(groups))
            if between + inside > within**2:
                in_control = math.sqrt(between + inside)
                in_control_df = (between + inside) ** 2 / (between**2 / steps_df + inside**2 / df)
        fit = fitted(self.kind, values, groups)
        stable = True
        chart = self.chart()
        for s in chart["signals"]:
            stable = stable and s["panel"] == "moving-range"
        has_limits = self.lower is not None or self.upper is not None
        cp = cpk = pp = ppk = None
        if fit["family"] == "normal":
            at = (self.lower, self.upper, sample["mean"])
            cp, cpk = index_pair(*at, in_control, in_control_df, sample["ne"])
            pp, ppk = index_pair(*at, sample["sigma"], sample["df"], sample["ne"])
            outside = normal_outside(self.lower, self.upper, sample)
        else:
            pp, ppk, outside = profile_interval(fit, values, design_effect(groups, 1), self.lower, self.upper)
            if stable:
                cp, cpk = pp, ppk
        used = pp or ppk
        out = dict(
            n=sample["n"],
            builds=len(places),
            mean=sample["mean"],
            min=min(g[3] for g in groups),
            max=max(g[4] for g in groups),
            sigmaWithin=within,
            sigmaBetween=math.sqrt(max(0, in_control**2 - within**2)) if test["p"] < 0.01 else 0,
            sigmaInControl=in_control,
            sigmaOverall=sample["sigma"],
            cp=cp,
            cpk=cpk,
            pp=pp,
            ppk=ppk,
            shape=dict(fitted=fit["parameters"], reason=fit["reason"]),
            outside=outside,
            toleranceUsed=used
            and dict(value=1 / used["value"], confidence=0.95)
            | ({} if "lower" not in used else dict(lower=1 / used["upper"], upper=1 / used["lower"])),
            stable=stable,
        )
        if self.own:
            out["ownTolerance"] = dict(least=self.own[0], greatest=self.own[1])
        if has_limits and "lower" in ppk:
            out["verdict"] = "holds" if ppk["lower"] >= 1.33 else "does not" if ppk["upper"] < 1.33 else "not yet sure"
        return out

    def course(self):
        """Ppk of each 25 builds in a row."""
        if self.lower is None and self.upper is None:
            return None
        windows = [self.included[k : k + 25] for k in range(len(self.included) - 24)]
        points = []
        for window in windows:
            sample = effective_sample([self.groups[i] for i in window])
            at = (self.lower, self.upper, sample["mean"], sample["sigma"], sample["df"], sample["ne"])
            points.append(dict(n=sample["n"], index=index_pair(*at)[1]))
        return points

    def counted(self):
        """Values seen outside, with the exact binomial interval (C. J. Clopper and E. S. Pearson, Biometrika 26, 1934)."""
        values = [v for i in self.included for v in self.values[BUILDS[i]]]
        n = len(values)

        def share(count):
            low = stats.beta.ppf(0.025, count, n - count + 1) if count else 0
            high = stats.beta.isf(0.025, count + 1, n - count) if count < n else 1
            return dict(count=count, value=count / n, lower=low, upper=high, confidence=0.95)

        below = None if self.lower is None else share(sum(v < Fraction(str(self.lower)) for v in values))
        above = None if self.upper is None else share(sum(v > Fraction(str(self.upper)) for v in values))
        return dict(below=below, above=above)


def together(all_of):
    """T² over the means of all characteristics, limits from the first 25 builds that miss nothing."""
    means = [
        {i: c.groups[i][1] for i in c.included} for c in all_of
    ]
    rows = {i: [m.get(i) for m in means] for i in range(len(BUILDS))}
    complete = [i for i in rows if None not in rows[i]]
    base = complete[:25]
    points = []
    for i in range(len(BUILDS)):
        have = [k for k, v in enumerate(rows[i]) if v is not None]
        if not have:
            continue
        x = [[rows[j][k] for k in have] for j in base] + [[rows[i][k] for k in have]]
        t2, prob, base_limit, later_limit = hotelling(x, len(base))
        k = base.index(i) if i in base else len(base)
        points.append(
            dict(position=i, t2=float(t2[k]), p=float(prob[k]), limit=float(base_limit if i in base else later_limit))
        )
    return dict(chart=dict(baseline=dict(count=len(base)), points=points))


def lines(out):
    """One line for each part of each characteristic, so that a change can be read."""
    yield "{\n"
    for k, (name, parts) in enumerate(out.items()):
        yield f' {json.dumps(name)}: {{\n'
        for j, (part, content) in enumerate(parts.items()):
            yield f"  {json.dumps(part)}: {json.dumps(content, default=float)}{',' if j < len(parts) - 1 else ''}\n"
        yield " }" + (",\n" if k < len(out) - 1 else "\n")
    yield "}\n"


def main():
    with open("values.csv") as file:
        rows = list(csv.DictReader(file))
    with open("characteristics.csv") as file:
        stated = list(csv.DictReader(file))
    with open("decisions.json") as file:
        decisions = json.load(file)
    all_of = [Characteristic(row, rows, decisions) for row in stated]
    out = {"together": together(all_of), "falseAlarmEvery": {t: run_length((t,)) for t in TESTS}}
    out["falseAlarmEvery"]["moving-range"] = moving_range_alarm()
    for c in all_of:
        model = c.chart()
        out[c.id] = dict(**model, slow=c.slow(), capability=c.figures(c.included), counted=c.counted())
        if c.id in "1234":
            out[c.id]["course"] = c.course()
        if c.id == "1":
            sample = effective_sample([c.groups[i] for i in c.included])
            sample["mean"] = (c.lower + c.upper) / 2
            at = (c.lower, c.upper, sample["mean"], sample["sigma"], sample["df"], sample["ne"])
            pair = index_pair(*at)
            out[c.id]["centred"] = dict(
                spread=pair[0], nearer=pair[1], outside=normal_outside(c.lower, c.upper, sample)
            )
    with open("expected.json", "w") as file:
        for line in lines(out):
            file.write(line)


if __name__ == "__main__":
    main()
