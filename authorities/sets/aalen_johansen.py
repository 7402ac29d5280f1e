"""Cumulative incidence of invented traps by a general survival program, for `incidence.csv`.

Times of firing are drawn with SciPy alone: a unit exponential is carried back through the running integral of
the summed rate. Each wait ends early for some traps (taken up before the visit), so that the estimator has
something to do. Nothing of `setwright` is imported.
"""

from __future__ import annotations

import csv
import sys
import warnings
from pathlib import Path

import numpy as np
from lifelines import AalenJohansenFitter
from scipy.interpolate import interp1d
from scipy.stats import expon

PLACE = Path(__file__).resolve().parent
TRAPS = 40_000
LOOKS = (3.0, 6.0, 9.5, 12.0, 18.0, 24.0, 30.0, 36.0)

# Rates by the hour [1/h]: name -> one row a cause. Invented: a steady one, a night with frost, one crowded place.
NIGHT = np.array([0.2] * 4 + [1.0] * 10 + [0.2] * 10 + [0.2] * 4 + [1.0] * 8)
FROST = np.array([1.0] * 8 + [0.0] * 7 + [1.0] * 9 + [1.0] * 12)
LATE = np.concatenate([np.linspace(0.1, 2.0, 18), np.linspace(2.0, 0.1, 18)])
CASES = {
    "steady": np.outer([0.02, 0.008, 0.003], np.ones(36)),
    "frost": np.stack([0.05 * NIGHT * FROST, 0.02 * LATE * FROST, 0.004 * np.ones(36) * FROST]),
    "crowded": np.stack([0.15 * NIGHT, 0.12 * LATE, 0.02 * np.ones(36)]),
}
TAKEN_UP = 0.012


def drawn(rates: np.ndarray, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Times and causes (0: seen armed or taken up) of `TRAPS` traps."""
    rng = np.random.default_rng(seed)
    total = rates.sum(axis=0)
    hazard = np.concatenate([[0.0], np.cumsum(total)])
    # Where nothing can fire the running hazard stands still; a hair of slope keeps the inverse single.
    hazard = hazard + 1e-12 * np.arange(hazard.size)
    needed = expon.rvs(size=TRAPS, random_state=rng)
    reached = interp1d(hazard, np.arange(hazard.size), bounds_error=False, fill_value=np.inf)(needed)
    end = np.minimum(expon.rvs(scale=1.0 / TAKEN_UP, size=TRAPS, random_state=rng), rates.shape[1])
    time = np.minimum(reached, end)
    hour = np.minimum(time.astype(int), rates.shape[1] - 1)
    upper = np.cumsum(rates, axis=0)[:, hour] / np.maximum(total[hour], 1e-300)
    cause = 1 + (rng.random(TRAPS)[None, :] > upper).sum(axis=0)
    return time, np.where(reached <= end, cause, 0)


def estimates(name: str) -> list[dict[str, object]]:
    """Rows of one case: cause, time, estimate and its standard error."""
    rates = CASES[name]
    time, cause = drawn(rates, seed=1 + list(CASES).index(name))
    rows: list[dict[str, object]] = []
    for index in range(rates.shape[0]):
        fitter = AalenJohansenFitter(calculate_variance=True, seed=5)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fitter.fit(time, cause, event_of_interest=index + 1)
        curve, variance = fitter.cumulative_density_.iloc[:, 0], fitter.variance_.squeeze()
        for look in LOOKS:
            at = int(np.searchsorted(curve.index.to_numpy(), look, side="right")) - 1
            rows.append(
                {
                    "case": name,
                    "cause": index,
                    "time": look,
                    "incidence": f"{curve.iloc[at]:.6f}",
                    "error": f"{np.sqrt(variance.iloc[at]):.6f}",
                }
            )
    return rows


def main() -> None:
    """Write the record."""
    rows = [row for name in CASES for row in estimates(name)]
    with (PLACE / "incidence.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    sys.exit(main())
