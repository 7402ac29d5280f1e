"""Three words for a criterion, and rules for looking more than once that stay honest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from setwright.basis.errors import BadInput
from setwright.log.rates import clopper_pearson

Floats = NDArray[np.float64]
PROOF = 20.0


class Word(StrEnum):
    """What so many animals say of a criterion."""

    PASSES = "passes the rule as written"
    BETTER = "shown better than the rule"
    NOT_SHOWN = "not shown"


@dataclass(frozen=True, slots=True)
class Verdict:
    """Word, and why.

    Parameters
    ----------
    word : Word
        One of three.
    lower : float [-]
        Exact one-sided 95 % lower bound of the share, the missing left out.
    worst, best : float [-]
        Share if every missing animal were bad, or good; NaN without animals.
    reason : str
        In a plain sentence.

    """

    word: Word
    lower: float
    worst: float
    best: float
    reason: str


def judge(good: int, bad: int, missing: int, line: float, least: int, most_missing: int = 0) -> Verdict:
    """Hold animals against a criterion: at least a share of at least so many.

    Parameters
    ----------
    good, bad, missing : int
        Animals in order, not in order, and of which nothing was written: those are never taken as good.
    line : float [-]
        Share that the rule asks for.
    least : int
        Animals that the rule asks for.
    most_missing : int
        With more missing than this there is no pass.

    Raises
    ------
    BadInput
        When a number is below zero or the line not between 0 and 1.

    """
    if min(good, bad, missing, least, most_missing) < 0 or not 0.0 < line < 1.0:
        raise BadInput("numbers of animals and a share", field="good, bad, missing, line", found=(good, bad, missing))
    known, total = good + bad, good + bad + missing
    lower = float(clopper_pearson(good, known, 0.90).low)
    worst = good / total if total else math.nan
    best = (good + missing) / total if total else math.nan

    def verdict(word: Word, reason: str) -> Verdict:
        return Verdict(word, lower, worst, best, reason)

    if missing > most_missing:
        return verdict(Word.NOT_SHOWN, f"of {missing} held animals nothing was written down")
    if known < least:
        return verdict(Word.NOT_SHOWN, f"{known} animals, and the rule asks for {least}")
    if worst < line:
        return verdict(Word.NOT_SHOWN, f"{good} of {total} is below the line, the missing taken as bad")
    if float(clopper_pearson(good, total, 0.90).low) >= line:
        return verdict(Word.BETTER, f"{good} of {total}: also the 95 % lower bound reaches the line")
    return verdict(Word.PASSES, f"{good} of {total} reaches the line, the 95 % lower bound does not")


def proof_value(hits: ArrayLike, trials: ArrayLike, line: ArrayLike) -> Floats:
    """Weight of evidence that a share differs from a line; may be looked at after every animal, any shape.

    Parameters
    ----------
    hits, trials : array [-]
        Counts up to now.
    line : array [-]
        Share, between 0 and 1.

    Returns
    -------
    array [-]
        Where it is `PROOF` or more and the share seen lies above the line, the trap is shown better; over all looks
        together this errs in at most one of twenty traps that are at the line.

    References
    ----------
    Ville's inequality for the mixture with Jeffreys' prior (memory).

    """
    k, n, p = (np.asarray(part, dtype=float) for part in (hits, trials, line))
    log = special.betaln(0.5 + k, 0.5 + n - k) - math.log(math.pi) - k * np.log(p) - (n - k) * np.log1p(-p)
    return np.asarray(np.exp(log))


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines of a sequential test in numbers of bad animals: accept at or below, reject at or above.

    Parameters
    ----------
    accept_at, reject_at : float [-]
        Where the lines stand without any animal.
    slope : float [-]
        Bad animals more for each animal.

    """

    accept_at: float
    reject_at: float
    slope: float


def sequential_lines(share_good: float, share_bad: float, wrong_reject: float, wrong_accept: float) -> Lines:
    """Lines of Wald's test between two shares of bad animals.

    Parameters
    ----------
    share_good, share_bad : float [-]
        Share of bad animals of a good trap and of a bad one.
    wrong_reject, wrong_accept : float [-]
        Chances of error that are allowed for either.

    References
    ----------
    Wald (1947), Sequential Analysis (memory).

    """
    if not 0.0 < share_good < share_bad < 1.0 or not 0.0 < wrong_reject < 1.0 or not 0.0 < wrong_accept < 1.0:
        raise BadInput("two shares and two chances of error", field="share_good", found=(share_good, share_bad))
    gain = math.log(share_bad * (1.0 - share_good) / (share_good * (1.0 - share_bad)))
    return Lines(
        -math.log((1.0 - wrong_reject) / wrong_accept) / gain,
        math.log((1.0 - wrong_accept) / wrong_reject) / gain,
        math.log((1.0 - share_good) / (1.0 - share_bad)) / gain,
    )
