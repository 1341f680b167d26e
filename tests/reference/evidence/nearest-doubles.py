"""How many digits an exact computation from the nearest doubles shares with the certified values of the NIST
Statistical Reference Datasets: what no program that reads the data as doubles can exceed, except by luck.

    python3 nearest-doubles.py > nearest-doubles.csv

Columns: data set, statistic, digits (minus the decimal logarithm of the relative difference; exact where none).
"""
import re
import sys
from fractions import Fraction
from pathlib import Path

import mpmath

mpmath.mp.dps = 50
FOLDER = Path(__file__).parent.parent / "nist-strd"


def lines(name):
    return (FOLDER / f"{name}.dat").read_text().splitlines()


def digits(computed, certified):
    certified = mpmath.mpf(certified)
    difference = abs(computed - certified) / abs(certified)
    return "exact" if difference == 0 else f"{float(-mpmath.log10(difference)):.1f}"


def real(fraction):
    return mpmath.mpf(fraction.numerator) / fraction.denominator


def certified(text, pattern):
    return next(re.search(r":\s*(-?[\d.eE+-]+)", line).group(1) for line in text if re.search(pattern, line))


def univariate(name):
    text = lines(name)
    rule = next(i for i, line in enumerate(text) if re.match(r"-{5,}", line))
    x = [Fraction(float(word)) for word in " ".join(text[rule + 1 :]).split()]
    mean = sum(x) / len(x)
    d = [value - mean for value in x]
    squares = sum(value * value for value in d)
    lag = sum(a * b for a, b in zip(d, d[1:])) / squares
    print(f"{name},mean,{digits(real(mean), certified(text, r'^ *Sample Mean'))}")
    sd = mpmath.sqrt(real(squares / (len(x) - 1)))
    print(f"{name},sd,{digits(sd, certified(text, r'^ *Sample Standard'))}")
    print(f"{name},lag-1,{digits(real(lag), certified(text, 'r.1.:'))}")


def variance(name):
    text = lines(name)
    first, last = map(int, re.search(r"Data\s+\(lines (\d+) to (\d+)\)", "\n".join(text)).groups())
    rows = [[Fraction(float(word)) for word in line.split()] for line in text[first - 1 : last]]
    groups = list(zip(*rows))
    n = sum(map(len, groups))
    grand = sum(map(sum, groups)) / n
    means = [sum(group) / len(group) for group in groups]
    between = sum(len(g) * (m - grand) ** 2 for g, m in zip(groups, means)) / (len(groups) - 1)
    within = sum((v - m) ** 2 for g, m in zip(groups, means) for v in g) / (n - len(groups))
    f = next(line.split()[-1] for line in text if line.startswith("Between"))
    print(f"{name},F,{digits(real(between / within), f)}")


print(f"# Python {sys.version.split()[0]} fractions, mpmath {mpmath.__version__}")
print("set,statistic,digits")
for name in ["Lew", "Lottery", "Mavro", "Michelso", "NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4"]:
    univariate(name)
for name in ["SiRstvt", "AtmWtAgt", "SmLs01t", "SmLs04t", "SmLs07t"]:
    variance(name)
