"""The packs that bind a line, and the check interval that they ask of a set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Answer
from setwright.basis.yamlfile import read_text
from setwright.law import tables as law_tables
from setwright.law.answer import judge
from setwright.law.clock import strictest
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack
from setwright.line.book import LineBook

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
            pack = law_tables.read_pack(read_text(path), file=path)
        found.append(NamedPack(name, pack, is_profile))
    return tuple(found)


def interval_of(
    book: LineBook, packs: Sequence[NamedPack], made: datetime, *, submersion: bool, medium: str, target: str
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
        }
    )
    asked: list[tuple[str, str]] = []
    for named in packs:
        rules = {rule.id: rule for rule in named.pack.rules}
        for finding in judge(named.pack, facts, on=made.date(), species=target):
            rule = rules.get(finding.rule)
            if rule is not None and rule.check is not None and rule.check.interval is not None:
                every = rule.check.interval.every
                if every not in ("none", "unknown"):
                    asked.append((every, f"{named.pack.title}, {finding.citation}"))
    first = strictest([every for every, _ in asked], made, made)
    if first is None:
        return (None, PRACTICE) if submersion else ("P1D", PRACTICE)
    every = str(first[0])
    citation = next(text for text_every, text in asked if text_every == every)
    return every, Source(Kind.TABLE, citation, "law pack")


def closed_species(packs: Sequence[NamedPack], species: Sequence[str], made: datetime) -> frozenset[str]:
    """Animals of which a law pack says that their season is not open on the day."""
    facts = Facts({"device": Fact("foothold"), "purpose": Fact("fur"), "made": Fact(made)})
    found = set()
    for named in packs:
        for key in species if not named.profile else ():
            for finding in judge(named.pack, facts, on=made.date(), species=key):
                if finding.rule.startswith("season") and finding.answer is Answer.BREAKS:
                    found.add(key)
    return frozenset(found)
