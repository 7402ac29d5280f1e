"""Parts of the season book that are counted: groups, weeks, thinning out, harvest, injuries, readings of pans."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from setwright.animal import tables as animal_tables
from setwright.animal.injury import TRAUMA, Injury
from setwright.desk import season_document as doc
from setwright.line.book import LineBook
from setwright.log import cluster, depletion, season
from setwright.log.event import Event
from setwright.log.evidence import pans as segments_of
from setwright.log.fold import by_name
from setwright.log.harvest import Animal
from setwright.log.spans import spans
from setwright.log.waits import Visitors, Waits

TITLES: Mapping[str, str] = {
    "rig_id": "By rig", "trap_id": "By trap", "set_type": "By set type", "site": "By site", "cover": "By cover",
    "target": "By target", "month": "By month",
}  # fmt: skip
SHORT_SPAN, SPANS = 1, 8
Floats = NDArray[np.float64]


def known(value: float) -> float | None:
    """A number, or None where it cannot be told."""
    return float(value) if math.isfinite(value) else None


def figure(found: season.Figure) -> doc.Figure:
    """A figure of the log as the document has it."""
    return doc.Figure(
        hits=found.hits, out_of=found.out_of, estimate=known(found.estimate), low=known(found.low),
        high=known(found.high),
    )  # fmt: skip


def row_of(found: season.Summary) -> doc.Row:
    """One group as the document has it."""
    catch = found.catch
    wide = cluster.widened(catch.low, catch.estimate, catch.high, found.scatter)
    widened = (float(wide.low), float(wide.high)) if found.scatter > 1.0 and math.isfinite(catch.estimate) else None
    by_sets = found.catch_by_sets if all(map(math.isfinite, found.catch_by_sets)) else None
    hazard = 100.0 * catch.hits / found.armed_nights if found.armed_nights > 0 else math.nan
    return doc.Row(
        group=found.group.replace("_", " "),
        waits=found.waits,
        sets=found.sets,
        nights=found.nights,
        corrected_nights=found.corrected_nights,
        armed_nights=known(found.armed_nights),
        catch=figure(catch),
        catch_by_hazard=known(hazard),
        catch_by_sets=by_sets,
        catch_widened=widened,
        scatter=known(found.scatter),
        nontarget=figure(found.nontarget),
        domestic=figure(found.domestic),
        domestic_limit=known(found.domestic_limit),
        efficiency_strict=figure(found.efficiency_strict),
        efficiency_wide=figure(found.efficiency_wide),
        selectivity=figure(found.selectivity),
        injuries=doc.Injuries(
            good=found.light_injury.good, bad=found.light_injury.bad, missing=found.light_injury.missing
        ),
    )


def whole_row(waits: Waits, seen: Visitors, marks: Floats) -> doc.Row | None:
    """The whole season; None without a single wait or animal."""
    found = season.season(waits, seen, marks=marks)
    return row_of(found[0]) if found else None


def tables(waits: Waits, seen: Visitors, marks: Floats) -> list[doc.GroupTable]:
    """One table for each way of grouping."""
    return [
        doc.GroupTable(
            by=by,
            title=title,
            rows=[
                row_of(one)
                for one in sorted(season.season(waits, seen, by, marks=marks), key=lambda one: by_name(one.group))
            ],
        )
        for by, title in TITLES.items()
    ]


def as_fished(waits: Waits) -> np.ndarray:
    """Trap-nights of each wait, half of it where it was found sprung and nobody knows when [night]."""
    half = np.where(waits.fired, 0.5 * waits.nights, waits.nights)
    return np.asarray(np.where(np.isnan(waits.armed_nights), half, waits.armed_nights))


def weeks(waits: Waits) -> list[doc.Span]:
    """Catch and effort week by week."""
    found = spans(waits.instant, waits.target, as_fished(waits))
    days = found.begins.astype("datetime64[us]").astype("datetime64[D]").astype(str)
    return [
        doc.Span(
            begins=str(days[k]), catches=int(found.catches[k]), nights=float(found.nights[k]),
            rate=known(found.rate[k]), low=known(found.low[k]), high=known(found.high[k]),
        )
        for k in range(found.begins.size)
    ]  # fmt: skip


def thinning(waits: Waits) -> list[doc.Thinning]:
    """For each target that was caught: does the catch thin out, and how many were there then?"""
    found = []
    nights = as_fished(waits)
    for target in sorted({str(name) for name in waits.labels["target"]} - {"not known"}):
        here = waits.labels["target"] == target
        if not waits.target[here].any():
            continue
        length = int(np.ptp(waits.instant[here]) // 86_400_000_000) + 1
        parts = spans(
            waits.instant[here], waits.target[here], nights[here], max(SHORT_SPAN, math.ceil(length / SPANS))
        )
        good = parts.nights > 0
        catches, effort = parts.catches[good], parts.nights[good]
        if catches.size < 3:
            continue
        answer = depletion.removal(catches, effort)
        share = 100.0 * -math.expm1(100.0 * math.log1p(-answer.catchability)) if answer.catchability < 1 else 100.0
        line = depletion.leslie(catches, effort)
        told = answer.reason
        if answer.seen:
            told = (
                f"{answer.number:.0f} at the start ({answer.low:.0f} to {answer.high:.0f}), {answer.caught:.0f} of "
                "them taken; holds only if none came or went and every night takes the same share"
            )
            if math.isfinite(line.number):
                told += f". The straight line of older reports says {line.number:.0f}"
        found.append(
            doc.Thinning(
                target=target, catches=[int(k) for k in catches], nights=[float(k) for k in effort], seen=answer.seen,
                number=known(answer.number), low=known(answer.low), high=known(answer.high),
                share_per_hundred=known(share) if answer.seen else None, caught=int(answer.caught), say=told,
            )
        )  # fmt: skip
    return found


def harvest(caught: Sequence[Animal], book: LineBook, zone: ZoneInfo) -> list[doc.HarvestRow]:
    """Held animals by species, as reports ask for them."""
    groups: dict[str, list[Animal]] = defaultdict(list)
    for one in caught:
        groups[one.species or "not written"].append(one)
    rows = []
    for key, found in sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair[0])):
        days = [one.time.astimezone(zone).date().isoformat() for one in found]
        rows.append(
            doc.HarvestRow(
                species=key, name=species_name(key, book), count=len(found), target=sum(one.target for one in found),
                female=sum(one.sex == "female" for one in found), male=sum(one.sex == "male" for one in found),
                young=sum(one.age == "young" for one in found), adult=sum(one.age == "adult" for one in found),
                first=min(days), last=max(days), fates=dict(Counter(one.fate for one in found)),
                tags=[one.tag for one in found if one.tag],
            )
        )  # fmt: skip
    return rows


def held_animals(caught: Sequence[Animal], book: LineBook, zone: ZoneInfo) -> list[doc.HeldAnimal]:
    """Every held animal by itself, oldest first."""
    yes_no = {True: "yes", False: "no", None: ""}
    return [
        doc.HeldAnimal(
            id=one.id, when=one.time.astimezone(zone).isoformat(timespec="minutes"), species=one.species or "",
            name=species_name(one.species, book) if one.species else "", target=one.target, sex=one.sex or "",
            age=one.age or "", alive=yes_no[one.alive], part=one.part or "",
            injuries="" if one.injuries is None else ", ".join(one.injuries) or "none seen", fate=one.fate,
            tag=one.tag or "", set=one.set_id or "", site=one.site or "", medium=one.medium or "",
            set_type=one.set_type or "", trap=one.trap_id or "", rig=one.rig_id or "", found_by=one.visitor or "",
        )
        for one in caught
    ]  # fmt: skip


def species_name(key: str, book: LineBook) -> str:
    """Name of an animal, or its key where nobody named it."""
    entry = book.animals.get(key)
    if entry is not None and entry.name:
        return entry.name
    known = animal_tables.species()
    return known.text(key, "name") if key in known else key.replace("_", " ")


def injury_bars(seen: Visitors, scale: Mapping[str, Injury]) -> list[tuple[str, dict[str, int]]]:
    """For each rig how many held animals had which worst trauma; `missing` is one of the words."""
    order = (*TRAUMA, "missing")
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for row in np.flatnonzero(seen.held):
        found = seen.injuries[row]
        if found is None or seen.looked_over[row] == "not" or any(key not in scale for key in found):
            word = "missing"
        else:
            worst = [TRAUMA.index(scale[key].trauma) for key in found if scale[key].trauma in TRAUMA]
            word = TRAUMA[max(worst, default=0)]
        counts[str(seen.labels["rig_id"][row])][word] += 1
    return [
        (rig, {word: counts[rig][word] for word in order if counts[rig][word]}) for rig in sorted(counts, key=by_name)
    ]


def pans(events: Sequence[Event]) -> list[doc.TrapReadings]:
    """Readings of every pan that was read more than once since it was tuned."""
    return [
        doc.TrapReadings(trap=one.trap_id, days=list(one.days), firings=list(one.firings), force=list(one.force))
        for one in sorted(segments_of(events), key=lambda one: by_name(one.trap_id))
        if len(one.force) > 1
    ]
