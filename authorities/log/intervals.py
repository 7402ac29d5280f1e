"""Intervals and tests of counts by statsmodels and SciPy; nothing of setwright is imported.

Usage: python authorities/log/intervals.py    (writes intervals.csv beside it)
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
from scipy import stats
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.rates import confint_poisson, test_poisson_2indep

SHARES = [(0, 20), (1, 20), (7, 50), (14, 20), (18, 20), (20, 20), (81, 263), (682, 925), (4556, 6472)]
COUNTS = [(0, 400.0), (1, 120.0), (12, 400.0), (137, 24.19893), (4556, 94579.8)]
PAIRS = [((14, 18), (20, 20)), ((3, 1), (4, 4)), ((12, 30), (25, 40)), ((0, 5), (12, 15)), ((40, 61), (80, 90))]
RATES = [
    ((5, 12), (400.0, 400.0)),
    ((60, 30), (51477.5, 54308.7)),
    ((0, 3), (100.0, 100.0)),
    ((9, 21), (310.0, 190.0)),
]


def rows() -> list[tuple[str, str, float]]:
    """Name, counts, figure."""
    found: list[tuple[str, str, float]] = []
    for k, n in SHARES:
        for name, method in (("clopper_pearson", "beta"), ("wilson", "wilson"), ("jeffreys", "jeffreys")):
            low, high = proportion_confint(k, n, 0.05, method)
            found += [(f"{name}.low", f"{k} {n}", low), (f"{name}.high", f"{k} {n}", high)]
    for k, nights in COUNTS:
        low, high = confint_poisson(k, nights, method="exact-c")
        found += [("garwood.low", f"{k} {nights}", low), ("garwood.high", f"{k} {nights}", high)]
    for (k1, k2), (n1, n2) in PAIRS:
        text = f"{k1} {k2} {n1} {n2}"
        found.append(("fisher", text, stats.fisher_exact([[k1, k2], [n1 - k1, n2 - k2]])[1]))
        # The columns are the rigs: their sums are what is fixed.
        found.append(("boschloo", text, stats.boschloo_exact([[k1, k2], [n1 - k1, n2 - k2]], n=512).pvalue))
        draws = np.random.default_rng(5).beta
        gap = draws(k2 + 0.5, n2 - k2 + 0.5, 4_000_000) - draws(k1 + 0.5, n1 - k1 + 0.5, 4_000_000)
        found += [("gap.above", text, float((gap > 0).mean()))]
        found += [
            (f"gap.{name}", text, float(np.quantile(gap, at))) for name, at in (("low", 0.025), ("high", 0.975))
        ]
    for (k1, k2), (e1, e2) in RATES:
        text = f"{k1} {k2} {e1} {e2}"
        for name, method in (("rate.exact", "exact-cond"), ("rate.e_test", "etest-wald")):
            found.append((name, text, test_poisson_2indep(k1, e1, k2, e2, method=method).pvalue))
    return found


if __name__ == "__main__":
    with Path(__file__).with_name("intervals.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(["what", "counts", "value"])
        writer.writerows((name, counts, f"{value:.10g}") for name, counts, value in rows())
