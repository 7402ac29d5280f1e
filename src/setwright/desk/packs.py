"""Packs of rules at hand: those that come along stay as they are, those beside the book can be written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.textfile import digest_of, put_bytes
from setwright.basis.yamlfile import faults, line_of, load, read_text
from setwright.desk.edit import State, changed_text
from setwright.desk.wording import render, sentence
from setwright.law import tables as law_tables
from setwright.law.lint import lint
from setwright.law.pack import Pack

NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,38}\.ya?ml")
MOST_FAULTS = 20


@dataclass(frozen=True, slots=True)
class PackEntry:
    """A pack as a list shows it; `fault` says why it cannot be read."""

    name: str
    shipped: bool
    used: bool
    kind: str = ""
    title: str = ""
    checked: str = ""
    invented: bool = False
    fault: str = ""


@dataclass(frozen=True, slots=True)
class PackRemark:
    """A remark on the text of a pack: its line where one is meant, its level, what is wrong and what mends it."""

    line: int | None
    level: str
    place: str
    text: str
    mend: str


@dataclass(frozen=True, slots=True)
class PackText:
    """The text of a pack with everything that there is to say of it."""

    name: str
    shipped: bool
    text: str
    digest: str
    entry: PackEntry
    remarks: tuple[PackRemark, ...]


def packs_at_hand(book: Path, used: tuple[str, ...]) -> tuple[PackEntry, ...]:
    """Packs that come along and packs beside the book.

    Parameters
    ----------
    book : Path
        Line book.
    used : tuple of str
        Names that the book has chosen.
    """
    shipped = [_entry(name, law_tables.shipped_pack(name), True, used) for name in law_tables.shipped_packs()]
    own = []
    for path in sorted(book.resolve().parent.glob("*.y*ml")):
        if path.name != book.name and NAME.fullmatch(path.name):
            try:
                if "law-pack" in read_text(path)[:2000]:
                    own.append(_entry(path.name, law_tables.read_pack_file(path), False, used))
            except BadInput as error:
                own.append(PackEntry(path.name, False, path.name in used, fault=str(error)))
    return (*own, *shipped)


def _entry(name: str, pack: Pack, shipped: bool, used: tuple[str, ...]) -> PackEntry:
    when = "never" if pack.checked_on is None else pack.checked_on.isoformat()
    return PackEntry(
        name, shipped, name in used, pack.kind, pack.title, f"{pack.checked_by or 'nobody'}, {when}", pack.invented
    )


def pack_text(book: Path, name: str, text: str | None = None) -> PackText:
    """A pack as text with its remarks; `text` in place of what stands in the file.

    Raises
    ------
    BadInput
        When there is no such pack.
    """
    shipped = name in law_tables.shipped_packs()
    path = law_tables.FOLDER / f"{name}.yaml" if shipped else _place(book, name)
    stands = read_text(path)
    shown = stands if text is None else text
    remarks, entry = judged(shown, path if shipped else book.resolve().parent / name, name, shipped)
    return PackText(name, shipped, shown, digest_of(stands.encode("utf-8")), entry, remarks)


def judged(text: str, path: Path, name: str, shipped: bool = False) -> tuple[tuple[PackRemark, ...], PackEntry]:
    """Everything that is wrong or doubtful in the text of a pack, by line."""
    try:
        data = load(text.replace("\r\n", "\n"), file=name)
    except BadInput as error:
        return (_fault(error),), PackEntry(name, shipped, False, fault=error.message)
    found = faults(Pack, data, file=name)
    if found:
        remarks = tuple(_fault(one) for one in found[:MOST_FAULTS])
        return remarks, PackEntry(name, shipped, False, fault="not readable")
    try:
        pack = law_tables.read_pack(text.replace("\r\n", "\n"), file=path)
    except BadInput as error:
        return (_fault(error),), PackEntry(name, shipped, False, fault=error.message)
    remarks = tuple(
        PackRemark(
            _line(data, one.place), one.level, one.place, sentence(render(one.text)), sentence(render(one.mend))
        )
        for one in lint(pack, date.today())
    )
    return remarks, _entry(name, pack, shipped, ())


def _line(data: object, place: str) -> int | None:
    """Line of a rule, a season or a field that a remark names."""
    first = place.split(", ")[0]
    for path in (("rules", first), tuple(first.split(".")), ("lists", first.removeprefix("lists."))):
        found = line_of(data, path)
        if found is not None and (path[0] != "rules" or line_of(data, ("rules",)) != found):
            return found
    return line_of(data, ("seasons",)) if first.startswith("season") else None


def _fault(error: BadInput) -> PackRemark:
    words = error.message if error.found is None else f"{error.message}; found {error.found}"
    return PackRemark(error.line, "fault", error.field or "", sentence(words), sentence(error.allowed or ""))


def keep_pack(book: Path, name: str, seen: str, text: str) -> State:
    """Write a pack beside the book; it is kept only when it can be read.

    Raises
    ------
    BadInput
        For a pack that comes along, a text that cannot be read, and a file that was changed meanwhile.
    """
    if name in law_tables.shipped_packs():
        raise BadInput("a pack that comes along stays as it is: copy it first", field="name", found=name)

    def readable(made: str, path: Path) -> None:
        law_tables.read_pack(made, file=path.name)

    return changed_text(_place(book, name), seen, f"wrote {name}", text, readable)


def copy_pack(book: Path, name: str, new: str) -> str:
    """Copy a pack to a file of its own beside the book; the name of the file.

    The copy says that nobody has checked it.

    Raises
    ------
    BadInput
        For a name that cannot be used or is taken.
    """
    file = new if new.endswith((".yaml", ".yml")) else f"{new}.yaml"
    place = book.resolve().parent / file
    if not NAME.fullmatch(file) or file == book.name:
        raise BadInput("not a name for a pack", field="new", found=new, allowed="small letters, digits and dashes")
    if place.exists():
        raise BadInput("a file of this name stands here already", field="new", found=file)
    text = pack_text(book, name).text
    unchecked = re.sub(r"(?m)^(checked_by|checked_on):.*$\n?", "", text)
    law_tables.read_pack(unchecked, file=file)
    put_bytes(place, unchecked.encode("utf-8"))
    return file


def _place(book: Path, name: str) -> Path:
    place = book.resolve().parent / name
    if not NAME.fullmatch(name) or name == book.name or not place.is_file():
        raise BadInput("no such pack beside the book", field="name", found=name)
    return place
