"""Answers with a third value: law and welfare, and the standing of a check."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.spread import points


class Answer(StrEnum):
    """Answer of a law or welfare rule (Kleene's strong three-valued logic)."""

    MEETS = "meets"
    BREAKS = "breaks"
    CANNOT_TELL = "cannot tell"

    def negated(self) -> Answer:
        """Swap *meets* and *breaks*; *cannot tell* stays."""
        return {Answer.MEETS: Answer.BREAKS, Answer.BREAKS: Answer.MEETS}.get(self, self)


def all_of(answers: Iterable[Answer]) -> Answer:
    """Kleene conjunction: one *breaks* decides, one *cannot tell* clouds; empty *meets*."""
    seen = set(answers)
    if Answer.BREAKS in seen:
        return Answer.BREAKS
    return Answer.CANNOT_TELL if Answer.CANNOT_TELL in seen else Answer.MEETS


def any_of(answers: Iterable[Answer]) -> Answer:
    """Kleene disjunction: one *meets* decides, one *cannot tell* clouds; empty *breaks*."""
    seen = set(answers)
    if Answer.MEETS in seen:
        return Answer.MEETS
    return Answer.CANNOT_TELL if Answer.CANNOT_TELL in seen else Answer.BREAKS


class Standing(StrEnum):
    """Standing of one check of the chain."""

    SOUND = "sound"
    THIN = "thin"
    FAILS = "fails"
    CANNOT_TELL = "cannot tell"


_ORDER = (Standing.SOUND, Standing.THIN, Standing.CANNOT_TELL, Standing.FAILS)


def worst(standings: Iterable[Standing]) -> Standing:
    """Return the worst standing, with *cannot tell* between *thin* and *fails*.

    An empty collection is *cannot tell*: nothing was looked at.
    """
    found = list(standings)
    return max(found, key=_ORDER.index) if found else Standing.CANNOT_TELL


def standing_of_margin(margin: ArrayLike) -> Standing:
    """Standing from draws of a margin (positive is good), shape (n,), any unit.

    *sound* when the 5 % point is above zero, *fails* when the median is at or below
    zero, *thin* between; *cannot tell* when any draw is not a number. A margin without
    bound (infinite) is a margin like any other.
    """
    values = np.atleast_1d(np.asarray(margin, dtype=float))
    if values.size == 0 or bool(np.isnan(values).any()):
        return Standing.CANNOT_TELL
    low, middle, _ = points(values)
    if middle <= 0.0:
        return Standing.FAILS
    return Standing.SOUND if low > 0.0 else Standing.THIN
