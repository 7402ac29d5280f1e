"""The packs that bind a line, and the check interval that they ask of a set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Answer
from setwright.law import tables as law_tables
from setwright.law.clock import Interval, next_limit
from setwright.law.compose import PackFinding, binding, compose
from setwright.law.condition import Window
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack, must_all
from setwright.line.book import LineBook, SiteEntry
from setwright.line.lawfacts import read_facts, settled, zones_of
from setwright.sets.model import SiteFacts

PRACTICE = Source(Kind.PRACTICE, "every set that holds alive is seen each day")


@dataclass(frozen=True)
class NamedPack:
    """A pack by the name that the book gives it."""

    name: str
    pack: Pack
    profile: bool

    @property
    def title(self) -> str:
        """Title with the mark of an invented place."""
        return self.pack.title + (" (invented)" if self.pack.invented else "")

    @property
    def checked(self) -> str:
        """Who checked it and when."""
        when = "never" if self.pack.checked_on is None else f"{self.pack.checked_on:%d %b %Y}"
        return f"checked by {self.pack.checked_by or 'nobody'}, {when}"


def packs_of(book: LineBook, folder: Path) -> tuple[NamedPack, ...]:
    """Packs and profile that the book names: shipped ones by name, own ones as files beside the book."""
    names = [(name, False) for name in book.law.packs]
    if book.law.profile is not None:
        names.append((book.law.profile, True))
    found: list[NamedPack] = []
    for index, (name, is_profile) in enumerate(names):
        where = "law.profile" if is_profile else f"law.packs.{index}"
        if any(name == before.name for before in found):
            raise BadInput("this law pack stands twice", field=where, found=name, allowed="each pack once")
        if name in law_tables.shipped_packs():
            pack = law_tables.shipped_pack(name)
        else:
            path = (folder / name).resolve()
            if not path.is_relative_to(folder.resolve()) or not path.is_file():
                raise BadInput(
                    "no such law pack", field=where, found=name,
                    allowed=f"a file beside the book, or {', '.join(law_tables.shipped_packs())}",
                )  # fmt: skip
            pack = law_tables.read_pack_file(path)
        found.append(NamedPack(name, pack, is_profile))
    return tuple(found)


@dataclass(frozen=True)
class Every:
    """A check interval that binds a set, the hour at which its days begin, and where it stands."""

    every: Interval
    citation: str
    day_start: time | None = None

    def last_moment(self, seen: datetime) -> datetime:
        """Last lawful moment of the next visit after one at `seen`."""
        return next_limit(seen, seen, self.every, day_start=self.day_start)


@dataclass(frozen=True)
class HoursOfDay:
    """Hours of the day in which a set may (`open_`) or may not be visited, and where that stands."""

    open_: bool
    window: Window
    citation: str


@dataclass(frozen=True)
class Duties:
    """What the packs ask of the visits to a set: intervals, hours of the day, visits in a row by somebody else."""

    intervals: tuple[Every, ...] = ()
    hours: tuple[HoursOfDay, ...] = ()
    agent_in_a_row: int | None = None
    agent_written: bool = False


def duties_of(
    packs: Sequence[NamedPack],
    made: datetime,
    *,
    submersion: bool,
    medium: str,
    target: str,
    stated: Mapping[str, Fact],
) -> Duties:
    """Duties of visiting that all packs lay on a set, read from the rules that bind it.

    Parameters
    ----------
    packs : sequence of NamedPack
        Packs and profile.
    made : datetime
        When the set is made.
    submersion, medium, target
        What the rules may ask of the set before its rig is known in full.
    stated : mapping of str to Fact
        What the book states for the rules of the person and the site.

    """
    facts = Facts(
        {
            "device": Fact("foothold"),
            "medium": Fact(medium),
            "submersion": Fact(submersion),
            "target": Fact(target),
            "purpose": Fact("fur"),
            "made": Fact(made),
            "last_visit": Fact(made),
            "next_visit": Fact(made + timedelta(hours=18)),
            **stated,
        }
    )
    intervals: list[Every] = []
    hours: list[HoursOfDay] = []
    rows: list[int] = []
    written = False
    by_name = {named.name: named.pack for named in packs}
    named_packs = [(named.name, named.pack) for named in packs]
    for name, rule, whole in binding(named_packs, facts, on=made.date(), species=target):
        pack = by_name[name]
        citation = f"{pack.title}, {rule.citation}"
        for check in must_all(whole):
            found = check.interval
            if found is not None:
                if found.interval is not None:
                    intervals.append(Every(found.interval, citation, pack.definitions.day_start))
                if found.visit_window is not None:
                    hours.append(HoursOfDay(True, found.visit_window, citation))
                if found.agent is not None:
                    rows.append(found.agent.in_a_row)
                    written = written or found.agent.written
            part = check.clock_window
            window = None if part is None else part.open or part.closed
            if part is not None and window is not None and part.activity in ("visit", "tend"):
                hours.append(HoursOfDay(part.open is not None, window, citation))
    return Duties(tuple(intervals), tuple(hours), min(rows, default=None), written)


def interval_of(
    book: LineBook,
    packs: Sequence[NamedPack],
    made: datetime,
    *,
    submersion: bool,
    medium: str,
    target: str,
    stated: Mapping[str, Fact] | None = None,
) -> tuple[str | None, Source]:
    """The check interval that ends first for a set, and where it stands; None when no pack tells one.

    Parameters
    ----------
    book : LineBook
        Its own `interval` goes before the packs'.
    packs : sequence of NamedPack
        Packs and profile.
    made : datetime
        When the set is made.
    submersion, medium, target
        What the rules may ask of the set before its rig is known in full.
    stated : mapping of str to Fact, optional
        What the book states for the rules of the person and the site.

    """
    if book.law.interval is not None:
        return book.law.interval, Source(Kind.MEASURED, "line book", "stated")
    asked = duties_of(packs, made, submersion=submersion, medium=medium, target=target, stated=stated or {}).intervals
    if not asked:
        return (None, PRACTICE) if submersion else ("P1D", PRACTICE)
    first = min(asked, key=lambda one: one.last_moment(made).astimezone(UTC))
    return str(first.every), Source(Kind.TABLE, first.citation, "law pack")


def _composed(packs: Sequence[NamedPack], facts: Facts, made: datetime, species: str) -> tuple[PackFinding, ...]:
    return compose([(named.name, named.pack) for named in packs], facts, on=made.date(), species=species)


def closed_species(
    packs: Sequence[NamedPack], species: Sequence[str], made: datetime, stated: Mapping[str, Fact]
) -> frozenset[str]:
    """Animals of which a law pack says that their season is not open on the day."""
    facts = Facts({"device": Fact("foothold"), "purpose": Fact("fur"), "made": Fact(made), **stated})
    law = [named for named in packs if not named.profile]
    found = set()
    for key in species:
        for one in _composed(law, facts, made, key):
            if one.finding.rule.startswith("season") and one.finding.answer is Answer.BREAKS:
                found.add(key)
    return frozenset(found)


def person_facts_of(book: LineBook) -> dict[str, Fact]:
    """What the book states for the rules of the person: class of licence and whatever else a pack asks."""
    found = read_facts(book.law.facts, "law.facts", book.line.zone)
    if book.law.licence is not None:
        found.setdefault("licence_class", Fact(book.law.licence))
    return found


def with_law_facts(site: SiteFacts, entry: SiteEntry, packs: Sequence[NamedPack], zone: ZoneInfo) -> SiteFacts:
    """Site with the facts that the book states of it for the rules, and the zones that it lies in."""
    where = f"sites.{site.number - 1}.facts"
    stated = read_facts(entry.facts, where, zone)
    place = None if site.latitude is None or site.longitude is None else (site.latitude, site.longitude)
    located = zones_of([(named.name, named.pack) for named in packs], place)
    try:
        return replace(site, law_facts=settled(stated, located))
    except BadInput as error:
        raise BadInput(
            error.message, field=f"{where}.{error.field}", found=error.found, allowed=error.allowed
        ) from None


def most_traps(packs: Sequence[NamedPack]) -> int | None:
    """Fewest traps that any pack of law, permit or owner allows one person; None when none counts them."""
    counts = [
        check.count.at_most
        for named in packs
        if not named.profile
        for rule in named.pack.rules
        if rule.check is not None
        for check in must_all(rule.check)
        if check.count is not None and check.count.scope == "person"
    ]
    return min(counts, default=None)
