"""What the log changes in the book itself before a line is prepared: minutes of visits, findings on held animals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from setwright.animal.injury import Findings, count, tally
from setwright.animal.welfare_tables import injury_scale
from setwright.basis.source import Kind, Quantity, Source
from setwright.desk import season_document as doc
from setwright.line.book import LineBook
from setwright.line.seen import FindingEntry, RigRecordEntry
from setwright.log import learn
from setwright.log.event import Event
from setwright.log.evidence import minutes
from setwright.log.harvest import Animal, animals
from setwright.sets import tables as set_tables
from setwright.sets.model import SiteFacts, TrapRig


def row_of(
    what: str, about: str, unit: str, before: learn.Band, after: learn.Band, rests_on: str, *, used: bool = True
) -> doc.Learned:
    """One quantity before and after, and what that rests on."""
    return doc.Learned(
        what=what, about=about, unit=unit, before=(before.median, before.low, before.high),
        after=(after.median, after.low, after.high), rests_on=rests_on, used=used,
    )  # fmt: skip


def with_minutes(
    book: LineBook, places: Sequence[SiteFacts], events: Sequence[Event]
) -> tuple[LineBook, list[doc.Learned]]:
    """The book with minutes of visits as they were written.

    Parameters
    ----------
    book : LineBook
        The line book.
    places : sequence of SiteFacts
        Its sites, in the same order.
    events : sequence of Event
        As they stand.
    """
    seen = minutes(events)
    rows, entries = [], []
    for entry, site in zip(book.sites, places, strict=True):
        spent = seen.get(entry.id)
        if not spent:
            entries.append(entry)
            continue
        usual = set_tables.set_types().get(site.set_type, "minutes")
        table = learn.Band(*(value / 60.0 for value in (usual.number, usual.low or 0.0, usual.high or 0.0)))
        stated = None if entry.check_minutes is None else entry.check_minutes.number
        scale = 1.0 if stated is None else stated / table.median
        before = learn.Band(table.median * scale, table.low * scale, table.high * scale)
        found = learn.service(spent, before)
        words = f"{found.visits} visits with minutes written; the run counts {found.mean:.0f} min, the mean"
        rows.append(row_of("minutes of a visit", site.name, "min", before, found.typical, words))
        source = Source(Kind.MEASURED, f"log, {found.visits} visits", "stated")
        entries.append(entry.model_copy(update={"check_minutes": Quantity(found.mean, "one", source)}))
    return (book.model_copy(update={"sites": entries}) if rows else book), rows


def with_findings(
    book: LineBook, traps: Mapping[str, TrapRig], events: Sequence[Event]
) -> tuple[LineBook, list[doc.Learned]]:
    """The book with what animals that were held alive showed, by the pattern of their trap.

    Parameters
    ----------
    book : LineBook
        The line book; its own findings stay.
    traps : mapping of str to TrapRig
        Traps by their tag.
    events : sequence of Event
        As they stand.
    """
    by_pattern: dict[str, list[FindingEntry]] = defaultdict(list)
    for one in animals(events):
        trap = traps.get(one.trap_id or "")
        if trap is not None and one.alive is not False:
            by_pattern[trap.pattern].append(_finding(one))
    records = {entry.pattern: entry for entry in book.rig_records}
    rows = []
    for pattern, found in sorted(by_pattern.items()):
        own = records.get(pattern)
        records[pattern] = RigRecordEntry(
            pattern=pattern, findings=[*(own.findings if own else ()), *found], tests=own.tests if own else []
        )
        told = [Findings(None if one.injuries is None else tuple(one.injuries), one.whole) for one in found]
        part = count(tally(told, injury_scale()).no_to_moderate)
        rows.append(
            row_of(
                "moderate injury or less", f"pattern {pattern}", "", learn.beta_band(0.5, 0.5),
                learn.beta_band(part.good + 0.5, part.bad + 0.5),
                f"{part.good} of {part.known} held animals, {part.missing} not written; reaches the welfare gates",
            )
        )  # fmt: skip
    return (book.model_copy(update={"rig_records": list(records.values())}) if rows else book), rows


def _finding(one: Animal) -> FindingEntry:
    """A held animal as a finding; words that no scale knows tell nothing."""
    scale = injury_scale()
    injuries = one.injuries
    if one.looked_over == "not" or (injuries is not None and any(key not in scale for key in injuries)):
        injuries = None
    return FindingEntry(
        injuries=None if injuries is None else list(injuries), whole=one.looked_over in (None, "whole")
    )
