"""From ranked rigs at the open sites to the allotment of the outfit, and its explanation in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, Standing
from setwright.line.allot import ASKED, MANY, Allotment, Pair, Stock, allot, gains, why_lost
from setwright.line.book import LineBook
from setwright.sets.model import Rig, SiteFacts, TrapRig
from setwright.sets.outcome import MISFIRE, NOTHING
from setwright.sets.rank import Candidate

# Minutes at the bench where the book says nothing (common practice): a repair, and a look at a doubtful trap.
REPAIR, DOUBTFUL = 30.0, 8.0
STEADY = {Standing.SOUND: 3.0, Standing.THIN: 2.0, Standing.CANNOT_TELL: 1.0, Standing.FAILS: 0.0}
SETTLED = 5.0
# Losing pairs and gains that are told.
TOLD = 6


@dataclass(frozen=True)
class Allotted:
    """Rigs by site, why a site stays empty, and what explains the whole."""

    rigs: Mapping[str, Rig]
    barred: Mapping[str, Say]
    says: tuple[Say, ...]


def allotted(
    book: LineBook,
    sites: Sequence[SiteFacts],
    ranked: Mapping[str, Sequence[Candidate]],
    traps: Mapping[str, TrapRig],
    stated: Mapping[str, Rig],
    interval_nights: Mapping[str, float],
    most: int | None = None,
) -> Allotted:
    """Allot the outfit to the open sites.

    Parameters
    ----------
    book : LineBook
        Counts, bench hours, reserve.
    sites : sequence of SiteFacts
        Open sites.
    ranked : mapping
        Candidates by site.
    traps : mapping
        Traps of the outfit by id.
    stated : mapping
        Rigs that the book states elsewhere: their tackle is gone.
    interval_nights : mapping of str to float
        Nights until each site's check, for firings in one night.
    most : int, optional
        Traps that the law allows one person.

    """
    kinds = list(dict.fromkeys(one.trap_ids for found in ranked.values() for one in found))
    pairs = [
        _pair(row, kinds.index(one.trap_ids), one, traps, book, interval_nights[site.key])
        for row, site in enumerate(sites)
        for one in ranked[site.key]
    ]
    stock = _stock(book, kinds, stated, pairs, most)
    best = allot(pairs, stock, len(sites))
    assert best is not None
    left = {ids: list(ids) for ids in kinds}
    rigs: dict[str, Rig] = {}
    barred: dict[str, Say] = {}
    for row, site in enumerate(sites):
        kind = best.choice[row]
        if kind is None:
            mine = [pair for pair in pairs if pair.site == row]
            why = ranked[site.key][0].why if ranked[site.key] else None
            if mine and all(pair.barred is not None for pair in mine) and why is not None:
                barred[site.key] = Say("no trap of the outfit may stand here: {why:say}", why=why)
            continue
        candidate = next(one for one in ranked[site.key] if one.trap_ids == kinds[kind])
        trap = traps[left[kinds[kind]].pop(0)]
        rigs[site.key] = replace(candidate.result.rig, trap=trap)
    says = _says(sites, kinds, traps, pairs, stock, best)
    return Allotted(rigs, barred, tuple(says))


def _pair(row: int, kind: int, one: Candidate, traps: Mapping[str, TrapRig], book: LineBook, nights: float) -> Pair:
    result = one.result
    gate = None
    if result.lawful is Answer.BREAKS or result.welfare is Answer.BREAKS:
        gate = one.why or Say("a gate of law or welfare bars it")
    target = result.target
    others = sum(
        float(np.mean(found.first)) for key, found in result.outcome.items() if key not in (target, NOTHING, MISFIRE)
    )
    # What is open comes after everything that is settled, and never before a site without a trap.
    settled = SETTLED * sum(answer is Answer.MEETS for answer in (result.lawful, result.welfare))
    return Pair(
        row, kind, settled + STEADY[result.standing] + float(np.median(result.held)), others / max(nights, 1e-6),
        _bench(traps[one.trap_ids[0]], book), _tackle(result.rig), gate,
    )  # fmt: skip


def _bench(trap: TrapRig, book: LineBook) -> float:
    """Minutes at the bench before a trap can be set [min]."""
    stated = {"repair": book.outfit.bench.repair, "doubtful": book.outfit.bench.doubtful}.get(trap.state)
    usual = {"repair": REPAIR, "doubtful": DOUBTFUL}.get(trap.state, 0.0)
    return usual if stated is None else stated.number / 60.0


def _tackle(rig: Rig) -> dict[str, int]:
    """Pieces that a rig needs, by name."""
    names = []
    if rig.chain is not None:
        names.append(f"chain {rig.chain.key}")
    if rig.slide is not None:
        names.append(f"slide cable {rig.slide.key}")
        names += [f"anchor {one.key}" for one in (rig.slide.bank_anchor, rig.slide.deep_anchor) if one is not None]
    elif rig.anchor is not None:
        names.append(f"anchor {rig.anchor.key}")
    if rig.board:
        names.append("board")
    return {name: names.count(name) for name in names}


def _stock(
    book: LineBook, kinds: Sequence[tuple[str, ...]], stated: Mapping[str, Rig], pairs: Sequence[Pair],
    most: int | None,
) -> Stock:  # fmt: skip
    """What is left when the stated rigs stand and the reserve for high water is held back."""
    outfit = book.outfit
    every = {f"chain {one.id}": one.count for one in outfit.chains}
    every |= {f"anchor {one.id}": one.count for one in outfit.anchors}
    every |= {f"slide cable {one.id}": one.count for one in outfit.slides}
    every["board"] = outfit.boards
    for rig in stated.values():
        for name, count in _tackle(rig).items():
            if name in every:
                every[name] -= count
    needed = {name for pair in pairs for name in pair.tackle}
    tackle = {name: max(0, count) for name, count in every.items() if name in needed}
    held_back = outfit.reserve
    counts = [len(ids) for ids in kinds]
    # The reserve is kept of the kinds of which there are most.
    for _ in range(held_back):
        largest = int(np.argmax(counts)) if counts else -1
        if largest >= 0 and counts[largest] > 0:
            counts[largest] -= 1
    bench = outfit.bench.hours
    standing = sum(len(rig.trap_ids) for rig in stated.values())
    limit = None if most is None else max(0, most - standing)
    return Stock(tuple(counts), tackle, None if bench is None else bench.number / 60.0, limit)


def _says(
    sites: Sequence[SiteFacts], kinds: Sequence[tuple[str, ...]], traps: Mapping[str, TrapRig], pairs: Sequence[Pair],
    stock: Stock, best: Allotment,
) -> list[Say]:  # fmt: skip
    names = [traps[ids[0]].label for ids in kinds]
    found = [
        Say(
            "{filled:count} of {sites:count} open sites have a trap of the outfit, {minutes:number} min at the bench",
            filled=best.filled, sites=len(sites), minutes=best.minutes,
        )
    ]  # fmt: skip
    for gain in gains(pairs, stock, len(sites), best, names)[:TOLD]:
        if gain.sites > 0:
            found.append(Say("{what:word}: {sites:count} site more", what=gain.what, sites=gain.sites))
        else:
            words = "{what:word}: a better trap at a site, {worth:number} more"
            found.append(Say(words, what=gain.what, worth=gain.worth))
    asked = sites if len(pairs) <= MANY else sites[:ASKED]
    for row, site in enumerate(asked):
        found += _lost(row, site, kinds, names, pairs, stock, best, len(sites))
    return found


def _lost(
    row: int, site: SiteFacts, kinds: Sequence[tuple[str, ...]], names: Sequence[str], pairs: Sequence[Pair],
    stock: Stock, best: Allotment, count: int,
) -> list[Say]:  # fmt: skip
    """Why the trap that would be worth most at a site does not stand there."""
    mine = sorted((pair for pair in pairs if pair.site == row), key=lambda pair: -pair.worth)
    if not mine or best.choice[row] == mine[0].kind:
        return []
    top = mine[0]
    why = why_lost(pairs, stock, count, best, row, top.kind)
    label = f"{names[top.kind]} ({kinds[top.kind][0]})"
    if isinstance(why, Say):
        return [Say("{site:word}: {trap:word} may not stand here: {why:say}", site=site.name, trap=label, why=why)]
    if why is None:
        return [Say("{site:word}: nothing is left of {trap:word} or its tackle", site=site.name, trap=label)]
    if why[0] > 0:
        words = "{site:word}: {trap:word} here would leave {sites:count} site more without a trap"
        return [Say(words, site=site.name, trap=label, sites=why[0])]
    words = "{site:word}: {trap:word} is worth more elsewhere, by {worth:number}"
    return [Say(words, site=site.name, trap=label, worth=why[1])]
