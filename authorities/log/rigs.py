"""Several rigs side by side by PyMC: the same priors, every share drawn and nothing summed out.

Usage: python authorities/log/rigs.py    (writes rigs.csv beside it; some minutes)
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pymc as pm

HITS, TRIALS = [18, 7, 22, 3, 11], [20, 12, 24, 8, 12]
COUNT, NIGHTS = [9, 30, 4, 12, 2], [120.0, 160.0, 150.0, 90.0, 60.0]
DRAWS, TUNE, CHAINS = 6000, 3000, 2


def shares() -> np.ndarray:
    """Draws of the shares: mean even, concentration c with density (1 + c)^-2."""
    with pm.Model():
        mean = pm.Uniform("mean", 0.0, 1.0)
        part = pm.Uniform("part", 1e-6, 1.0 - 1e-6)
        concentration = part / (1.0 - part)
        share = pm.Beta("share", mean * concentration, (1.0 - mean) * concentration, shape=len(HITS))
        pm.Binomial("seen", n=np.array(TRIALS), p=share, observed=np.array(HITS))
        found = pm.sample(
            DRAWS, tune=TUNE, chains=CHAINS, cores=1, random_seed=7, target_accept=0.97, progressbar=False
        )
    return np.asarray(found.posterior["share"]).reshape(-1, len(HITS))


def rates() -> np.ndarray:
    """Draws of the rates: mean even in its logarithm within 30 times the pooled one, shape s with (1 + s)^-2."""
    pooled = sum(COUNT) / sum(NIGHTS)
    with pm.Model():
        log_mean = pm.Uniform("log_mean", np.log(pooled / 30.0), np.log(pooled * 30.0))
        part = pm.Uniform("part", 1e-6, 1.0 - 1e-6)
        shape = part / (1.0 - part)
        rate = pm.Gamma("rate", shape, shape / pm.math.exp(log_mean), shape=len(COUNT))
        pm.Poisson("seen", rate * np.array(NIGHTS), observed=np.array(COUNT))
        found = pm.sample(
            DRAWS, tune=TUNE, chains=CHAINS, cores=1, random_seed=8, target_accept=0.97, progressbar=False
        )
    return np.asarray(found.posterior["rate"]).reshape(-1, len(COUNT))


if __name__ == "__main__":
    with Path(__file__).with_name("rigs.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(["what", "rig", "mean", "low", "high"])
        for what, draws in (("shares", shares()), ("rates", rates())):
            for rig in range(draws.shape[1]):
                low, high = np.quantile(draws[:, rig], (0.05, 0.95))
                writer.writerow([what, rig, *(f"{value:.5g}" for value in (draws[:, rig].mean(), low, high))])
