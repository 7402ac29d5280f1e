"""What handouts are filled from: nothing, or a line book with its outfit, sites and law; small helpers of wording."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk import tables
from setwright.desk.bench import bench
from setwright.desk.bench_document import BenchSheet
from setwright.desk.handout_document import Cell, Lines, Mark, Words
from setwright.desk.plan import read_job
from setwright.line.assemble import Job
from setwright.sets.model import SiteFacts, TrapRig

COIL, LONG = "coil-1.75", "long-2"
_MARK: Mapping[str, Mark] = {
    "seen": "g", "secondary": "s", "common practice": "p", "memory": "m", "assumed": "a", "derived": "",
}  # fmt: skip
# The bench needs no more than its usual draws; the line is read with few, as no chance of it is printed.
LINE_DRAWS = 100


@dataclass(frozen=True)
class Asked:
    """What the handouts are asked for.

    Parameters
    ----------
    book : Path or None
        Line book, or None for blank sheets.
    site : str or None
        Id or number of the site that sheets on one set are filled from; the first that fits when None.
    students : int
        Number of students of a course.
    pot : float [m³]
        Room of the pot of the yearly treatment.
    read : Job or None
        The book as it was read before, where it was.

    """

    book: Path | None = None
    site: str | None = None
    students: int = 12
    pot: float = 0.0757
    bench: dict[str, BenchSheet] = field(default_factory=dict)
    read: Job | None = None

    @cached_property
    def job(self) -> Job | None:
        """The line made ready, None for blank sheets."""
        if self.read is not None:
            return self.read
        return None if self.book is None else read_job(self.book, draws=LINE_DRAWS)

    def sheet(self, what: str) -> BenchSheet:
        """What the bench tells of a tag of the outfit, or of a pattern: the figures alone."""
        if what not in self.bench:
            book = self.book if self.job is not None and what in self.job.traps else None
            self.bench[what] = bench(what, book=book)
        return self.bench[what]

    def chosen(self) -> SiteFacts | None:
        """The site that was asked for, None when none was.

        Raises
        ------
        BadInput
            When the book has no such site, or there is no book.
        """
        if self.site is None:
            return None
        places = () if self.job is None else self.job.sites
        found = next((one for one in places if self.site in (one.key, str(one.number))), None)
        if found is None:
            allowed = ", ".join(f"{one.number} {one.key}" for one in places) or "a line book with sites"
            raise BadInput("no such site", file=self.book, field="--site", found=self.site, allowed=allowed)
        return found

    def kinds(self, family: str) -> list[tuple[str, TrapRig]]:
        """One trap of each kind of the outfit in a family, with the tags of all that are alike."""
        if self.job is None:
            return []
        alike: dict[tuple[object, ...], list[TrapRig]] = {}
        for trap in self.job.traps.values():
            if trap.family == family:
                key = (trap.pattern, trap.springs, trap.jaws, trap.trip_force.value)
                alike.setdefault(key, []).append(trap)
        return [(_tags([one.trap_id for one in traps]), traps[0]) for traps in alike.values()]

    def shown(self, family: str) -> str:
        """Tag or pattern of the trap that pictures of a family show: the most numerous of the outfit."""
        found = self.kinds(family)
        usual = COIL if family == "coil" else LONG
        return found[0][1].trap_id if found else usual


def _tags(names: Sequence[str]) -> str:
    first, last = names[0], names[-1]
    # Tags that differ in their number alone are told by it: T-01–06.
    head = first.rstrip("0123456789")
    short = last.removeprefix(head) if head and last.startswith(head) else last
    return first if len(names) == 1 else f"{first}–{short}"


def mark_of(confidence: str) -> Mark:
    """The letter for how a line is known."""
    return _MARK.get(confidence, "")


def line(key: str) -> Words:
    """One line of the table of lines, with its mark."""
    found = tables.lines().get(key, "say")
    return Words(text=found.text or "", mark=mark_of(found.source.confidence))


def cell(key: str) -> Cell:
    """The same as a cell."""
    found = line(key)
    return Cell(text=found.text, mark=found.mark)


def topic(name: str, *, form: str = "steps", head: str = "", columns: int = 1) -> Lines:
    """All lines of a topic in their order."""
    keys = [key for key in tables.lines() if key.rpartition(".")[0] == name]
    lines = [line(key) for key in keys]
    return Lines.model_validate({"head": head, "form": form, "lines": lines, "columns": columns})
