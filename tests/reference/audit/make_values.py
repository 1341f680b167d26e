"""Makes values.csv: an invented shop with all that makes figures hard. Run with: python3 make_values.py (NumPy 2.4.6).

34 builds of 1 to 9 parts, values missing, parts measured again, limits on one side, a floor at zero, a lasting shift at build B20,
builds that differ, a skewed length, and a position whose limit is each part's own.
"""
import csv

import numpy as np

rng = np.random.default_rng(20261125)
SIZES = [5, 1, 9, 3, 7, 2, 6, 4, 8]
rows = []


def add(serial, build, designator, value, replicate, bonus=""):
    rows.append(["AUD-1", "A", serial, build, designator, value, replicate, bonus])


part = 0
for b in range(1, 35):
    build = f"B{b:02d}"
    moved = b >= 20
    between = rng.normal(0, 0.012)
    for _ in range(SIZES[(b * 4) % 9]):
        part += 1
        serial = f"S{part:03d}"
        bonus = round(float(rng.uniform(0, 0.06)), 3)
        values = {
            "1": 42.01 + between + rng.normal(0, 0.010),
            "2": 26.004 + (0.014 if moved else 0) + rng.normal(0, 0.012),
            "3": 8.03 + rng.normal(0, 0.02),
            "4": 6.012 + rng.normal(0, 0.008),
            "5": abs(rng.normal(0.012, 0.02)),
            "6": float(np.hypot(rng.normal(0, 0.06), rng.normal(0.02, 0.06))),
            "7": 118.3 + rng.normal(0, 0.25),
            "8": 3.2 + float(np.exp(rng.normal(-3.6, 0.7))),
        }
        decimals = {"7": 2, "5": 4, "6": 4, "8": 4}
        for designator, value in values.items():
            if rng.random() < 0.04:
                continue
            text = f"{value:.{decimals.get(designator, 3)}f}"
            own = f"{bonus:.3f}" if designator == "6" else ""
            add(serial, build, designator, text, 1, own)
            if designator in "125" and rng.random() < 0.08:
                again = f"{abs(value + rng.normal(0, 0.003)):.{decimals.get(designator, 3)}f}"
                add(serial, build, designator, again, 2)

with open("values.csv", "w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["part_number", "revision", "serial", "build", "characteristic", "value", "replicate", "bonus"])
    out.writerows(rows)
