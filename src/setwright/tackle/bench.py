"""What pulls on the bench teach: samples loaded to failure, and a proof that a part has held."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from setwright.basis.spread import normal_cdf
from setwright.tackle.chain import require_positive

# A proof that less than this share of such parts would have held says that one of the figures is wrong.
ODD = 1e-5


@dataclass(frozen=True, slots=True)
class PartStrength:
    """Strength of a part as a log-normal: median [N], NaN when nothing is known, and scatter [-]."""

    median: float
    spread: float


def after_samples(prior: PartStrength, samples: Sequence[float], scatter: float = 0.15) -> PartStrength:
    """Strength of the next part of a batch after some of it were loaded to failure.

    Parameters
    ----------
    prior : PartStrength
        Before; its spread is the doubt about the batch. A NaN median knows nothing.
    samples : sequence of float
        Breaking forces [N].
    scatter : float
        Log-normal scatter from part to part inside the batch [-], assumed.

    Returns
    -------
    PartStrength
        The prior itself without samples. Otherwise the mean of logarithms weighted by what each tells, with the
        doubt that is left and the scatter of one part added.

    References
    ----------
    Normal mean with a normal prior (textbook, memory).

    """
    require_positive(scatter, "scatter")
    for sample in samples:
        require_positive(sample, "samples")
    if not samples:
        return prior
    logs = np.log(np.asarray(samples, dtype=float))
    told = logs.size / scatter**2
    weight, before = 0.0, 0.0
    if not math.isnan(prior.median):
        require_positive(prior.spread, "spread")
        weight, before = prior.spread**-2, math.log(prior.median)
    mean = (weight * before + told * float(logs.mean())) / (weight + told)
    return PartStrength(math.exp(mean), math.sqrt(scatter**2 + 1.0 / (weight + told)))


def after_proof(prior: PartStrength, proof: float) -> PartStrength:
    """Strength of a part that has held a proof pull without a mark.

    Parameters
    ----------
    prior : PartStrength
        Before.
    proof : float
        Pull that it held [N]; a part that yielded or opened has failed instead.

    Returns
    -------
    PartStrength
        Mean and scatter of the logarithm given that it is above the proof. NaN stays NaN: a proof alone is a
        floor and no median. NaN too when the part should have broken long before: one of the figures is wrong.

    Notes
    -----
    With α = ln(proof/median)/σ and λ = φ(α)/Φ(−α): mean + σ λ, variance σ² (1 + α λ − λ²). The lower tail of
    the answer is cut off at the proof; the log-normal put in its place is cautious there.

    References
    ----------
    Truncated normal (textbook, memory).

    """
    require_positive(proof, "proof")
    if math.isnan(prior.median):
        return prior
    require_positive(prior.spread, "spread")
    alpha = math.log(proof / prior.median) / prior.spread
    left = float(normal_cdf(-alpha))
    if left < ODD:
        return PartStrength(float("nan"), float("nan"))
    hazard = math.exp(-0.5 * alpha**2) / math.sqrt(2.0 * math.pi) / left
    mean = math.log(prior.median) + prior.spread * hazard
    return PartStrength(math.exp(mean), prior.spread * math.sqrt(1.0 + alpha * hazard - hazard**2))
