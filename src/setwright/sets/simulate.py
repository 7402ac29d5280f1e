"""The same gang set played out: visits drawn one by one and led past the traps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import OutOfRange
from setwright.sets.gang import LARGEST, Gang

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]

UNTOUCHED = -1


@dataclass(frozen=True, eq=False)
class Played:
    """What N played waits left behind, each (N, m).

    `cause` that fired the trap (`UNTOUCHED`, a kind of visitor, or the number of kinds for a misfire), `time` of the
    firing [h] (infinite where untouched), whether an animal is `held`.
    """

    cause: Whole
    time: Floats
    held: NDArray[np.bool_]

    @property
    def count(self) -> Whole:
        """Animals held in each wait, shape (N,)."""
        return np.asarray(self.held.sum(axis=1))


@dataclass(frozen=True, eq=False)
class _Passings:
    """Everything that comes by, in the order in which it does: `rank` counts the passings of one wait."""

    wait: Whole
    time: Floats
    hour: Whole
    cause: Whole
    trap: Whole
    rank: Whole


def play(gang: Gang, waits: int, seed: int = 20) -> Played:
    """Play a gang set many times over.

    Parameters
    ----------
    gang : Gang
        The set; wait i is played with its draw i modulo n.
    waits : int
        Number of waits N to play.
    seed : int
        Same seed, same play.

    Notes
    -----
    Passings of every kind are Poisson in number within each hour and even in time; they are taken in their order.
    Each animal of a group walks from trap to trap in an order of its own, until it fires one.
    """
    for name in ("visits", "takes", "holds", "in_order", "misfire"):
        value, most = getattr(gang, name), LARGEST if name in ("visits", "misfire") else 1.0
        if not ((value >= 0) & (value <= most)).all():
            raise OutOfRange("only what is known can be played", field=name, allowed="rates from 0, chances to 1")
    rng = np.random.default_rng(seed)
    kinds, traps, draws = gang.takes.shape
    row = np.arange(waits) % draws
    cause: Whole = np.full((waits, traps), UNTOUCHED, dtype=np.intp)
    time, held = np.full((waits, traps), np.inf), np.zeros((waits, traps), dtype=bool)
    passings = _passings(gang, row, rng)
    for rank in range(int(passings.rank.max(initial=-1)) + 1):
        now = np.flatnonzero(passings.rank == rank)
        wild = now[passings.cause[now] == kinds]
        where, trap = passings.wait[wild], passings.trap[wild]
        free = cause[where, trap] == UNTOUCHED
        cause[where[free], trap[free]] = kinds
        time[where[free], trap[free]] = passings.time[wild[free]]
        come = now[passings.cause[now] < kinds]
        come = come[rng.random(come.size) < _stay(gang, held[passings.wait[come]])]
        size = _pick(gang.sizes[passings.cause[come]], rng) + 1
        for animal in range(int(size.max(initial=0))):
            here = come[size > animal]
            fired, trap = _one_animal(gang, passings, here, row, cause, rng)
            where, kind = passings.wait[here[fired]], passings.cause[here[fired]]
            cause[where, trap[fired]] = kind
            time[where, trap[fired]] = passings.time[here[fired]]
            held[where, trap[fired]] = rng.random(where.size) < gang.holds[kind, trap[fired], row[where]]
    return Played(cause, time, held)


def _passings(gang: Gang, row: Whole, rng: np.random.Generator) -> _Passings:
    kinds, traps, _ = gang.takes.shape
    rates = [max(1.0, gang.beside) * gang.visits[kind] for kind in range(kinds)]
    rates += [gang.misfire[trap] * gang.in_order[trap] for trap in range(traps)]
    found = []
    for number, rate in enumerate(rates):
        many = rng.poisson((rate * gang.widths)[row])
        wait, hour = (np.repeat(place, many[many > 0]) for place in np.nonzero(many))
        start = np.concatenate([[0.0], np.cumsum(gang.widths)])[hour]
        time = start + gang.widths[hour] * rng.random(hour.size)
        cause = np.full(hour.size, min(number, kinds))
        found.append((wait, time, hour, cause, np.full(hour.size, number - kinds)))
    wait, time, hour, cause, trap = (np.concatenate(parts) for parts in zip(*found, strict=True))
    order = np.lexsort((time, wait))
    wait = wait[order]
    rank = np.arange(wait.size) - np.searchsorted(wait, wait)
    return _Passings(wait, time[order], hour[order], cause[order], trap[order], rank)


def _stay(gang: Gang, held: NDArray[np.bool_]) -> Floats:
    """Chance that a drawn passing takes place, where a trap is occupied or none is, shape (e,)."""
    return np.asarray(np.where(held.any(axis=1), gang.beside, 1.0)) / max(1.0, gang.beside)


def _pick(shares: Floats, rng: np.random.Generator) -> Whole:
    """One column a row, with the chances that stand in it; the number of columns for what is left of one."""
    return np.asarray((rng.random((shares.shape[0], 1)) >= np.cumsum(shares, axis=1)).sum(axis=1))


def _one_animal(
    gang: Gang, passings: _Passings, here: Whole, row: Whole, cause: Whole, rng: np.random.Generator
) -> tuple[NDArray[np.bool_], Whole]:
    """Whether one animal of each passing fires a trap, and which, both (e,)."""
    traps = gang.traps
    wait, kind = passings.wait[here], passings.cause[here]
    way = np.argsort(rng.random((here.size, traps)), axis=1)
    alone = None if gang.shares is None else _pick(gang.shares[kind], rng)
    fired, which = np.zeros(here.size, dtype=bool), np.zeros(here.size, dtype=np.intp)
    for place in range(traps):
        trap = way[:, place]
        chance = gang.takes[kind, trap, row[wait]] * gang.in_order[trap, row[wait], passings.hour[here]]
        meets = ~fired & (cause[wait, trap] == UNTOUCHED)
        if alone is not None:
            meets &= trap == alone
        steps = meets & (rng.random(here.size) < chance)
        which[steps] = trap[steps]
        fired |= steps
    return fired, which
