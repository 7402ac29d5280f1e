"""Which readings of a trap disagree with the others, and with which."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from setwright.trap.fit import fit, jacobian
from setwright.trap.forward import misfits
from setwright.trap.model import Floats
from setwright.trap.posterior import Posterior
from setwright.trap.readings import Reading
from setwright.trap.unknowns import design_of

# A residual, or a disagreement of two readings, of more standard deviations than this is named.
FLAG = 3.0
# Above this on the straight line, the fit is made again to see whether it is so.
_LOOK_AGAIN = 2.5
# Two readings tell of the same thing when their predictions go together by more than this.
_RELATED = 0.3


@dataclass(frozen=True)
class Residual:
    """How one reading agrees with all others and the prior.

    Parameters
    ----------
    reading : Reading
        As read.
    misfit : float [-]
        Fitted less read, in its standard deviations.
    alone : float [-]
        What the others foretell less read, over the standard deviation of that difference.
    flagged : bool
        True where that is more than three either way.

    """

    reading: Reading
    misfit: float
    alone: float
    flagged: bool


@dataclass(frozen=True)
class Conflict:
    """Two readings that cannot both be right.

    Parameters
    ----------
    first, second : Reading
        The two.
    score : float [-]
        Lesser of how far each stands from what the other foretells, in standard deviations.

    """

    first: Reading
    second: Reading
    score: float


def residuals_of(posterior: Posterior) -> tuple[Residual, ...]:
    """Each reading against all others; those that look wrong on the straight line are fitted again without.

    Parameters
    ----------
    posterior : Posterior
        Of one trap.

    """
    law, readings = posterior.law, posterior.readings
    leverage = np.einsum("ij,jk,ik->i", law.jacobian, law.covariance, law.jacobian)
    alone = law.residuals / np.sqrt(np.maximum(1.0 - leverage, 1e-9))
    found = []
    for i, one in enumerate(readings):
        score = float(alone[i])
        if not abs(score) <= _LOOK_AGAIN:
            score = _foretold(posterior, [other for j, other in enumerate(readings) if j != i], one)
        found.append(Residual(one, float(law.residuals[i]), score, not abs(score) <= FLAG))
    return tuple(found)


def _foretold(posterior: Posterior, known: list[Reading], wanted: Reading) -> float:
    """What some readings foretell of another less what was read, over the deviation of that difference."""
    unknowns, nodes = posterior.unknowns, posterior.nodes
    law = fit(lambda scores: misfits(design_of(unknowns, scores), known, nodes=nodes), unknowns.size)

    def one(scores: Floats) -> Floats:
        return misfits(design_of(unknowns, scores), [wanted], nodes=nodes)

    slope = jacobian(one, law.mode)[0]
    return float(one(law.mode[None])[0, 0] / np.sqrt(1.0 + slope @ law.covariance @ slope))


def conflicts_of(posterior: Posterior) -> tuple[Conflict, ...]:
    """Pairs that, with the prior alone, each stand far from what the other foretells; worst first.

    Parameters
    ----------
    posterior : Posterior
        Of one trap.

    """
    law, readings = posterior.law, posterior.readings
    spread = np.eye(len(readings)) + law.jacobian @ law.jacobian.T
    surprise = law.residuals - law.jacobian @ law.mode
    found = []
    for i, j in combinations(range(len(readings)), 2):
        pair = spread[i, j] / np.sqrt(spread[i, i] * spread[j, j])
        if abs(pair) < _RELATED or not np.isfinite(surprise[[i, j]]).all():
            continue
        if min(abs(_given(surprise, spread, i, j)), abs(_given(surprise, spread, j, i))) <= _LOOK_AGAIN:
            continue
        score = min(
            abs(_foretold(posterior, [readings[j]], readings[i])),
            abs(_foretold(posterior, [readings[i]], readings[j])),
        )
        if score > FLAG:
            found.append(Conflict(readings[i], readings[j], score))
    return tuple(sorted(found, key=lambda one: -one.score))


def _given(surprise: Floats, spread: Floats, i: int, j: int) -> float:
    slope = spread[i, j] / spread[j, j]
    return float((surprise[i] - slope * surprise[j]) / np.sqrt(spread[i, i] - slope * spread[i, j]))
