"""A file that the user keeps, changed by the app: checked first, put into place whole, each change undone at will."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.textfile import digest_of, put_bytes
from setwright.basis.yamlfile import LIMIT, load, plain, read_text
from setwright.desk.plan import job_of
from setwright.line.book import book_of
from setwright.line.journal import Journal, edit_between, read_journal, write_journal
from setwright.line.rewrite import rewritten

Check = Callable[[str, Path], None]
DRAWS = 4
SHOWN = 12
_writing = threading.RLock()


class OldState(BadInput):
    """The file is no longer as it was when the form was opened; `found` says what is different."""


@dataclass(frozen=True, slots=True)
class State:
    """A file as it stands, and what was done to it.

    Parameters
    ----------
    path : Path
        The file.
    text : str
        Its text.
    digest : str
        By which this state is told from others.
    journal : Journal
        Edits made here.
    """

    path: Path
    text: str
    digest: str
    journal: Journal

    @property
    def data(self) -> dict[str, Any]:
        """The file as plain data; empty when it cannot be read."""
        return _data(self.text, self.path)


@lru_cache(maxsize=8)
def _data(text: str, path: Path) -> dict[str, Any]:
    try:
        found: dict[str, Any] = plain(load(text, file=path))
    except BadInput:
        return {}
    return found


def state_of(path: Path) -> State:
    """A file as it stands.

    Raises
    ------
    BadInput
        When it cannot be read as text.
    """
    text = read_text(path)
    return State(path, text, digest_of(text.encode("utf-8")), read_journal(path, text))


def usable_book(text: str, path: Path) -> None:
    """Refuse a text that could not be planned as a line book.

    Raises
    ------
    BadInput
        With line and field.
    """
    book, raw = book_of(text, file=path)
    job_of(book, raw, path, draws=DRAWS)


def changed(
    path: Path, seen: str, words: str, act: Callable[[CommentedMap], None], check: Check = usable_book
) -> State:
    """Change a file as data.

    Parameters
    ----------
    path : Path
        The file.
    seen : str
        Digest of the state that the user saw; empty when it does not matter.
    words : str
        What is done, for the list of edits.
    act : callable
        Changes the loaded map.
    check : callable
        Refuses a text that must not stand there.

    Raises
    ------
    BadInput
        When the change is refused; the file is as it was.
    """
    return _replaced(path, seen, words, lambda text: rewritten(text, act, file=path), check)


def changed_text(path: Path, seen: str, words: str, text: str, check: Check = usable_book) -> State:
    """Put a whole new text into the place of a file.

    Raises
    ------
    BadInput
        As `changed`.
    """
    unix = "\n".join(text.split("\r\n"))

    def written(before: str) -> str:
        made = unix.replace("\n", "\r\n") if "\r\n" in before else unix
        return made if made.endswith("\n") or not made else made + ("\r\n" if "\r\n" in before else "\n")

    return _replaced(path, seen, words, written, check)


def undone(path: Path, seen: str) -> State:
    """Take the last edit back.

    Raises
    ------
    BadInput
        When there is none, or the file was changed elsewhere since.
    """
    with _writing:
        state = _fresh(path, seen)
        edit = state.journal.last
        if edit is None:
            raise _no_edit(state, "no edit can be taken back")
        return _moved(state, edit.back(state.text), -1)


def redone(path: Path, seen: str) -> State:
    """Make the edit again that was taken back last.

    Raises
    ------
    BadInput
        When there is none, or the file was changed elsewhere since.
    """
    with _writing:
        state = _fresh(path, seen)
        edit = state.journal.coming
        if edit is None:
            raise _no_edit(state, "no edit was taken back that could be made again")
        return _moved(state, edit.again(state.text), 1)


def _no_edit(state: State, words: str) -> BadInput:
    if not state.journal.known:
        return BadInput(
            "the file was changed outside of the app since the last edit: that cannot be undone here",
            file=state.path, allowed="an edit made here, or the file mended where it was changed",
        )  # fmt: skip
    return BadInput(words, file=state.path)


def _moved(state: State, text: str, step: int) -> State:
    journal = state.journal
    _put(state, text, Journal(journal.edits, journal.place + step))
    return state_of(state.path)


def _replaced(path: Path, seen: str, words: str, made: Callable[[str], str], check: Check) -> State:
    with _writing:
        state = _fresh(path, seen)
        text = made(state.text)
        if text == state.text:
            return state
        if len(text.encode("utf-8")) > LIMIT:
            raise BadInput("the file would be too large", file=path, allowed=f"up to {LIMIT} bytes")
        check(text, path)
        _put(state, text, state.journal.with_edit(edit_between(words, state.text, text)))
        return state_of(path)


def _put(state: State, text: str, journal: Journal) -> None:
    raw = state.path.read_bytes()
    mark = b"\xef\xbb\xbf" if raw.startswith(b"\xef\xbb\xbf") else b""
    if raw.removeprefix(mark) != state.text.encode("utf-8"):
        raise OldState("the file was changed just now; open the page again", file=state.path)
    write_journal(state.path, journal)
    put_bytes(state.path, mark + text.encode("utf-8"))


def _fresh(path: Path, seen: str) -> State:
    """The file as it stands, when that is the state that was seen."""
    state = state_of(path)
    if seen and seen != state.digest:
        old = state.journal.text_at(seen, state.text)
        raise OldState(
            "the line was changed since this page was opened; look at what is different, then send it again",
            file=path, found="; ".join(_differences(old, state)) or None,
        )  # fmt: skip
    return state


def _differences(old: str | None, state: State) -> list[str]:
    """What became different since an older state, in words."""
    if old is None:
        return ["changed outside of the app"]
    try:
        before = plain(load(old, file=state.path))
    except BadInput:
        return []
    found = list(_unlike(before, state.data, ()))
    more = len(found) - SHOWN
    return [*found[:SHOWN], *([f"and {more} more"] if more > 0 else [])]


def _unlike(a: Any, b: Any, path: tuple[str, ...]) -> list[str]:
    if a == b:
        return []
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        keys = [*a, *(key for key in b if key not in a)]
        return [words for key in keys for words in _unlike(a.get(key), b.get(key), (*path, str(key)))]
    if _named(a) and _named(b):
        left, right = ({str(one["id"]): one for one in side} for side in (a, b))
        return _unlike(left, right, path)
    return [f"{' '.join(path)}: {_short(a)} became {_short(b)}"]


def _named(found: Any) -> bool:
    return isinstance(found, list) and all(isinstance(one, Mapping) and "id" in one for one in found)


def _short(found: Any) -> str:
    if found is None:
        return "nothing"
    text = "a new entry" if isinstance(found, (Mapping, list)) else str(found)
    return text if len(text) <= 40 else text[:39] + "…"
