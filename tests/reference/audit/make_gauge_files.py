"""Makes register.csv, crossed.csv, unbalanced.csv, known-parts.csv and two-gauges.csv: studies of invented gauges.

Run with: python3 make_gauge_files.py (NumPy 2.4.6).
"""
import csv

import numpy as np

rng = np.random.default_rng(4)


def write(name, heading, rows):
    with open(name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(heading.split(","))
        out.writerows(rows)


write(
    "register.csv",
    "gauge,kind,resolution,expanded_uncertainty,coverage_factor,certificate,calibrated_on,part_number,revision,characteristics",
    [["G-1", "micrometer", "0.001", "0.003", "2", "C-77", "2026-03-02", "AUD-1", "A", "1 2"]],
)


def readings(designator, missing):
    parts, people = rng.normal(0, 0.012, 8), rng.normal(0, 0.002, 3)
    nominal = {"1": 42, "2": 26}[designator]
    for i, part in enumerate(parts):
        for j, person in enumerate(people):
            both = rng.normal(0, 0.001)
            for trial in (1, 2, 3):
                value = nominal + part + person + both + rng.normal(0, 0.0025)
                if not missing or rng.random() > 0.2:
                    yield ["AUD-1", "A", designator, "G-1", i + 1, "ABC"[j], trial, f"{value:.3f}"]


spread = "part_number,revision,characteristic,gauge,part,inspector,trial,value"
write("crossed.csv", spread, readings("1", False))
write("unbalanced.csv", spread, readings("2", True))
write(
    "known-parts.csv",
    "part_number,revision,characteristic,gauge,part,reference_value,value",
    [
        ["AUD-1", "A", "1", "G-1", f"block {r}", r, f"{float(r) + 0.0012 + 0.00002 * float(r) + rng.normal(0, 0.0015):.3f}"]
        for r in ("10.000", "25.000", "42.000", "60.000")
        for _ in range(5)
    ],
)
pairs = []
for i in range(12):
    true = 26 + rng.normal(0, 0.015)
    for gauge, bias, sd in (("G-1", 0.001, 0.0015), ("G-2", 0, 0.001)):
        for trial in (1, 2):
            pairs.append(["AUD-1", "A", "2", gauge, i + 1, trial, f"{true + bias + rng.normal(0, sd):.3f}"])
write("two-gauges.csv", "part_number,revision,characteristic,gauge,part,trial,value", pairs)
