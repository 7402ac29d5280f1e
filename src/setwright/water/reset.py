"""What to do with a water set as the level changes: leave it, re-set it, move it or pull it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.say import Say


class Act(StrEnum):
    """What to do with a set as the level changes."""

    LEAVE = "leave"
    RESET = "re-set"
    MOVE = "move"
    PULL = "pull"
    UNKNOWN = "cannot tell"


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do, and why in words."""

    act: Act
    say: Say


def best_pan_depth(change: ArrayLike, low: float, high: float) -> tuple[float, float]:
    """Pan depth at which the pan lies inside the window for most hours.

    Parameters
    ----------
    change : array_like
        Level less the level when set, hour by hour, any shape [m]; every hour of every draw counts alike.
    low, high : float
        Window of the foot [m].

    Returns
    -------
    depth, share : float
        Water over the pan when set, not negative [m], and the share of hours inside [-]; NaN when an hour is unknown.

    Notes
    -----
    A depth d takes in the hours whose fall lies in [d − high, d − low]: the fullest window of that width over the
    sorted falls, found in one sweep. The middle of the depths that do equally well is given.

    """
    moved = np.asarray(change, dtype=float).ravel()
    if moved.size == 0 or bool(np.isnan(moved).any()):
        return float("nan"), float("nan")
    falls = np.sort(-moved)
    # A pan that lies bare when set is no choice: its window would begin below -high.
    begins = np.maximum(falls, -high)
    ends = np.searchsorted(falls, begins + (high - low) + 1e-12, side="right")
    firsts = np.searchsorted(falls, begins - 1e-12, side="left")
    best = int(np.argmax(ends - firsts))
    inside = falls[firsts[best] : ends[best]]
    if inside.size == 0:
        return 0.5 * (low + high), 0.0
    depth = 0.5 * (max(float(inside[-1]) + low, 0.0) + float(inside[0]) + high)
    return depth, inside.size / moved.size


def advise_level(
    works: float,
    submerges: float | None,
    *,
    works_reset: float,
    submerges_reset: float | None = None,
    reset_depth: float,
    least: float = 0.8,
) -> Advice:
    """What to do with a set, from shares of hours now and after the best that can be done at its place.

    Parameters
    ----------
    works : float
        Share of the hours in which the pan lies inside the window [-].
    submerges : float or None
        Share of the hours in which it takes the animal under [-]; None for a set that is meant to hold alive.
    works_reset, submerges_reset : float
        The same after the pan is bedded anew, and the cable cured, at this place [-]; unknown counts as no better.
    reset_depth : float
        Water over the pan when bedded anew [m].
    least : float
        Share from which a set is left to itself [-]; assumed.

    Returns
    -------
    Advice
        `LEAVE`, `RESET`, `MOVE`, `PULL`, or `UNKNOWN` when a share is not known.

    Notes
    -----
    A set that does not take under is the graver fault, since it then holds alive and falls under another check
    interval: it is pulled when nothing at the place mends it.

    """
    if np.isnan(works) or (submerges is not None and np.isnan(submerges)):
        return Advice(Act.UNKNOWN, Say("cannot tell: pan depth, soundings or level are not known"))
    under = submerges is None or submerges >= least
    if works >= least and under:
        return Advice(Act.LEAVE, Say("leave it: {works:share} of the hours inside the window", works=works))
    under_reset = submerges is None or (submerges_reset is not None and submerges_reset >= least)
    if works_reset >= least and (under or under_reset):
        words = Say(
            "re-set: bed the pan {depth:length} under for {works:share} of the hours", depth=reset_depth,
            works=works_reset,
        )  # fmt: skip
        if not under:
            words = Say("{words:say}, and mend the cable, which now takes under too seldom", words=words)
        return Advice(Act.RESET, words)
    if not under and not under_reset:
        template = (
            "pull it, or make it a set that holds alive and check it as one: "
            "it takes under in {under:share} of the hours"
        )
        return Advice(Act.PULL, Say(template, under=submerges))
    return Advice(
        Act.MOVE,
        Say("move it to steadier water: at no depth here is the pan inside the window for more than {best:share}",
            best=works_reset),
    )  # fmt: skip
