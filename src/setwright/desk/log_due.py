"""What is due: next looks at sets, duties from the law pack and from the log, pans to read again, tags to put on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.desk.log import read
from setwright.desk.log_words import now_in
from setwright.law.clock import next_limit
from setwright.law.condition import Deadline
from setwright.law.pack import Pack, Rule, checks_within, same_species
from setwright.line.book import LineBook, read_book
from setwright.line.lawbook import NamedPack, interval_of, packs_of, person_facts_of
from setwright.log import kinds
from setwright.log.amend import standing
from setwright.log.event import Event
from setwright.log.fold import NOT_WRITTEN, LogState, Phase, fold

# Common practice: a pan that lay so long rusts or silts up and trips at another force.
RETEST_DAYS = 21
SHORT = 8
CAUGHT = ("caught", "held")
CLOSES = ("season-closed", "season-close", "season-end")


@dataclass(frozen=True, slots=True)
class Due:
    """Something to be done.

    Parameters
    ----------
    what : str
        The act.
    about : str
        Set, trap or animal.
    by : datetime or None
        Last moment; None when it is wanted soon.
    late : bool
        True when that moment has gone by.
    why : str
        Rule, clause or practice behind it.
    name : str
        What `done duty=…` is given to settle it; empty when a look or a reading settles it.
    entry : str
        Entry that lacks something, by the first characters of its id; empty otherwise.

    """

    what: str
    about: str
    by: dt.datetime | None
    late: bool
    why: str
    name: str = ""
    entry: str = ""


def due(book: Path, *, store: str | None = None, now: dt.datetime | None = None) -> tuple[list[Due], list[str]]:
    """Everything that is due, the most pressing first, and what this program cannot tell.

    Parameters
    ----------
    book : Path
        Line book.
    store : str, optional
        File or URL of the log.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When book or log cannot be used.
    """
    found, _ = read_book(book)
    packs = packs_of(found, book.resolve().parent)
    events = read(book, store)
    return duties(found, packs, events, now or now_in(found.line.zone))


def duties(
    book: LineBook, packs: Sequence[NamedPack], events: Sequence[Event], now: dt.datetime
) -> tuple[list[Due], list[str]]:
    """As `due`, from what was read."""
    now_standing = standing(events)
    state = fold(events)
    zone = book.line.zone
    rows = [
        *_looks(book, packs, state, now), *_own(state, now), *_tags(state), *_pans(state, now),
        *_law(packs, now_standing.events, state, now), *_closed(packs, now_standing.events, state, now),
    ]  # fmt: skip
    last = dt.datetime.max.replace(tzinfo=dt.UTC)
    rows = [replace(one, by=None if one.by is None else one.by.astimezone(zone)) for one in rows]
    return sorted(rows, key=lambda one: (one.by or last, one.about, one.what)), _untold(packs)


def _looks(book: LineBook, packs: Sequence[NamedPack], state: LogState, now: dt.datetime) -> Iterable[Due]:
    rigs = {site.id: site.rig for site in book.sites}
    for one in state.sets.values():
        if one.phase in (Phase.PULLED, Phase.UNKNOWN) or one.since is None:
            continue
        rig = rigs.get(one.site or one.set_id)
        under = rig is not None and rig.slide is not None
        made = one.since.astimezone(book.line.zone)
        every, source = interval_of(
            book,
            packs,
            made,
            submersion=under,
            medium=one.medium or "land",
            target=one.target or "",
            stated=person_facts_of(book),
        )
        if every is None:
            yield Due("look at the set", one.set_id, None, False, "no rule of a pack says how often; look daily")
            continue
        seen = (one.seen_in_person or one.since).astimezone(book.line.zone)
        by = next_limit(made, seen, every)
        words = f"{source.text}; last seen {seen:%a %d %b %H:%M}"
        yield Due("look at the set", one.set_id, by, now > by, words)


def _own(state: LogState, now: dt.datetime) -> Iterable[Due]:
    for duty in state.open_duties:
        late = duty.due is not None and duty.due < now
        short = duty.duty[:SHORT]
        if duty.act == NOT_WRITTEN:
            why = "without it no rig can pass"
            yield Due(duty.act, duty.about or "", duty.due, late, why, entry=short)
        else:
            yield Due(duty.act, duty.about or "", duty.due, late, "written in the log", short)


def _tags(state: LogState) -> Iterable[Due]:
    for one in state.sets.values():
        if one.phase in (Phase.PULLED, Phase.UNKNOWN) or one.tag_present:
            continue
        words = "no tag on the trap" if one.tag_present is False else "nobody wrote whether the tag is on"
        yield Due("see to the tag", one.set_id, None, False, words)


def _pans(state: LogState, now: dt.datetime) -> Iterable[Due]:
    for one in state.traps.values():
        if one.lost or one.set_id is None:
            continue
        if one.read_at is None:
            yield Due("read the pan", one.trap_id, None, False, "no reading of its trip force is in the log")
        elif one.fired_since:
            times = "once" if one.fired_since == 1 else f"{one.fired_since} times"
            words = f"fired {times} since the last reading (common practice: test after every catch)"
            yield Due("read the pan again", one.trap_id, None, False, words)
        else:
            by = one.read_at + dt.timedelta(days=RETEST_DAYS)
            words = f"{RETEST_DAYS} days after the last reading (common practice: rust and silt change it)"
            yield Due("read the pan again", one.trap_id, by, now > by, words)


def _law(packs: Sequence[NamedPack], events: Sequence[Event], state: LogState, now: dt.datetime) -> Iterable[Due]:
    for named in packs:
        for rule, deadline in deadlines(named.pack):
            for event in events:
                if not begins_and_applies(rule, deadline, event, named.pack):
                    continue
                name = f"{event.id[:SHORT]}-{rule.id}"
                if name in state.settled:
                    continue
                by = next_limit(event.time, event.time, deadline.within)
                yield Due(deadline.act, event.set_id or "", by, now > by, f"{named.title}: {rule.citation}", name)


def _closed(packs: Sequence[NamedPack], events: Sequence[Event], state: LogState, now: dt.datetime) -> Iterable[Due]:
    """Deadlines that begin when a season closes, for every animal that the log has taken in it."""
    taken = sorted({event.details["species"] for event in events if event.kind == kinds.CATCH} - {None})
    for named in packs:
        for rule, deadline in deadlines(named.pack):
            if deadline.event not in CLOSES:
                continue
            for species in taken:
                if rule.applies.species and not any(
                    same_species(name, species, named.pack) for name in rule.applies.species
                ):
                    continue
                for close in _closing_days(named.pack, species):
                    name = f"{species}-{rule.id}-{close:%Y}"
                    if name in state.settled:
                        continue
                    end = dt.datetime.combine(close, dt.time(23, 59), now.tzinfo)
                    by = next_limit(end, end, deadline.within)
                    words = f"{named.title}: {rule.citation}; the season closes {close:%d %b %Y}"
                    yield Due(deadline.act, species.replace("_", " "), by, now > by, words, name)


def _closing_days(pack: Pack, species: str) -> list[dt.date]:
    return sorted(
        {row.close for row in pack.seasons if row.close is not None and same_species(row.species, species, pack)}
    )


def deadlines(pack: Pack) -> Iterable[tuple[Rule, Deadline]]:
    """Deadlines of a pack, each with its rule."""
    for rule in pack.rules:
        for part in checks_within(rule.check):
            if part.deadline is not None:
                yield rule, part.deadline


def begins_and_applies(rule: Rule, deadline: Deadline, event: Event, pack: Pack) -> bool:
    """Whether an event is the one that a deadline begins with, and its animal one that the rule speaks of."""
    return _begins(deadline, event, pack) and _applies(rule, event, pack)


def _begins(deadline: Deadline, event: Event, pack: Pack) -> bool:
    """Whether the event is the one that a deadline names, such as `otter-caught` or `nontarget-caught`."""
    stem, _, ends = deadline.event.rpartition("-")
    if ends not in CAUGHT or event.kind not in kinds.CATCHES:
        return False
    name, species = stem.replace("-", "_"), event.details.get("species") or ""
    if name in ("animal", "any"):
        # What every held animal asks for is its injuries; the log has a duty of its own for that.
        return False
    if name in ("nontarget", "non_target"):
        return event.kind == kinds.NONTARGET
    if name in ("pet", "domestic", "pet_or_stock"):
        return bool(event.details.get("domestic"))
    return same_species(name, species, pack) or name in species.split("_")


def _applies(rule: Rule, event: Event, pack: Pack) -> bool:
    named = rule.applies.species
    species = event.details.get("species") or ""
    return not named or any(same_species(name, species, pack) for name in named)


def _untold(packs: Sequence[NamedPack]) -> list[str]:
    """Deadlines that begin with something the log has no word for."""
    return [
        f"{named.title}: {rule.citation}: {part.act} within {part.within} of `{part.event}`: the log has no word "
        "for that; write it down with `duty`"
        for named in packs
        for rule, part in deadlines(named.pack)
        if part.event.rpartition("-")[2] not in CAUGHT and part.event not in CLOSES
    ]
