"""What is known of one trap after its readings: draws of it for everything that is computed later."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from setwright.basis.spread import normal_cdf
from setwright.trap.fit import Fit, fit
from setwright.trap.forward import NODES, misfits
from setwright.trap.model import Floats
from setwright.trap.readings import Reading, check_family
from setwright.trap.unknowns import Design, Unknowns, design_of
from setwright.trap.weigh import Bend, Weighted, in_place, matched, walk, weigh

# Below this share of effective draws, or above this tail, walks take the place of weights.
LEAST_EFFECTIVE = 0.1
MOST_TAIL = 0.7
# Above this share the plain normal law is good enough.
_GOOD_EFFECTIVE = 0.5
# Readings that curve within the band of what is known, and that need no motion.
_CURVED = (
    "lever_force", "opening_force", "creep_force", "empty_lever_angle", "empty_eye_height", "pan_pull", "jaw_height",
)  # fmt: skip


@dataclass(frozen=True)
class Posterior:
    """Unknowns of one trap under its readings.

    Parameters
    ----------
    unknowns : Unknowns
        With their priors.
    readings : tuple of Reading
        In the order given; the answer does not depend on it.
    law : Fit
        Most probable scores and the normal law around them.
    drawn : Fit
        The law that draws are made from: that law, or the one matched to the walks.
    checked : Weighted
        Draws of it with their weights.
    bent : bool
        Whether draws follow the curve of the readings.
    walked : array, shape (k, d) or None
        Draws by walks, where the weights could not be trusted.
    nodes : int
        Nodes of the motion.

    """

    unknowns: Unknowns
    readings: tuple[Reading, ...]
    law: Fit
    drawn: Fit
    checked: Weighted
    bent: bool
    walked: Floats | None
    nodes: int

    @property
    def size(self) -> int:
        """Columns of normal draws that `draw` asks for."""
        return self.unknowns.size

    @property
    def trusted(self) -> bool:
        """True where weights corrected the normal law; False where walks took its place."""
        return self.walked is None

    def draw(self, normals: Floats) -> Design:
        """Designs of the trap, from standard normal draws handed in.

        Parameters
        ----------
        normals : array, shape (n, size) [-]
            One column an unknown, in the order of `unknowns.names`; shared by all traps compared.

        Notes
        -----
        Draws of the normal law, those that the weights leave out replaced by those that count more. With walks
        in place of weights the first column picks among them. Without readings it is the prior.

        """
        return design_of(self.unknowns, self.scores(normals))

    def scores(self, normals: Floats) -> Floats:
        """Standard scores of the unknowns behind `draw`, shape (n, size).

        Parameters
        ----------
        normals : array, shape (n, size) [-]
            As for `draw`.

        """
        z = np.asarray(normals, dtype=float)
        if self.walked is not None:
            place = np.floor(normal_cdf(z[:, 0]) * self.walked.shape[0]).astype(int)
            return np.asarray(self.walked[np.clip(place, 0, self.walked.shape[0] - 1)])
        if not self.readings:
            return z
        found = weigh(self.misfits, self.drawn, z, _bend_of(self.unknowns, self.readings) if self.bent else None)
        return np.asarray(found.scores[in_place(found.weights)])

    def misfits(self, scores: Floats) -> Floats:
        """Misfit of every reading at scores, shape (n, readings), in standard deviations.

        Parameters
        ----------
        scores : array, shape (n, size) [-]
            Rows of standard scores.

        """
        return misfits(design_of(self.unknowns, scores), self.readings, nodes=self.nodes)


def posterior_of(
    unknowns: Unknowns, readings: Sequence[Reading], *, draws: int = 1000, seed: int = 20, nodes: int = NODES
) -> Posterior:
    """Unknowns of one trap under its readings.

    Parameters
    ----------
    unknowns : Unknowns
        With their priors.
    readings : sequence of Reading
        Any number, none included.
    draws : int
        That the normal law is checked with.
    seed : int
        Same seed, same answer.
    nodes : int
        Nodes of the motion.

    Raises
    ------
    OutOfRange
        When a reading cannot be taken on this family of traps.

    Notes
    -----
    Normal law around the most probable scores, checked by weights. Where fewer than one in ten draws count or the
    tail of the weights is above 0.7, a normal law with the mean and spread of walks takes its place, checked in
    the same way; the walks themselves where that fails too. Steps and draws end by number, never by time.

    """
    for reading in readings:
        check_family(reading, unknowns.base)
    # One order for any order given, so that not even rounding tells them apart.
    taken = tuple(sorted(readings, key=lambda one: (one.label, one.value, one.sd, one.bound)))

    def found(scores: Floats) -> Floats:
        return misfits(design_of(unknowns, scores), taken, nodes=nodes)

    law = fit(found, unknowns.size, seed=seed)
    normals = np.random.default_rng(seed).standard_normal((draws, unknowns.size))
    checked, bent, bend = weigh(found, law, normals), False, _bend_of(unknowns, taken)
    if checked.effective < _GOOD_EFFECTIVE and bend is not None:
        curved = weigh(found, law, normals, bend)
        if curved.effective > checked.effective:
            checked, bent = curved, True
    drawn, walked = law, None
    if _poor(checked):
        walked = walk(found, law, seed=seed)
        drawn, bent = matched(law, walked), False
        checked = weigh(found, drawn, normals)
        walked = walked if _poor(checked) else None
    return Posterior(unknowns, taken, law, drawn, checked, bent, walked, nodes)


def _poor(checked: Weighted) -> bool:
    return checked.effective < LEAST_EFFECTIVE or checked.tail > MOST_TAIL


def _bend_of(unknowns: Unknowns, readings: tuple[Reading, ...]) -> Bend | None:
    rows = np.array([i for i, one in enumerate(readings) if one.kind in _CURVED], dtype=np.intp)
    if rows.size == 0:
        return None
    some = [readings[i] for i in rows]
    return Bend(rows, lambda scores: misfits(design_of(unknowns, scores), some))


def settled_scores(posterior: Posterior) -> tuple[Floats, Floats]:
    """Scores of the posterior and their weights, shapes (k, d) and (k,): those of the check, or of the walks.

    Parameters
    ----------
    posterior : Posterior
        Of one trap.

    """
    if posterior.walked is not None:
        count = posterior.walked.shape[0]
        return posterior.walked, np.full(count, 1.0 / count)
    return posterior.checked.scores, posterior.checked.weights
