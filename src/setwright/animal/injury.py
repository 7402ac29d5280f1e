"""Injuries found on held animals: counted against a list, summed as points; what was not looked at stays open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]

# From least to worst; a behaviour has no points and no place in this order.
TRAUMA = ("none", "mild", "moderate", "moderately_severe", "severe")
BEHAVIOUR = "behaviour"
FIELD, NECROPSY = "field", "necropsy"


@dataclass(frozen=True, slots=True)
class Injury:
    """One entry of the injury scale.

    Parameters
    ----------
    key : str
        Name in the scale.
    trauma : str
        Class of trauma, one of `TRAUMA` after the first, or `BEHAVIOUR`.
    points : float [-]
        Points on the trauma scale; 0 for a behaviour.
    listed : bool
        True when it is an indicator of poor welfare in the international agreement.
    words : str
        What it is, in words of this project.

    """

    key: str
    trauma: str
    points: float
    listed: bool
    words: str


@dataclass(frozen=True, slots=True)
class Findings:
    """What was found on one held animal.

    Parameters
    ----------
    injuries : tuple of str or None
        Keys of the scale; empty when somebody looked and saw none, None when nothing was written down.
    whole : bool
        False when only a part of the animal was looked at: more may be there.
    seen_by : str
        `field` (outside, at the set) or `necropsy`.

    """

    injuries: tuple[str, ...] | None
    whole: bool = True
    seen_by: str = FIELD

    def __post_init__(self) -> None:
        if self.seen_by not in (FIELD, NECROPSY):
            raise BadInput(
                "no such way of looking", field="seen_by", found=self.seen_by, allowed=f"{FIELD}, {NECROPSY}"
            )


@dataclass(frozen=True, slots=True)
class Count:
    """Animals in order, animals not in order, animals of which it cannot be told.

    Parameters
    ----------
    good, bad, missing : int
        Numbers of animals.

    """

    good: int
    bad: int
    missing: int = 0

    def __post_init__(self) -> None:
        for name in ("good", "bad", "missing"):
            if getattr(self, name) < 0:
                raise BadInput("a number of animals", field=name, found=getattr(self, name), allowed="0 or more")

    @property
    def known(self) -> int:
        """Animals of which it can be told."""
        return self.good + self.bad

    @property
    def total(self) -> int:
        """All animals."""
        return self.known + self.missing


@dataclass(frozen=True, slots=True, eq=False)
class Tally:
    """Findings of n animals against the scale.

    Parameters
    ----------
    free_of_listed : array (n,) [-]
        1 when no listed indicator was found on an animal that was looked over, 0 when one was, NaN when open.
    no_to_moderate : array (n,) [-]
        1 when the worst injury is moderate or less, 0 when it is worse, NaN when open.
    points_low, points_high : array (n,) [-]
        Sum of points that is there for certain, and the sum that may be there: without limit (inf) where an animal
        was not wholly looked over.
    necropsies : int
        How many of the animals were opened; the others were seen in the field, where injuries are missed.

    """

    free_of_listed: Floats
    no_to_moderate: Floats
    points_low: Floats
    points_high: Floats
    necropsies: int


def tally(findings: Sequence[Findings], scale: Mapping[str, Injury]) -> Tally:
    """Hold the findings of each animal against the scale.

    Parameters
    ----------
    findings : sequence of Findings
        One per held animal, n of them; every held animal counts, also one of which nothing was written down.
    scale : mapping of str to Injury
        The injury scale by key.

    Returns
    -------
    Tally
        Arrays of shape (n,).

    Raises
    ------
    BadInput
        When an injury is not in the scale.

    Notes
    -----
    The list of the agreement counts *animals with any*; the points *sum*. One animal may pass one and fail the other.
    A bad finding decides also on an animal that was only looked at in part; a good one does not.

    """
    free, light, low, high = (np.full(len(findings), np.nan) for _ in range(4))
    for row, found in enumerate(findings):
        injuries = [_entry(key, scale) for key in found.injuries or ()]
        open_ = found.injuries is None or not found.whole
        worst = max((TRAUMA.index(entry.trauma) for entry in injuries if entry.trauma in TRAUMA), default=0)
        free[row] = _known(any(entry.listed for entry in injuries), open_)
        light[row] = _known(worst > TRAUMA.index("moderate"), open_)
        low[row] = sum(entry.points for entry in injuries)
        high[row] = np.inf if open_ else low[row]
    return Tally(free, light, low, high, sum(found.seen_by == NECROPSY for found in findings))


def _entry(key: str, scale: Mapping[str, Injury]) -> Injury:
    if key not in scale:
        raise BadInput("no such injury in the scale", field="injuries", found=key, allowed=", ".join(scale))
    return scale[key]


def _known(bad: bool, open_: bool) -> float:
    return 0.0 if bad else np.nan if open_ else 1.0


def count(good: Floats) -> Count:
    """Animals in order, not in order and open, from an array of 1, 0 and NaN.

    Parameters
    ----------
    good : array (n,) [-]
        1 in order, 0 not, NaN open.

    """
    values = np.asarray(good, dtype=float)
    return Count(int(np.sum(values == 1.0)), int(np.sum(values == 0.0)), int(np.sum(np.isnan(values))))


def mean_points(found: Tally) -> tuple[float, float]:
    """Least and greatest mean of points that the findings allow.

    Parameters
    ----------
    found : Tally
        Findings against the scale.

    Returns
    -------
    tuple of float [-]
        Equal when every animal was wholly looked over; the upper one is inf when any was not; NaN without animals.

    """
    if found.points_low.size == 0:
        return float("nan"), float("nan")
    return float(np.mean(found.points_low)), float(np.mean(found.points_high))
