#!/usr/bin/env python3
"""Prints what the benchmarks measured as tables, and the ratios that are aimed at: tests/bench/report.py TARGET-FOLDER"""
import json, sys
from pathlib import Path

target = Path(sys.argv[1])


def median(group, name, size):
    file = target / "criterion" / group / name / str(size) / "new" / "estimates.json"
    return json.loads(file.read_text())["median"]["point_estimate"] / 1e6 if file.exists() else None


def milliseconds(value):
    return "" if value is None else f"{value:.3g}"


stages = ["plain", "load", "network", "site", "facts", "instances", "rules", "rules-twice", "native", "output", "whole"]
sizes = [5, 60, 400, 10_000]
print("Stages, ms (medians)\n\n| stage | " + " | ".join(f"{n:,}" for n in sizes) + " |\n|---|" + "---|" * len(sizes))
for stage in stages:
    print(f"| {stage} | " + " | ".join(milliseconds(median("stages", stage, n)) for n in sizes) + " |")
print("\nThe rules in parts, ms\n\n| part | " + " | ".join(f"{n:,}" for n in sizes) + " |\n|---|" + "---|" * len(sizes))
of = lambda n: {s: median("stages", s, n) or float("nan") for s in stages}
print("| instances | " + " | ".join(milliseconds(of(n)["instances"]) for n in sizes) + " |")
print("| work in the guest | " + " | ".join(milliseconds(of(n)["rules-twice"] - of(n)["rules"]) for n in sizes) + " |")
print("| boundary | " + " | ".join(milliseconds(2 * of(n)["rules"] - of(n)["rules-twice"] - of(n)["instances"]) for n in sizes) + " |")
ratios = target / "ratios.json"
if ratios.exists():
    rows = json.loads(ratios.read_text().strip().splitlines()[-1])
    names = [name for name in rows[0] if "-to-" in name]
    print("\nRatios, turn by turn\n\n| ratio | " + " | ".join(f"{row['luminaires']:,}" for row in rows) + " |\n|---|" + "---|" * len(rows))
    for name in names:
        print(f"| {name.replace('-', ' ')} | " + " | ".join(str(row[name]) for row in rows) + " |")
for shape, sizes_of in (("tree", (1_000, 10_000, 100_000)), ("grid", (10, 30, 100))):
    print(f"\nSolver, {shape}s: " + ", ".join(f"{n:,}: {milliseconds(median('network', shape, n))} ms" for n in sizes_of))
for size in (400, 10_000):
    rego, five = target / f"rego-{size}.json", target / f"five-{size}.json"
    if rego.exists() and five.exists():
        rego, five = json.loads(rego.read_text()), json.loads(five.read_text())
        found = lambda findings: sorted((f["rule"], f["subject"]) for f in findings)
        same = "the same findings" if found(rego["findings"]) == found(five["findings"]) else "OTHER FINDINGS"
        print(f"\nRego, {size:,} luminaires: {rego['seconds'] * 1e3:.3g} ms, lintern {five['seconds'] * 1e3:.3g} ms, ratio {rego['seconds'] / five['seconds']:.1f}, with the records handed over as JSON {rego['with-input'] * 1e3:.3g} ms, {rego['with-input'] / five['seconds']:.1f}; {same} ({len(five['findings'])})")
processes = target / "processes.json"
if processes.exists():
    print("\nWhole process:\n" + processes.read_text())
