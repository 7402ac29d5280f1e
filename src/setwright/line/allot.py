"""Which trap of the outfit goes to which site: law and welfare as gates, stock, tackle, bench hours; exact."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say

# Two plans that differ by less are the same.
SAME = 1e-7
# Beyond so many pairs only so many kinds of trap are asked what one more of them would bring.
MANY, ASKED = 600, 3


@dataclass(frozen=True)
class Pair:
    """One kind of trap at one site.

    Parameters
    ----------
    site, kind : int
        Site and kind of trap, both counted from 0.
    worth : float
        What it is worth there, positive.
    others : float
        Animals but the target that it is expected to fire on, in one night.
    minutes : float
        Bench time before it can be set [min].
    tackle : mapping of str to int
        Pieces of tackle that it needs, by name.
    barred : Say or None
        Gate that keeps it out; None when it may stand there.

    """

    site: int
    kind: int
    worth: float = 0.0
    others: float = 0.0
    minutes: float = 0.0
    tackle: Mapping[str, int] = field(default_factory=dict)
    barred: Say | None = None


@dataclass(frozen=True)
class Stock:
    """What there is: traps of each kind, tackle by name, bench minutes, most sets, most firings by others a night."""

    traps: tuple[int, ...]
    tackle: Mapping[str, int]
    bench: float | None = None
    sets: int | None = None
    others: float | None = None


@dataclass(frozen=True)
class Allotment:
    """Best use of the stock: kind for every site or None, sites filled, worth, firings by others, bench minutes."""

    choice: tuple[int | None, ...]
    filled: int
    worth: float
    others: float
    minutes: float


@dataclass(frozen=True)
class Gain:
    """What one more of something would bring: sites more, worth more."""

    what: str
    sites: int
    worth: float


def allot(
    pairs: Sequence[Pair], stock: Stock, sites: int, must: Sequence[tuple[int, int]] = (), *, aims: int = 4
) -> Allotment | None:
    """Best use of the stock.

    Parameters
    ----------
    pairs : sequence of Pair
        Every kind at every site; barred ones never enter.
    stock : Stock
        What there is.
    sites : int
        Number of sites.
    must : sequence of tuple of int
        Pairs of site and kind that are to stand.
    aims : int
        How many of the aims below are followed in turn.

    Returns
    -------
    Allotment or None
        None when what must stand cannot.

    Notes
    -----
    Integer programme (HiGHS), solved in turn: most sites filled, then the greatest worth, then the fewest firings by
    others, then the least bench time; each holds what the ones before it reached. Law and welfare are gates and never
    weighed against catch.

    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    able = [pair for pair in pairs if pair.barred is None]
    if not able:
        return Allotment((None,) * sites, 0, 0.0, 0.0, 0.0) if not must else None
    rows, limits = _rules(able, stock, sites)
    lower = np.zeros(len(able))
    for place, pair in enumerate(able):
        if (pair.site, pair.kind) in must:
            lower[place] = 1.0
    if lower.sum() < len(set(must)):
        return None
    costs = [
        np.full(len(able), -1.0), np.array([-pair.worth for pair in able]), np.array([pair.others for pair in able]),
        np.array([pair.minutes for pair in able]),
    ]  # fmt: skip
    found: NDArray[np.float64] | None = None
    for aim in costs[:aims]:
        if found is not None and not np.any(aim):
            continue
        rules = LinearConstraint(np.array(rows), -np.inf, np.array(limits))
        solved = milp(
            aim, constraints=rules, integrality=np.ones(len(able), dtype=int), bounds=Bounds(lower, 1.0),
            options={"mip_rel_gap": 0.0},
        )  # fmt: skip
        if solved.x is None:
            return None
        found = np.round(solved.x)
        rows.append(aim)
        limits.append(float(aim @ found) + SAME)
    assert found is not None
    chosen = [pair for pair, taken in zip(able, found, strict=True) if taken > 0.5]
    choice: list[int | None] = [None] * sites
    for pair in chosen:
        choice[pair.site] = pair.kind
    return Allotment(
        tuple(choice), len(chosen), sum(pair.worth for pair in chosen), sum(pair.others for pair in chosen),
        sum(pair.minutes for pair in chosen),
    )  # fmt: skip


def _rules(able: Sequence[Pair], stock: Stock, sites: int) -> tuple[list[NDArray[np.float64]], list[float]]:
    rows, limits = [], []

    def rule(values: Sequence[float], limit: float) -> None:
        rows.append(np.array(values, dtype=float))
        limits.append(limit)

    for site in range(sites):
        rule([float(pair.site == site) for pair in able], 1.0)
    for kind, count in enumerate(stock.traps):
        rule([float(pair.kind == kind) for pair in able], float(count))
    for name, count in stock.tackle.items():
        rule([float(pair.tackle.get(name, 0)) for pair in able], float(count))
    if stock.bench is not None:
        rule([pair.minutes for pair in able], stock.bench)
    if stock.sets is not None:
        rule([1.0] * len(able), float(stock.sets))
    if stock.others is not None:
        rule([pair.others for pair in able], stock.others)
    return rows, limits


def gains(pairs: Sequence[Pair], stock: Stock, sites: int, best: Allotment, names: Sequence[str]) -> list[Gain]:
    """What one more trap of a kind, one more piece of tackle, an hour at the bench or a licensed trap would bring.

    Parameters
    ----------
    pairs, stock, sites
        The problem.
    best : Allotment
        Its answer.
    names : sequence of str
        Names of the kinds.

    Returns
    -------
    list of Gain
        Only what brings something, greatest first; found by solving again, not by a price.

    """
    more: list[tuple[str, Stock]] = []
    used = [sum(kind == place for kind in best.choice) for place in range(len(stock.traps))]
    spent = [place for place, count in enumerate(stock.traps) if used[place] >= count]
    if len(pairs) > MANY:
        # Each is solved again: on a large line only the kinds that are worth most somewhere are asked.
        open_ = [pair for pair in pairs if pair.barred is None]
        worth = {place: max((pair.worth for pair in open_ if pair.kind == place), default=0.0) for place in spent}
        spent = sorted(spent, key=lambda place: -worth[place])[:ASKED]
    for place in spent:
        traps = tuple(n + (k == place) for k, n in enumerate(stock.traps))
        more.append((f"one more {names[place]}", replace(stock, traps=traps)))
    for name, count in stock.tackle.items():
        more.append((f"one more {name}", replace(stock, tackle={**stock.tackle, name: count + 1})))
    if stock.bench is not None:
        more.append(("one more hour at the bench", replace(stock, bench=stock.bench + 60.0)))
    if stock.sets is not None:
        more.append(("one more trap that the law allows", replace(stock, sets=stock.sets + 1)))
    found = []
    for what, larger in more:
        other = allot(pairs, larger, sites, aims=2)
        if other is not None and (other.filled > best.filled or other.worth > best.worth + 10 * SAME):
            found.append(Gain(what, other.filled - best.filled, other.worth - best.worth))
    return sorted(found, key=lambda gain: (-gain.sites, -gain.worth, gain.what))


def conflict(pairs: Sequence[Pair], stock: Stock, sites: int, must: Sequence[tuple[int, int]]) -> list[str]:
    """A smallest group of limits and of pairs that must stand, which cannot hold together; empty when all can.

    Parameters
    ----------
    pairs, stock, sites
        The problem.
    must : sequence of tuple of int
        Pairs of site and kind that are to stand.

    Returns
    -------
    list of str
        `trap 2`, `tackle …`, `bench`, `sets`, `others`, and `site 4`: without any one of them the rest can hold.

    """
    if allot(pairs, stock, sites, must) is not None:
        return []
    limits = [f"trap {place}" for place in range(len(stock.traps))] + [f"tackle {name}" for name in stock.tackle]
    limits += [name for name in ("bench", "sets", "others") if getattr(stock, name) is not None]
    kept = [*limits, *(f"site {site}" for site, _ in must)]
    for one in list(kept):
        fewer = [other for other in kept if other != one]
        if not _possible(pairs, stock, sites, must, fewer):
            kept = fewer
    return kept


def _possible(
    pairs: Sequence[Pair], stock: Stock, sites: int, must: Sequence[tuple[int, int]], kept: Sequence[str]
) -> bool:
    free = 10**6
    loose = Stock(
        tuple(count if f"trap {place}" in kept else free for place, count in enumerate(stock.traps)),
        {name: count for name, count in stock.tackle.items() if f"tackle {name}" in kept},
        stock.bench if "bench" in kept else None,
        stock.sets if "sets" in kept else None,
        stock.others if "others" in kept else None,
    )
    return allot(pairs, loose, sites, [pair for pair in must if f"site {pair[0]}" in kept]) is not None


def why_lost(
    pairs: Sequence[Pair], stock: Stock, sites: int, best: Allotment, site: int, kind: int
) -> Say | tuple[int, float] | None:
    """Why a kind of trap does not stand at a site.

    Returns
    -------
    Say, tuple of int and float, or None
        The gate that bars it; or what putting it there would cost in sites and in worth; None when it stands there or
        cannot stand there beside what must.

    """
    pair = next((one for one in pairs if (one.site, one.kind) == (site, kind)), None)
    if pair is None or best.choice[site] == kind:
        return None
    if pair.barred is not None:
        return pair.barred
    forced = allot(pairs, stock, sites, [(site, kind)])
    return None if forced is None else (best.filled - forced.filled, best.worth - forced.worth)
