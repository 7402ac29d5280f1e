"""Keep, retune, repair or scrap: what follows from what was looked at and read on a trap that comes in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.model import Floats

KEEP, RETUNE, REPAIR, SCRAP, CANNOT_TELL = "keep", "retune", "repair", "scrap", "cannot tell"
ACTS = (KEEP, RETUNE, REPAIR, SCRAP, CANNOT_TELL)
# Which act decides where several are called for; what is open decides only when nothing else is found.
_ORDER = (SCRAP, REPAIR, RETUNE, CANNOT_TELL, KEEP)
TOO_LONG = "mending it takes longer than it is worth"


@dataclass(frozen=True)
class Finding:
    """One thing that was looked at or read on a trap.

    Parameters
    ----------
    what : str
        What was looked at.
    found : str
        What was found.
    act : str
        One of `ACTS`.
    why, do : str
        Why that act is called for, and what is to be done.
    parts : tuple of tuple of str and int
        Parts that it takes, by name and number.
    seconds : float [s]
        At the bench.
    source : str
        Where it comes from.

    """

    what: str
    found: str
    act: str
    why: str = ""
    do: str = ""
    parts: tuple[tuple[str, int], ...] = ()
    seconds: float = 0.0
    source: str = ""


@dataclass(frozen=True)
class Overhaul:
    """Answer of `overhaul`.

    Parameters
    ----------
    verdict : str
        One of `ACTS`.
    why : str
        What decides.
    findings : tuple of Finding
        Those that call for something, what decides first.
    unread : tuple of Finding
        What nobody looked at or could tell.
    parts : tuple of tuple of str and int
        Parts of all of them; none for a trap that is scrapped.
    seconds : float [s]
        At the bench, all together; nothing for a trap that is scrapped.

    """

    verdict: str
    why: str
    findings: tuple[Finding, ...]
    unread: tuple[Finding, ...]
    parts: tuple[tuple[str, int], ...]
    seconds: float


def overhaul(findings: Sequence[Finding], *, most_seconds: float) -> Overhaul:
    """The verdict on a trap.

    Parameters
    ----------
    findings : sequence of Finding
        Everything that was looked at, and what should have been.
    most_seconds : float [s]
        Bench time that one trap is worth.

    Returns
    -------
    Overhaul
        `scrap` when a finding says so or the work takes longer than the trap is worth; else `repair`, else `retune`;
        `cannot tell` when nothing was found amiss and not all was looked at; `keep` only when all was, and is sound.

    Notes
    -----
    Two findings that call for the same work, such as worn and cracked jaws, take its parts and its time once.

    """
    open_ = tuple(one for one in findings if one.act == CANNOT_TELL)
    called = sorted(
        (one for one in findings if one.act in (SCRAP, REPAIR, RETUNE)), key=lambda one: _ORDER.index(one.act)
    )
    seconds = sum({(one.do, one.parts): one.seconds for one in called}.values())
    if called and called[0].act != SCRAP and seconds > most_seconds:
        return Overhaul(SCRAP, TOO_LONG, tuple(called), open_, (), 0.0)
    if not called:
        verdict, why = (CANNOT_TELL, open_[0].why) if open_ else (KEEP, "all that was looked at is sound")
        return Overhaul(verdict, why, (), open_, (), 0.0)
    if called[0].act == SCRAP:
        return Overhaul(SCRAP, called[0].why, tuple(called), open_, (), 0.0)
    return Overhaul(called[0].act, called[0].why, tuple(called), open_, parts_of(called), seconds)


def parts_of(findings: Sequence[Finding]) -> tuple[tuple[str, int], ...]:
    """Parts that some findings on one trap take, each kind once and in the largest number asked for.

    Parameters
    ----------
    findings : sequence of Finding
        Of one trap.

    """
    most: dict[str, int] = {}
    for one in findings:
        for name, count in one.parts:
            most[name] = max(count, most.get(name, 0))
    return tuple(most.items())


def parts_list(traps: Sequence[Overhaul]) -> tuple[tuple[str, int], ...]:
    """Parts for a whole lot of traps, by name.

    Parameters
    ----------
    traps : sequence of Overhaul
        Of every trap.

    """
    total: Counter[str] = Counter()
    for one in traps:
        total.update(dict(one.parts))
    return tuple(sorted(total.items()))


def below(draws: ArrayLike, limit: float, *, sure: float) -> bool | None:
    """Whether a figure lies below a limit, by most of its draws.

    Parameters
    ----------
    draws : array (n,) [any unit]
        Draws of the figure.
    limit : float [the same unit]
        The limit.
    sure : float [-]
        Share of the draws that must agree, above a half.

    Returns
    -------
    bool or None
        None where they do not agree, or half of them are not known.

    """
    found = np.asarray(draws, dtype=float)
    known = found[~np.isnan(found)]
    if known.size == 0 or known.size < 0.5 * found.size:
        return None
    share = float(np.mean(known < limit))
    if share >= sure:
        return True
    return False if share <= 1.0 - sure else None


def strength_left(play: ArrayLike, *, pin_diameter: ArrayLike, ear_edge: ArrayLike) -> Floats:
    """Share of its strength that a worn hinge keeps [-].

    Parameters
    ----------
    play : float or array [m]
        By how much the end of the jaw can be moved in its hole.
    pin_diameter : float or array [m]
        End of the jaw, when new.
    ear_edge : float or array [m]
        Middle of the hole to the edge of the frame, when new.

    Returns
    -------
    array [-]
        The smaller of (1 − p/d)², all of the play worn off the pin in shear, and 1 − p/e, all of it worn out of the
        frame towards its edge; NaN for a play below zero, 0 where nothing is left.

    References
    ----------
    Shear strength by area, tearing out by the length to the edge: any text on strength of materials (memory).

    """
    worn, pin, edge = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (play, pin_diameter, ear_edge))
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        left = np.minimum(np.maximum(1.0 - worn / pin, 0.0) ** 2, np.maximum(1.0 - worn / edge, 0.0))
        return np.asarray(np.where((worn >= 0.0) & (pin > 0.0) & (edge > 0.0), left, np.nan))
