"""The packs that bind a line, and the check interval that they ask of a set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Answer
from setwright.law import tables as law_tables
from setwright.law.clock import strictest
from setwright.law.compose import PackFinding, compose
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack
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
    tomorrow = made + timedelta(hours=18)
    facts = Facts(
        {
            "device": Fact("foothold"),
            "medium": Fact(medium),
            "submersion": Fact(submersion),
            "target": Fact(target),
            "purpose": Fact("fur"),
            "made": Fact(made),
            "last_visit": Fact(made),
            "next_visit": Fact(tomorrow),
            **(stated or {}),
        }
    )
    asked: list[tuple[str, str]] = []
    rules = {(named.name, rule.id): (named.pack, rule) for named in packs for rule in named.pack.rules}
    for one in _composed(packs, facts, made, target):
        pack, rule = rules.get((one.pack, one.finding.rule), (None, None))
        if pack is None or rule is None or rule.check is None or rule.check.interval is None or one.aside:
            continue
        every = rule.check.interval.every
        if every not in ("none", "unknown"):
            asked.append((every, f"{pack.title}, {one.finding.citation}"))
    first = strictest([every for every, _ in asked], made, made)
    if first is None:
        return (None, PRACTICE) if submersion else ("P1D", PRACTICE)
    every = str(first[0])
    citation = next(text for text_every, text in asked if text_every == every)
    return every, Source(Kind.TABLE, citation, "law pack")


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
