"""Bench calibration of one trap: what its readings changed, and which of them disagree."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from setwright.basis.source import Quantity
from setwright.basis.spread import Z95
from setwright.trap.disagree import Conflict, Residual, conflicts_of, residuals_of
from setwright.trap.forward import NODES
from setwright.trap.model import Dimensions, Family, Floats
from setwright.trap.posterior import Posterior, posterior_of, settled_scores
from setwright.trap.readings import KINDS, Reading
from setwright.trap.unknowns import unknowns_of

ABSOLUTE = "absolute"
COMPARATIVE = "comparative"
# Kinds that must all be read before a figure stands by itself.
_NEEDED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "closing_time": (("closing_time",),),
    "closing_force": (("opening_force", "lever_force"), ("creep_force", "lever_force")),
    "opening_force": (("opening_force", "lever_force"),),
    "dog_force": (("lever_force", "eye_opening", "spread"), ("lever_force", "eye_opening", "jaw_height")),
    "trip_force": (("pan_pull",),),
}
OUTPUTS = tuple(_NEEDED)
_SPREADS = ("spread", "spread at the widest", "spread outside")


@dataclass(frozen=True)
class Change:
    """One unknown before and after the readings.

    Parameters
    ----------
    name : str
        Of the unknown.
    before, after : tuple of float
        Median, 5 % and 95 % point, in SI.
    removed : float [-]
        Share of the variance of its score that the readings removed.

    """

    name: str
    before: tuple[float, float, float]
    after: tuple[float, float, float]
    removed: float


@dataclass(frozen=True)
class Calibration:
    """All that the readings say of one trap.

    Parameters
    ----------
    posterior : Posterior
        For draws of the trap.
    changes : tuple of Change
        Every unknown, in the order of the posterior.
    residuals : tuple of Residual
        Every reading, in the order of the posterior.
    conflicts : tuple of Conflict
        Worst first.
    missing : tuple of str
        Kinds that could be read on this trap and were not: prior stands for them.
    standing : mapping of str to str
        `absolute` or `comparative` for every output.
    remarks : tuple of str
        What the reader of the figures must know.

    """

    posterior: Posterior
    changes: tuple[Change, ...]
    residuals: tuple[Residual, ...]
    conflicts: tuple[Conflict, ...]
    missing: tuple[str, ...]
    standing: Mapping[str, str]
    remarks: tuple[str, ...]


def calibrate(
    dimensions: Dimensions,
    priors: Mapping[str, Quantity],
    readings: Sequence[Reading] = (),
    *,
    draws: int = 1000,
    seed: int = 20,
    nodes: int = NODES,
) -> Calibration:
    """Calibrate one trap on its bench readings.

    Parameters
    ----------
    dimensions : Dimensions
        The trap by its pattern, with its jaws and springs.
    priors : mapping of str to Quantity
        Of its unknowns by name, in SI, with 5 % and 95 % points.
    readings : sequence of Reading
        In any order; none gives the prior back.
    draws : int
        That the answer is checked with.
    seed : int
        Same seed, same answer.
    nodes : int
        Nodes of the motion.

    Returns
    -------
    Calibration
        What changed, what disagrees, what is missing, and the posterior to draw from.

    Raises
    ------
    OutOfRange
        When a prior is missing or a reading does not belong to the family.

    Notes
    -----
    Bayes' rule with normal errors: u ~ N(0, I) for scores of the unknowns, readings y = f(u) + sd ε. Range: the
    range of the closing, and readings that err independently. Doubts: errors and priors are assumed; one
    instrument read twice errs twice the same way.

    References
    ----------
    Gelman et al., *Bayesian Data Analysis*, regression and normal approximation (memory).

    """
    unknowns = unknowns_of(dimensions, priors)
    posterior = posterior_of(unknowns, readings, draws=draws, seed=seed, nodes=nodes)
    residuals = residuals_of(posterior)
    conflicts = conflicts_of(posterior)
    missing = missing_kinds({one.kind for one in readings}, dimensions.family)
    standing = standing_of({one.kind for one in readings if not one.bound})
    remarks = _remarks(posterior, residuals, conflicts)
    return Calibration(posterior, changes_of(posterior), residuals, conflicts, missing, standing, remarks)


def standing_of(kinds: Collection[str]) -> dict[str, str]:
    """`absolute` or `comparative` for every output, by the kinds of readings that were taken.

    Parameters
    ----------
    kinds : collection of str
        Keys of `setwright.trap.readings.KINDS`; bounds do not count.

    Notes
    -----
    Closing time stands by itself only with a video of it. Clamp forces need the force at which the jaws open
    (or the loop creeps) and that of the lever; the dog force the lever, the eye and the spread or height of
    the jaws; the trip force a pull on the pan. All others compare traps of one's own.

    """
    taken = {"spread" if kind in _SPREADS else kind for kind in kinds}
    return {
        output: ABSOLUTE if any(taken.issuperset(group) for group in groups) else COMPARATIVE
        for output, groups in _NEEDED.items()
    }


def missing_kinds(kinds: Collection[str], family: Family) -> tuple[str, ...]:
    """Kinds of readings that a trap of the family could still give.

    Parameters
    ----------
    kinds : collection of str
        Taken already.
    family : {"coil", "long"}
        Of the trap.

    """
    spread_read = any(kind in _SPREADS for kind in kinds)
    return tuple(
        kind
        for kind, about in KINDS.items()
        if kind not in kinds and family in about.families and not (spread_read and kind in _SPREADS)
    )


def changes_of(posterior: Posterior) -> tuple[Change, ...]:
    """Median, band and variance of every unknown before and after.

    Parameters
    ----------
    posterior : Posterior
        Of one trap.

    """
    scores, weights = settled_scores(posterior)
    mean = weights @ scores
    variance = weights @ (scores - mean) ** 2
    found = []
    for i, one in enumerate(posterior.unknowns.free):
        if posterior.readings:
            quantiles = weighted_points(scores[:, i], weights)
        else:
            quantiles = np.array([0.0, -Z95, Z95])
        low, middle, high = one.low, one.middle, one.high
        after = tuple(float(x) for x in one.value(quantiles))
        removed = float(1.0 - variance[i]) if posterior.readings else 0.0
        found.append(Change(one.name, (middle, low, high), (after[0], after[1], after[2]), removed))
    return tuple(found)


def weighted_points(values: Floats, weights: Floats) -> Floats:
    """Median, 5 % and 95 % point of weighted draws.

    Parameters
    ----------
    values, weights : array, shape (n,)
        Draws, and shares that sum to 1.

    """
    order = np.argsort(values, kind="stable")
    middle = np.cumsum(weights[order]) - 0.5 * weights[order]
    return np.asarray(np.interp((0.5, 0.05, 0.95), middle, values[order]))


def _remarks(
    posterior: Posterior, residuals: tuple[Residual, ...], conflicts: tuple[Conflict, ...]
) -> tuple[str, ...]:
    found = []
    if not posterior.readings:
        found.append("no readings: the pattern's figures stand for this trap")
    if not posterior.law.settled:
        found.append("the fit did not settle: read again what is flagged")
    if not posterior.trusted:
        found.append("the normal law did not hold; draws are by random walks")
    found += [f"{one.reading.label} does not fit the other readings: {one.alone:+.1f} sd" for one in residuals
              if one.flagged]  # fmt: skip
    found += [f"{one.first.label} and {one.second.label} disagree: {one.score:.1f} sd" for one in conflicts]
    return tuple(found)
