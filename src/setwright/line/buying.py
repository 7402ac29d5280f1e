"""Which traps to buy: what each one more would bring over all sites, and how few kinds would do."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Quantity, assumed
from setwright.line.allot import SAME, Allotment, Pair, Stock, allot
from setwright.line.assemble import Job
from setwright.line.book import TrapEntry
from setwright.line.lawbook import most_traps
from setwright.line.outfit import trap_rig
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.model import Rig, TrapRig
from setwright.sets.rank import Candidate, Score, barred, kinds, rank, score
from setwright.trap import tables as trap_tables

# Jaws that are offered with every pattern of the table.
JAWS = ("regular", "offset")
_NO_FIT = Say("a gate of law or welfare, or a link of the set, keeps it out")
TUNED = assumed("pan set within the span for its animal, where it holds most")


@dataclass(frozen=True)
class Offer:
    """A kind of trap: those of it that he owns, or a pattern that he could buy.

    Parameters
    ----------
    name : str
        In words.
    owned : int
        How many he has.
    new : bool
        True for a pattern of the table.

    """

    name: str
    owned: int
    new: bool


@dataclass(frozen=True)
class Chance:
    """What one kind of trap would do at one site.

    Parameters
    ----------
    held : float
        Targets held in one night, the median.
    fits : bool
        False where law or welfare bar it, or a link of the set fails.
    result : SetResult
        All of it.

    """

    held: float
    fits: bool
    result: SetResult


@dataclass(frozen=True)
class Bought:
    """One more trap: its kind, sites that have a fitting trap by it and had none, targets more in a night."""

    kind: int
    sites: int
    held: float
    after: Allotment


@dataclass(frozen=True)
class Market:
    """All kinds at all sites, and what follows: the best use of what he owns, then one trap after another.

    Parameters
    ----------
    offers : tuple of Offer
        Kinds, owned ones first.
    chances : mapping of tuple of int to Chance
        By number of site and of kind; a kind that was not tried at a site is left out.
    now : Allotment
        Best use of what he owns.
    bought : tuple of Bought
        In the order in which they bring most; shorter than asked for when nothing more brings anything.
    few : tuple of int
        Fewest kinds that do nearly as well as the best at every site which has a fitting one.
    limit : int or None
        Traps that the law allows one person.

    """

    offers: tuple[Offer, ...]
    chances: Mapping[tuple[int, int], Chance]
    now: Allotment
    bought: tuple[Bought, ...]
    few: tuple[int, ...]
    limit: int | None


def buy(
    pairs: Sequence[Pair], owned: Sequence[int], offered: Sequence[int], sites: int, count: int,
    limit: int | None = None,
) -> tuple[Allotment, list[Bought]]:  # fmt: skip
    """The best use of what there is, and the traps that bring most on top of it.

    Parameters
    ----------
    pairs : sequence of Pair
        Every kind at every site, `worth` what it holds there in a night.
    owned : sequence of int
        Number of traps of each kind.
    offered : sequence of int
        Kinds that can be bought.
    sites : int
        Number of sites.
    count : int
        How many to buy at most.
    limit : int, optional
        Most sets that may stand.

    Returns
    -------
    Allotment, list of Bought
        Each trap is the one that brings most after those before it: sites without a fitting trap first, then what
        is held. The list ends where nothing brings anything.

    Notes
    -----
    With one trap to a site the value of a lot of traps is that of an assignment. For such values no other lot of
    that size is worth more than the one found step by step.

    References
    ----------
    Greedy on valuated matroids: Dress & Wenzel 1990, Applied Mathematics Letters 3(2) (memory); held here against
    every lot of small cases.

    """
    stock = Stock(tuple(owned), {}, sets=limit)
    best = _use(pairs, stock, sites)
    now, found = best, []
    open_ = {pair.kind for pair in pairs if pair.barred is None}
    # What a kind brought before is the most that it can bring after: only the best of these is solved again.
    most: dict[int, tuple[float, float]] = dict.fromkeys(
        (kind for kind in offered if kind in open_), (np.inf, np.inf)
    )
    for _ in range(count):
        chosen = _next(pairs, stock, sites, best, most)
        if chosen is None:
            break
        kind, after = chosen
        found.append(Bought(kind, after.filled - best.filled, after.worth - best.worth, after))
        stock, best = _with(stock, kind), after
    return now, found


def _next(
    pairs: Sequence[Pair], stock: Stock, sites: int, best: Allotment, most: dict[int, tuple[float, float]]
) -> tuple[int, Allotment] | None:
    """The kind of which one more brings most, with what is then the best use; None when none brings anything."""
    solved: dict[int, Allotment] = {}
    while most:
        kind = max(most, key=lambda one: (*most[one], -one))
        if kind in solved:
            gained = most[kind]
            return (kind, solved[kind]) if gained[0] > 0 or gained[1] > 10 * SAME else None
        after = solved[kind] = _use(pairs, _with(stock, kind), sites)
        most[kind] = (after.filled - best.filled, round(after.worth - best.worth, 9))
    return None


def _with(stock: Stock, kind: int) -> Stock:
    """The same with one more trap of a kind."""
    return replace(stock, traps=tuple(n + (place == kind) for place, n in enumerate(stock.traps)))


def _use(pairs: Sequence[Pair], stock: Stock, sites: int) -> Allotment:
    found = allot(pairs, stock, sites, aims=2)
    assert found is not None
    return found


def fewest(pairs: Sequence[Pair], sites: int, share: float, owned: Sequence[int] = ()) -> tuple[int, ...]:
    """Fewest kinds such that every site with a fitting one has one nearly as good as the best.

    Parameters
    ----------
    pairs : sequence of Pair
        Every kind at every site.
    sites : int
        Number of sites.
    share : float [-]
        Of the worth of the best at a site that is nearly as good.
    owned : sequence of int
        Kinds that he has.

    Notes
    -----
    Cover of least size (integer programme, HiGHS); of several as small, one with most kinds that he has, then one
    that is worth most.

    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    able = [pair for pair in pairs if pair.barred is None]
    names = sorted({pair.kind for pair in able})
    rows, total = [], np.zeros(len(names))
    for site in range(sites):
        mine = [pair for pair in able if pair.site == site]
        if not mine:
            continue
        best = max(pair.worth for pair in mine)
        good = {pair.kind for pair in mine if pair.worth >= share * best - SAME}
        rows.append([float(name in good) for name in names])
        for pair in mine:
            total[names.index(pair.kind)] += pair.worth
    if not rows:
        return ()
    # Both shares together stay below one kind, so that they only decide between covers of one size.
    has = np.array([name in owned for name in names], dtype=float)
    cost = 1.0 - (0.1 * has + 0.01 * total / max(float(total.max()), SAME)) / len(names)
    solved = milp(
        cost, constraints=LinearConstraint(np.array(rows), 1.0, np.inf), integrality=np.ones(len(names), dtype=int),
        bounds=Bounds(0.0, 1.0), options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    # All kinds together cover every site, so that there is an answer.
    assert solved.x is not None
    return tuple(name for name, taken in zip(names, solved.x, strict=True) if taken > 0.5)


def market(
    job: Job, count: int, *, share: float = 0.9, progress: Callable[[str], None] | None = None
) -> Market:  # fmt: skip
    """Every owned kind and every pattern that could be bought at every site of a book, each pan set to its animal.

    Parameters
    ----------
    job : Job
        The line made ready; its rigs lend chain, anchor and bed.
    count : int
        Traps to buy at most.
    share : float [-]
        As in `fewest`.
    progress : callable, optional
        Called with the name of every site.

    """
    owned = [replace(trap, trip_force=_any_force()) for trap in job.traps.values() if trap.state != "repair"]
    groups = [*kinds(owned).values()]
    new = [_new(key, jaws) for key in trap_tables.patterns() for jaws in JAWS]
    offers = [Offer(_name(group[0]), len(group), new=False) for group in groups]
    offers += [Offer(_name(trap), 0, new=True) for trap in new]
    traps = [*(group[0] for group in groups), *new]
    chances: dict[tuple[int, int], Chance] = {}
    pairs: list[Pair] = []
    for row, site in enumerate(job.sites):
        if progress is not None:
            progress(site.name)
        context = job.contexts[site.key]
        tried = {
            trap.trap_id: place for place, trap in enumerate(traps) if place < len(groups) or _near(trap, context)
        }
        stated = job.stated.get(site.key)
        tackle = None if stated is None else replace(stated, gang=())
        middle = _middle([trap for trap in traps if trap.trap_id in tried], context)
        force = _any_force() if middle is None else _tuned(job, context, middle, tackle)
        tuned = [replace(trap, trip_force=force) for trap in traps if trap.trap_id in tried]
        for one in rank(context, replace(job.options, traps=tuned), tackle, job.person):
            for tag in one.trap_ids:
                chance = _chance(one, context)
                chances[row, tried[tag]] = chance
                pairs.append(
                    Pair(row, tried[tag], chance.held, barred=None if chance.fits else one.why or _NO_FIT)
                )  # fmt: skip
    limit = most_traps(job.packs)
    bought_of = [place for place, offer in enumerate(offers) if offer.new]
    now, bought = buy(pairs, [offer.owned for offer in offers], bought_of, len(job.sites), count, limit)
    few = fewest(pairs, len(job.sites), share, range(len(groups)))
    return Market(tuple(offers), chances, now, tuple(bought), few, limit)


def _any_force() -> Quantity:
    return Quantity(None, "N", TUNED)


def _new(key: str, jaws: str) -> TrapRig:
    """A trap as it is sold, without teeth, with a swivel at its base and a tag put on."""
    entry = TrapEntry.model_validate({
        "id": f"new {key} {jaws}", "pattern": key, "jaws": jaws, "toothed": False, "base_swivel": True, "tag": "yes",
    })  # fmt: skip
    return replace(trap_rig({}, entry, entry.id), trip_force=_any_force())


def _name(trap: TrapRig) -> str:
    return f"{trap.label}, {trap.jaws_said}"


def _middle(traps: Sequence[TrapRig], context: Context) -> TrapRig | None:
    """The trap whose spread lies nearest to the middle of the span for the animal."""
    low, high = context.target.jaw_low, context.target.jaw_high
    wanted = 0.5 * (low.number + high.number) if low.known and high.known else 0.0
    return min(traps, key=lambda trap: abs(trap.spread.number - wanted), default=None)


def _near(trap: TrapRig, context: Context) -> bool:
    """Whether a pattern is tried at all: where its spread lies in the span for the animal, or that is not known."""
    low, high = context.target.jaw_low, context.target.jaw_high
    return not (low.known and high.known) or low.number <= trap.spread.number <= high.number


def _tuned(job: Job, context: Context, trap: TrapRig, tackle: Rig | None) -> Quantity:
    """The pan for an animal: the lower end or the middle of its span, as one of the traps does better with it."""
    low, high = context.target.pan_low, context.target.pan_high
    if not (low.known and high.known):
        return _any_force()
    forces = [
        Quantity(one, "N", TUNED, 0.9 * one, 1.1 * one) for one in (low.number, 0.5 * (low.number + high.number))
    ]

    def done(force: Quantity) -> Score:
        options = replace(job.options, traps=(replace(trap, trip_force=force),))
        return score(rank(context, options, tackle, job.person)[0].result)

    return max(forces, key=done)


def _chance(one: Candidate, context: Context) -> Chance:
    held = float(np.median(one.result.held)) / max(context.check.nights, 1e-6)
    return Chance(held, not barred(one.result), one.result)
