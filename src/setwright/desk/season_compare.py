"""Rigs held against criteria, side by side, two by two, and by rules that were declared before looking."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from zoneinfo import ZoneInfo

import numpy as np

from setwright.animal.injury import Findings, Injury, tally
from setwright.animal.injury import count as counted
from setwright.animal.welfare_tables import criteria as table_of_criteria
from setwright.desk import season_document as doc
from setwright.desk.season_parts import as_fished, known
from setwright.line.book import LineBook
from setwright.log import cluster, compare
from setwright.log import shrink as shrinking
from setwright.log.amend import Standing
from setwright.log.declare import declared_rules, follow
from setwright.log.fold import by_name
from setwright.log.proof import judge
from setwright.log.waits import Visitors, Waits

UNKNOWN = "not known"
# Rigs with the most trap-nights that are compared two by two.
COMPARED = 4
SEED = 20


def _rigs(labels: np.ndarray) -> list[str]:
    return sorted(set(labels.tolist()) - {UNKNOWN}, key=by_name)


def criteria(seen: Visitors, scale: Mapping[str, Injury]) -> list[doc.Criterion]:
    """Every rig against the published criteria that a field log can speak to."""
    published = table_of_criteria()
    found = []
    for rig in _rigs(seen.labels["rig_id"]):
        here = seen.labels["rig_id"] == rig
        held = int((seen.held & ~seen.domestic)[here].sum())
        gone = int((seen.escaped | seen.sign)[here].sum())
        if held + gone == 0:
            continue
        efficiency = published["bmp-efficiency"]
        verdict = judge(held, gone, 0, float(efficiency.limit or 0.6), 20)
        found.append(
            doc.Criterion(
                rig=rig, asks=f"at least {efficiency.limit:.0%} of the furbearers that fire it are held", good=held,
                bad=gone, missing=0, word=verdict.word.value, say=verdict.reason, source=efficiency.source.text,
            )
        )  # fmt: skip
        findings = [_findings(seen, int(row), scale) for row in np.flatnonzero(here & seen.held)]
        if not findings:
            continue
        sums = tally(findings, scale)
        for key, marks, words in (
            ("bmp-trauma", sums.no_to_moderate, "of the held animals have moderate trauma or less"),
            ("aihts-restraining", sums.free_of_listed, "of the held animals are free of listed injuries"),
        ):
            asked, part = published[key], counted(marks)
            line, least = float(asked.limit or 0.8), asked.least_animals or 20
            verdict = judge(part.good, part.bad, part.missing, line, least)
            found.append(
                doc.Criterion(
                    rig=rig, asks=f"at least {line:.0%} {words}, on {least} animals or more", good=part.good,
                    bad=part.bad, missing=part.missing, word=verdict.word.value, say=verdict.reason,
                    source=asked.source.text,
                )
            )  # fmt: skip
    return found


def _findings(seen: Visitors, row: int, scale: Mapping[str, Injury]) -> Findings:
    found = seen.injuries[row]
    unknown = found is None or any(key not in scale for key in found) or seen.looked_over[row] == "not"
    return Findings(None if unknown else found, whole=seen.looked_over[row] in ("", "whole"))


def _counts(waits: Waits, seen: Visitors, target: str) -> dict[str, tuple[int, float, int, int]]:
    """Target catches, trap-nights as fished, animals held, firings by furbearers; by rig, at sets for one target."""
    nights = as_fished(waits)
    found = {}
    meant, came = waits.labels["target"] == target, seen.labels["target"] == target
    for rig in _rigs(waits.labels["rig_id"][meant]):
        here, there = meant & (waits.labels["rig_id"] == rig), came & (seen.labels["rig_id"] == rig)
        held = int((seen.held & ~seen.domestic)[there].sum())
        fired = held + int((seen.escaped | seen.sign)[there].sum())
        found[rig] = (int(waits.target[here].sum()), float(nights[here].sum()), held, fired)
    return found


def _targets(waits: Waits) -> list[str]:
    return _rigs(waits.labels["target"])


def shrunk(waits: Waits, seen: Visitors) -> list[doc.Shrunk]:
    """Rigs side by side, target by target: catch per 100 trap-nights, and share of firings that are held."""
    return [one for target in _targets(waits) for one in _shrunk_for(waits, seen, target)]


def _shrunk_for(waits: Waits, seen: Visitors, target: str) -> list[doc.Shrunk]:
    counts = _counts(waits, seen, target)
    name = target.replace("_", " ")
    found = []
    fished = {rig: one for rig, one in counts.items() if one[1] > 0}
    if len(fished) > 1 and any(one[0] for one in fished.values()):
        made = shrinking.rates([one[0] for one in fished.values()], [one[1] for one in fished.values()])
        raw = [100.0 * one[0] / one[1] for one in fished.values()]
        found.append(_shrunk(f"{name} held in 100 trap-nights", list(fished), raw, made, 100.0))
    firing = {rig: one for rig, one in counts.items() if one[3] > 0}
    if len(firing) > 1:
        shares = shrinking.shares([one[2] for one in firing.values()], [one[3] for one in firing.values()])
        part = [100.0 * one[2] / one[3] for one in firing.values()]
        found.append(_shrunk(f"held of 100 that fired it, sets for {name}", list(firing), part, shares, 100.0))
    return found


def _shrunk(what: str, rigs: Sequence[str], raw: Sequence[float], made: shrinking.Shrunk, scale: float) -> doc.Shrunk:
    say = "the rigs differ more than chance makes them" if made.differ else "no sign that the rigs differ"
    return doc.Shrunk(
        what=what,
        rows=[
            doc.ShrunkRow(
                rig=rig, raw=known(raw[k]), mean=scale * float(made.mean[k]), low=scale * float(made.low[k]),
                high=scale * float(made.high[k]),
            )
            for k, rig in enumerate(rigs)
        ],
        differ=made.differ,
        say=f"{say}; all together {scale * made.common:.1f}",
    )  # fmt: skip


def pairs(waits: Waits, seen: Visitors) -> list[doc.Pair]:
    """The rigs with the most trap-nights two by two, target by target, by catch and by what they hold."""
    return [one for target in _targets(waits) for one in _pairs_for(waits, seen, target)]


def _pairs_for(waits: Waits, seen: Visitors, target: str) -> list[doc.Pair]:
    counts = _counts(waits, seen, target)
    name = target.replace("_", " ")
    most = sorted(counts, key=lambda rig: -counts[rig][1])[:COMPARED]
    chosen = sorted((rig for rig in most if counts[rig][1] > 0), key=by_name)
    found = []
    for first, second in combinations(chosen, 2):
        (k1, e1, h1, f1), (k2, e2, h2, f2) = counts[first], counts[second]
        if k1 + k2:
            by_sets = cluster.difference(_by_set(waits, first, target), _by_set(waits, second, target))
            ends = (100.0 * float(by_sets.low), 100.0 * float(by_sets.high))
            needed = compare.nights_needed((k1 / e1, k2 / e2), (e1, e2))
            found.append(
                _pair(
                    target, first, second, f"{name} held in 100 trap-nights",
                    (f"{k1} in {e1:.0f}", f"{k2} in {e2:.0f}"),
                    compare.rates((k1, k2), (e1, e2)), 100.0, ends if all(map(math.isfinite, ends)) else None, needed,
                )
            )  # fmt: skip
        if f1 and f2:
            found.append(
                _pair(
                    target, first, second, f"held of 100 that fired it, sets for {name}",
                    (f"{h1} of {f1}", f"{h2} of {f2}"),
                    compare.shares((h1, h2), (f1, f2)), 100.0, None, None,
                )
            )  # fmt: skip
    return found


def _by_set(waits: Waits, rig: str, target: str) -> tuple[np.ndarray, np.ndarray]:
    here = (waits.labels["rig_id"] == rig) & (waits.labels["target"] == target)
    place = np.unique(waits.labels["set_id"][here], return_inverse=True)[1]
    return np.bincount(place, waits.target[here].astype(float)), np.bincount(place, as_fished(waits)[here])


def _pair(
    target: str, first: str, second: str, what: str, said: tuple[str, str], found: compare.Comparison, scale: float,
    by_sets: tuple[float, float] | None, needed: float | None,
) -> doc.Pair:  # fmt: skip
    low, high = scale * found.low, scale * found.high
    # Where whole sets say less than single nights, whole sets are right.
    shown = found.shown and (by_sets is None or by_sets[0] > 0 or by_sets[1] < 0)
    better = second if found.second_above > 0.5 else first
    chance = max(found.second_above, 1.0 - found.second_above)
    if shown:
        say = f"shown: {better} is the higher, chance {chance:.3f}"
    else:
        say = f"not shown: {better} looks higher (chance {chance:.2f}), and that may be luck"
        if needed is not None and math.isfinite(needed) and needed > 0:
            say += f"; if it is so, each still needs about {needed:.0f} trap-nights to show it"
    return doc.Pair(
        target=target, first=first, second=second, what=what, first_said=said[0], second_said=said[1],
        second_above=found.second_above, low=low, high=high, by_sets=by_sets, exact=found.exact,
        unconditional=found.unconditional, shown=shown,
        nights_needed=None if needed is None else known(needed), say=say,
    )  # fmt: skip


MEASURES = {
    "efficiency": "of the furbearers that fire it are held", "light_injury": "have moderate trauma or less",
    "free_of_listed": "are free of listed injuries",
}  # fmt: skip
HOW = {"fixed": "looked at once", "lines": "two lines (Wald)", "proof": "weight of evidence, looked at any time"}


def rules(events: Standing, seen: Visitors, scale: Mapping[str, Injury], zone: ZoneInfo) -> list[doc.Rule]:
    """Rules that were declared before looking, and where they stand."""
    found = []
    for declared in declared_rules(events):
        progress = follow(declared, seen, scale)
        when = dt.datetime.fromtimestamp(declared.instant / 1e6, zone)
        how = HOW[declared.rule] + (f" at {declared.animals} animals" if declared.animals else "")
        if declared.severe_stop:
            how += f"; taken off at {declared.severe_stop} severe injuries"
        found.append(
            doc.Rule(
                rig=declared.rig_id, asks=f"at least {declared.line:.0%} {MEASURES[declared.measure]}", how=how,
                declared=f"{when:%Y-%m-%d}", good=progress.good, bad=progress.bad, missing=progress.missing,
                word=progress.word.value, ended=progress.ended, halt=progress.halt, say=progress.reason,
            )
        )  # fmt: skip
    return found


def trial(book: LineBook, compared: Sequence[doc.Pair]) -> list[tuple[str, str]]:
    """A set-out by lot for the first pair of which nothing is shown: half of its target's sites to each rig."""
    for pair in compared:
        names = [site.name for site in book.sites if site.target == pair.target]
        if not pair.shown and len(names) > 1:
            return _dealt(names, pair.first, pair.second)
    return []


def _dealt(names: Sequence[str], first: str, second: str) -> list[tuple[str, str]]:
    order = np.random.default_rng(SEED).permutation(len(names))
    dealt = {names[place]: (first, second)[turn % 2] for turn, place in enumerate(order)}
    return [(name, dealt[name]) for name in names]
