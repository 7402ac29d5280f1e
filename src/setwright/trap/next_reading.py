"""Which reading of a trap would tell most, before it is taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from setwright.trap.calibrate import missing_kinds
from setwright.trap.fit import jacobian
from setwright.trap.forward import NODES, misfits, predict
from setwright.trap.holding import clamp, dog_force
from setwright.trap.loop import loop_at
from setwright.trap.model import COIL, Floats
from setwright.trap.posterior import Posterior
from setwright.trap.readings import KINDS, Reading, ReadingError
from setwright.trap.unknowns import Design, design_of

RANKED = ("closing_time", "closing_force", "opening_force", "dog_force")
# More than a hanging scale of the usual kind carries, or a person should pull on a trap.
MOST_FORCE = 400.0
FRAME_RATES = (240.0, 1000.0)
_BAR_FORCE = 50.0
_BASE_HEIGHT = 0.01
# Shares of the way from the set spring to the spent one at which a lever is best held.
_HELD_AT = (0.1, 0.6)
_STEEPEST = 1.2
# How often a kind is worth taking.
_REPEATS = {"lever_force": 2, "pan_pull": 3}


@dataclass(frozen=True)
class Candidate:
    """A reading not taken yet, and what it is expected to tell.

    Parameters
    ----------
    reading : Reading
        With the settings to take it at, the value that is expected and its usual error.
    removed : mapping of str to float [-]
        Share of the variance of each output that it would remove.
    remaining : mapping of str to float
        Standard deviation left after it: of the logarithm of closing time, closing force and dog force; of
        closing over opening force.
    score : float [-]
        Mean of the shares removed.

    """

    reading: Reading
    removed: Mapping[str, float]
    remaining: Mapping[str, float]
    score: float


def next_readings(
    posterior: Posterior,
    errors: Mapping[str, ReadingError],
    *,
    limb: float = 0.02,
    candidates: Sequence[Reading] | None = None,
) -> tuple[Candidate, ...]:
    """Readings not taken yet, the one that tells most first.

    Parameters
    ----------
    posterior : Posterior
        Of the trap as it is known so far.
    errors : mapping of str to ReadingError
        Usual errors by kind.
    limb : float [m]
        Thickness on which the clamp force matters, and of the dowel.
    candidates : sequence of Reading, optional
        To choose from, values aside; all sensible ones when None.

    Returns
    -------
    tuple of Candidate
        Empty when nothing is left to read.

    Notes
    -----
    Linear in the scores around the most probable trap: a reading with the misfit slope j takes C j jᵀC/(1 + jᵀC j)
    off the covariance C. Opening force counts as closing over opening force, which stays smooth where the trap
    locks. Readings that ask for more than 400 N are left out.

    References
    ----------
    Chaloner & Verdinelli 1995, Bayesian experimental design, *Statistical Science* 10:273-304 (memory).

    """
    mode = design_of(posterior.unknowns, posterior.law.mode[None])
    wanted = sensible(posterior, limb=limb) if candidates is None else tuple(candidates)
    wanted = _expected(mode, wanted, errors, posterior.nodes)
    if not wanted:
        return ()

    def told(scores: Floats) -> Floats:
        design = design_of(posterior.unknowns, scores)
        outputs = outputs_of(design, limb=limb, nodes=posterior.nodes)
        return np.concatenate((outputs, misfits(design, wanted, nodes=posterior.nodes)), axis=-1)

    slopes = jacobian(told, posterior.law.mode)
    covariance = posterior.law.covariance
    targets, rows = slopes[: len(RANKED)], slopes[len(RANKED) :]
    before = np.einsum("ij,jk,ik->i", targets, covariance, targets)
    shared = targets @ covariance @ rows.T
    gained = shared**2 / (1.0 + np.einsum("ij,jk,ik->i", rows, covariance, rows))
    share = np.divide(gained, before[:, None], out=np.zeros_like(gained), where=before[:, None] > 0.0)
    left = np.sqrt(np.maximum(before[:, None] - gained, 0.0))
    found = [
        Candidate(
            one,
            {name: float(share[i, k]) for i, name in enumerate(RANKED)},
            {name: float(left[i, k]) for i, name in enumerate(RANKED)},
            float(np.mean(share[:, k])),
        )
        for k, one in enumerate(wanted)
    ]
    return tuple(sorted(found, key=lambda one: (-one.score, one.reading.label)))


def outputs_of(design: Design, *, limb: float, nodes: int = NODES) -> Floats:
    """Outputs that readings are ranked by, shape (n, 4), in the order of `RANKED`.

    Parameters
    ----------
    design : Design
        n designs of one trap.
    limb : float [m]
        Thickness between the faces.
    nodes : int
        Nodes of the motion.

    Notes
    -----
    Logarithms of closing time, closing force and dog force; closing over opening force, 0 where locked.

    """
    timed = Reading("closing_time", 1.0, 1.0, frame_rate=1.0)
    grip = clamp(design.trap, friction=design.friction, limb=limb, margin_to_lock=False)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.stack((
            np.log(predict(design, [timed], nodes=nodes)[:, 0]),
            np.log(grip.closing_force),
            grip.closing_force / grip.opening_force,
            np.log(dog_force(design.trap)),
        ), axis=-1)  # fmt: skip


def sensible(posterior: Posterior, *, limb: float) -> tuple[Reading, ...]:
    """Readings not taken yet, each with settings that fit the most probable trap; values and errors are 1.

    Parameters
    ----------
    posterior : Posterior
        Of the trap as it is known so far.
    limb : float [m]
        Diameter of the dowel.

    """
    taken = [one.kind for one in posterior.readings]
    full = {kind for kind in taken if taken.count(kind) >= _REPEATS.get(kind, 1)}
    mode = design_of(posterior.unknowns, posterior.law.mode[None])
    found: list[Reading] = []
    for kind in missing_kinds(full | (set(taken) - set(_REPEATS)), posterior.unknowns.base.family):
        found += [Reading(kind, 1.0, 1.0, **settings) for settings in _settings(kind, mode, limb)]
    return tuple(found)


def _settings(kind: str, mode: Design, limb: float) -> list[dict[str, Any]]:
    if kind == "lever_force":
        return [_held(mode, share) for share in _HELD_AT]
    if kind == "closing_time":
        return [{"frame_rate": rate} for rate in FRAME_RATES]
    every = {"dowel": limb, "bar_force": _BAR_FORCE, "base_height": _BASE_HEIGHT}
    return [{name: every[name] for name in KINDS[kind].needs}]


def _held(mode: Design, share: float) -> dict[str, Any]:
    trap = mode.trap
    start = float(np.ravel(loop_at(trap, trap.set_angle).coordinate)[0])
    place = start + share * (float(np.ravel(trap.free_coordinate)[0]) - start)
    if trap.family != COIL:
        return {"eye_height": place + _BASE_HEIGHT, "base_height": _BASE_HEIGHT}
    return {"lever_angle": min(place, _STEEPEST), "distance": float(np.ravel(trap.lever_length)[0])}


def _expected(
    mode: Design, wanted: Sequence[Reading], errors: Mapping[str, ReadingError], nodes: int
) -> tuple[Reading, ...]:
    """Readings with the value the most probable trap would show, and its usual error."""
    found = []
    for one, value in zip(wanted, predict(mode, wanted, nodes=nodes)[0].tolist(), strict=True):
        heavy = KINDS[one.kind].unit == "N" and value > MOST_FORCE
        if np.isfinite(value) and not heavy and (value > 0.0 or KINDS[one.kind].unit == "rad"):
            found.append(replace(one, value=value, sd=errors[one.kind].sd(value, one.frame_rate)))
    return tuple(found)
