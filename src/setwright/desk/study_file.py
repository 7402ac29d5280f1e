"""A study file: a line book, what is varied in it, and which answers count as good."""

from __future__ import annotations

import hashlib
import itertools
import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, plain, read_text, validate

SCHEMA = "setwright/study/1"
MOST_ROWS = 200_000
# Files that a book names lie beside it; a study takes along no more than this.
MOST_BYTES = 50_000_000
ANSWERS = ("law", "practice", "welfare")
LINKS = ("visit", "step", "fire", "close", "hold", "check")
FIGURES = ("held", "others", "pets")
# Columns of what was found, beside which a factor of the same name could not stand.
TAKEN = frozenset(
    ["repeat", "standing", "weakest", "why", *ANSWERS, *(f"{link} stands" for link in LINKS)]
    + [f"{figure}{end}" for figure in FIGURES for end in ("", " low", " high")]
)
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._/+°-]*")

Name = Annotated[str, Field(min_length=1, max_length=60)]
Level = Annotated[str, Field(min_length=1, max_length=80)]


class Part(BaseModel):
    """A part of the file; what is not known is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class OneField(Part):
    """One field of the book and the values it takes."""

    field: Annotated[str, Field(min_length=1, max_length=200)]
    values: list[Any] = Field(min_length=1, max_length=200)


class StudyFile(Part):
    """The whole file.

    `vary` writes into the book: a factor is one field with its values, or levels by name, each with all the fields
    that it writes. `change` is tried on the rig as `--what-if` of `setwright set` does. `meets` are the answers that
    all have to say *meets* for a case to count as good; `stands` asks besides for a chain no worse than that.
    """

    schema_: Literal["setwright/study/1"] = Field(alias="schema")
    name: Annotated[str, Field(min_length=1, max_length=120)]
    book: Annotated[str, Field(min_length=1, max_length=400)]
    site: Annotated[str, Field(min_length=1, max_length=80)]
    draws: int = Field(default=300, ge=50, le=20000)
    seed: int = Field(default=20, ge=0, le=2**31 - 1)
    repeats: int = Field(default=1, ge=1, le=1000)
    vary: dict[Name, OneField | dict[Level, dict[str, Any]]] = Field(default_factory=dict, max_length=8)
    change: dict[Name, list[Level]] = Field(default_factory=dict, max_length=6)
    meets: list[Literal["law", "practice", "welfare"]] = Field(default=["welfare", "practice"], min_length=1)
    stands: Literal["sound", "thin"] | None = None

    @field_validator("vary", "change")
    @classmethod
    def _named(cls, found: dict[str, Any]) -> dict[str, Any]:
        for name in found:
            if not _NAME.fullmatch(name):
                raise ValueError(f"the name {name!r} of a factor holds other than letters, digits and blanks")
            if name in TAKEN or name.startswith("gate "):
                raise ValueError(f"the name {name!r} of a factor is that of a column of the answers")
        return found

    @field_validator("change")
    @classmethod
    def _once(cls, found: dict[str, list[str]]) -> dict[str, list[str]]:
        for name, levels in found.items():
            if not levels or len(set(levels)) != len(levels):
                raise ValueError(f"{name}: levels stand twice, or none is named")
        return found


@dataclass(frozen=True)
class Study:
    """A study made ready: what it asks, the book as data, and the files that the book names.

    `digest` changes with anything that an answer depends on.
    """

    file: StudyFile
    book: Mapping[str, Any]
    files: Mapping[str, bytes]
    digest: str

    @property
    def factors(self) -> dict[str, list[str]]:
        """Levels of every factor, those of the book first."""
        return {**{name: list(levels(factor)) for name, factor in self.file.vary.items()}, **self.file.change}

    @property
    def tasks(self) -> int:
        """How often the book is made ready; each time all changes of the rig are tried on it."""
        return self.file.repeats * _count(levels(factor) for factor in self.file.vary.values())

    @property
    def rows(self) -> int:
        """How many cases there are."""
        return self.tasks * _count(self.file.change.values())


def _count(groups: Any) -> int:
    total = 1
    for group in groups:
        total *= len(group)
    return total


def levels(factor: OneField | Mapping[str, Mapping[str, Any]]) -> dict[str, Mapping[str, Any]]:
    """Levels of a factor by name, each with the fields of the book that it writes."""
    if isinstance(factor, OneField):
        return {str(value): {factor.field: value} for value in factor.values}
    return dict(factor)


def read_study(path: Path) -> Study:
    """Read a study file, its book and the files that these name.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed, for the first fault.
    """
    text = read_text(path)
    data = load(text, file=path)
    if data.get("schema") != SCHEMA:
        raise BadInput("this is no study of a known version", file=path, field="schema", found=data.get("schema"),
                       allowed=SCHEMA)  # fmt: skip
    file = validate(StudyFile, data, file=path)
    book_path = _book_path(path, file.book)
    book_text = read_text(book_path)
    book = plain(load(book_text, file=book_path))
    for name, factor in file.vary.items():
        known = levels(factor)
        if isinstance(factor, OneField) and len(known) != len(factor.values):
            raise BadInput("a value stands twice", file=path, field=f"vary.{name}.values")
        for level, fields in known.items():
            try:
                patched(book, fields)
            except BadInput as error:
                raise BadInput(
                    error.message, file=path, field=f"vary.{name}.{level}: {error.field}", found=error.found,
                    allowed=error.allowed,
                ) from None  # fmt: skip
    both = sorted(set(file.vary) & set(file.change))
    if both:
        raise BadInput("a factor stands in vary and in change", file=path, field=f"change.{both[0]}")
    files = _files(book_path.parent, (book, plain(data).get("vary", {})))
    parts = (setwright.__version__, text, book_text, *(f"{name} {len(files[name])}" for name in sorted(files)))
    digest = hashlib.sha256("\0".join(parts).encode())
    for name in sorted(files):
        digest.update(files[name])
    study = Study(file, book, files, digest.hexdigest())
    if study.rows > MOST_ROWS:
        raise BadInput("too many cases", file=path, found=f"{study.rows:,}", allowed=f"at most {MOST_ROWS:,}")
    return study


def _book_path(path: Path, name: str) -> Path:
    found = path.resolve().parent / name
    if not found.is_file():
        raise BadInput("no such line book", file=path, field="book", found=name, allowed="a file beside the study")
    return found


def _files(folder: Path, data: Any) -> dict[str, bytes]:
    """Files beside the book that are named anywhere in it."""
    found: dict[str, bytes] = {}
    for text in _texts(data):
        if len(text) > 200 or "\0" in text or Path(text).is_absolute() or ".." in Path(text).parts:
            continue
        for name in (text, f"{text}.yaml"):
            place = folder / name
            if name not in found and place.is_file() and place.stat().st_size <= MOST_BYTES:
                found[name] = place.read_bytes()
    if sum(map(len, found.values())) > MOST_BYTES:
        raise BadInput("the files that the book names are too large for a study", allowed=f"{MOST_BYTES:,} bytes")
    return found


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, Mapping):
        for value in data.values():
            yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)


def patched(book: Mapping[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    """A copy of the book's data with some fields written.

    Parameters
    ----------
    book : mapping
        Data of a line book.
    fields : mapping
        Field by its steps with dots between, such as `sites.ridge.ground.layers.0.soil`; an entry of a list goes by
        its number from 0 or by its id. What a step leads to must be there, but for the last one.

    Raises
    ------
    BadInput
        For a step that leads nowhere.
    """
    made: dict[str, Any] = deepcopy(dict(book))
    for field, value in fields.items():
        steps = field.split(".")
        place: Any = made
        for step in steps[:-1]:
            place = place[_step(place, step, field)]
        last = steps[-1]
        if isinstance(place, dict):
            place[last] = deepcopy(value)
        else:
            place[_step(place, last, field)] = deepcopy(value)
    return made


def _step(place: Any, step: str, field: str) -> Any:
    if isinstance(place, dict):
        if step in place:
            return step
        raise BadInput("the book has no such field", field=field, found=step, allowed=", ".join(map(str, place)))
    if isinstance(place, list):
        if step.isdecimal() and int(step) < len(place):
            return int(step)
        ids = [str(one.get("id")) if isinstance(one, dict) else "" for one in place]
        if step in ids:
            return ids.index(step)
        raise BadInput(
            "the list has no such entry", field=field, found=step, allowed=f"0 to {len(place) - 1}, or an id"
        )
    raise BadInput("nothing lies below this field", field=field, found=step)


def cases(study: Study) -> list[tuple[int, dict[str, str], dict[str, Any]]]:
    """Every task: which repeat, the level of every factor of the book, and the fields that these write."""
    found = []
    names = list(study.file.vary)
    for repeat in range(study.file.repeats):
        for chosen in itertools.product(*(levels(study.file.vary[name]).items() for name in names)):
            fields: dict[str, Any] = {}
            for _, one in chosen:
                fields.update(one)
            found.append((repeat, {name: level for name, (level, _) in zip(names, chosen, strict=True)}, fields))
    return found


def changes(study: Study) -> list[dict[str, str]]:
    """Every combination of changes on the rig."""
    names = list(study.file.change)
    return [dict(zip(names, one, strict=True)) for one in itertools.product(*study.file.change.values())]
