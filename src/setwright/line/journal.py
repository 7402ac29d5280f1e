"""Edits of a file in the order in which they were made, kept beside it: each can be taken back and made again."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from setwright.basis.textfile import digest_of, put_bytes

SCHEMA = "setwright/edits/1"
MOST, LARGEST = 200, 2_000_000


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit as the piece of the file that it replaced.

    Parameters
    ----------
    words : str
        What was done.
    at : int
        Where the piece begins [characters].
    before, after : str
        The piece as it was, and as it is.
    old, new : str
        Digests of the whole file before and after.
    """

    words: str
    at: int
    before: str
    after: str
    old: str
    new: str

    def back(self, text: str) -> str:
        """The text before the edit."""
        return text[: self.at] + self.before + text[self.at + len(self.after) :]

    def again(self, text: str) -> str:
        """The text after the edit."""
        return text[: self.at] + self.after + text[self.at + len(self.before) :]


@dataclass(frozen=True, slots=True)
class Journal:
    """Edits in order; `place` of them stand in the file as it is, the others were taken back.

    `known` is false when the file is in no state that the journal knows: somebody else wrote it.
    """

    edits: tuple[Edit, ...] = ()
    place: int = 0
    known: bool = True

    @property
    def last(self) -> Edit | None:
        """The edit that would be taken back."""
        return self.edits[self.place - 1] if self.known and self.place else None

    @property
    def coming(self) -> Edit | None:
        """The edit that would be made again."""
        return self.edits[self.place] if self.known and self.place < len(self.edits) else None

    def with_edit(self, edit: Edit) -> Journal:
        """With one more edit; those taken back are gone, and the oldest where there are too many."""
        kept = [*(self.edits[: self.place] if self.known else ()), edit][-MOST:]
        while len(kept) > 1 and sum(len(one.before) + len(one.after) for one in kept) > LARGEST:
            del kept[0]
        return Journal(tuple(kept), len(kept))

    def text_at(self, digest: str, text: str) -> str | None:
        """The file in another state that the journal knows, from what it is now; None for an unknown state."""
        if not self.known:
            return None
        found = text
        for edit in reversed(self.edits[: self.place]):
            if edit.new == digest:
                return found
            found = edit.back(found)
            if edit.old == digest:
                return found
        found = text
        for edit in self.edits[self.place :]:
            found = edit.again(found)
            if edit.new == digest:
                return found
        return found if not self.edits and digest_of(text.encode()) == digest else None


def edit_between(words: str, before: str, after: str) -> Edit:
    """The edit that leads from one text to another."""
    least = min(len(before), len(after))
    head = next((k for k in range(least) if before[k] != after[k]), least)
    tail = next((k for k in range(least - head) if before[-1 - k] != after[-1 - k]), least - head)
    return Edit(
        words, head, before[head : len(before) - tail], after[head : len(after) - tail],
        digest_of(before.encode("utf-8")), digest_of(after.encode("utf-8")),
    )  # fmt: skip


def journal_place(path: Path) -> Path:
    """Where the journal of a file lies."""
    place = path.resolve()
    return place.with_name(f".{place.name}.edits.json")


def read_journal(path: Path, text: str) -> Journal:
    """The journal of a file whose text is given; an empty one when there is none that can be used."""
    try:
        data = json.loads(journal_place(path).read_text(encoding="utf-8"))
        if data["schema"] != SCHEMA:
            return Journal()
        edits = tuple(_edit(one) for one in data["edits"])
        hint = int(data["place"])
    except (OSError, ValueError, KeyError, TypeError):
        return Journal()
    now = digest_of(text.encode("utf-8"))
    states = [*(edit.old for edit in edits), *(edit.new for edit in edits[-1:])]
    found = sorted((abs(k - hint), k) for k, state in enumerate(states) if state == now)
    return Journal(edits, found[0][1]) if found else Journal(edits, 0, known=not edits)


def _edit(found: dict[str, Any]) -> Edit:
    return Edit(
        str(found["words"]), int(found["at"]), str(found["before"]), str(found["after"]), str(found["old"]),
        str(found["new"]),
    )  # fmt: skip


def write_journal(path: Path, journal: Journal) -> None:
    """Keep the journal of a file.

    It is written before the file itself: which edits stand is told by the file, so that a stop between the two
    leaves nothing wrong.

    Raises
    ------
    BadInput
        When it cannot be written.
    """
    edits = [
        {"words": e.words, "at": e.at, "before": e.before, "after": e.after, "old": e.old, "new": e.new}
        for e in journal.edits
    ]
    data = {"schema": SCHEMA, "place": journal.place, "edits": edits}
    put_bytes(journal_place(path), json.dumps(data, ensure_ascii=False).encode("utf-8"))
