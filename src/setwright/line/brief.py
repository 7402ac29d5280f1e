"""What a log entry needs of a line book, read in a hurry: names, zone, targets, traps; the rest is not checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput

LIMIT = 5_000_000


@dataclass(frozen=True, slots=True)
class BriefSite:
    """A site as the log speaks of it; None is what the book leaves open."""

    key: str
    number: int
    name: str
    target: str
    medium: str
    set_type: str | None
    cover: str | None
    trap: str | None
    anchor: str | None
    chain: str | None


@dataclass(frozen=True, slots=True)
class Brief:
    """Names of a line book: its sites in order, rig of every trap, animals of its own."""

    name: str
    zone: ZoneInfo
    sites: tuple[BriefSite, ...]
    rigs: Mapping[str, str]
    animals: tuple[str, ...]

    def site(self, word: str) -> BriefSite | None:
        """The site of an id or a number."""
        return next((site for site in self.sites if word in (site.key, str(site.number))), None)


def expand(ids: str, count: int) -> list[str]:
    """Names of `count` alike traps that start at `ids`: ('T-07', 3) -> T-07, T-08, T-09."""
    if count == 1:
        return [ids]
    match = re.search(r"(\d+)$", ids)
    if match is None:
        return [f"{ids}-{number}" for number in range(1, count + 1)]
    stem, width = ids[: match.start()], len(match.group(1))
    return [f"{stem}{int(match.group(1)) + step:0{width}d}" for step in range(count)]


def rig_name(pattern: str, jaws: str | None, springs: int | None) -> str:
    """Name of a rig as the log groups by it: pattern, jaws, springs, with what the book says of them."""
    parts = [pattern, jaws or "", f"{springs} spring{'s' if springs > 1 else ''}" if springs else ""]
    return ", ".join(part for part in parts if part)


def read_brief(path: Path) -> Brief:
    """Read the names of a line book.

    Anything out of the ordinary sends the book through `read_book`, which says what is wrong with it.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed.
    """
    try:
        if path.stat().st_size <= LIMIT:
            return _brief(_plain(path))
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        pass
    from setwright.line.book import read_book

    book, _ = read_book(path)
    return _brief(book.model_dump(mode="json", by_alias=True))


def units_of(path: Path) -> str:
    """Units in which the figures of a book are to be shown, read in a hurry; US where it does not say."""
    try:
        if path.is_file() and path.stat().st_size <= LIMIT:
            return "metric" if _plain(path)["line"]["units"] == "metric" else "us"
    except (OSError, ValueError, KeyError, TypeError):
        pass
    return "us"


def _plain(path: Path) -> Any:
    state = path.stat()
    return _read(path.resolve(), state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=4)
def _read(path: Path, changed: int, size: int) -> Any:
    """What stands in a book as it is; whoever asks again and again has it read once, and changes nothing in it."""
    del changed, size
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        return YAML(typ="safe", pure=False).load(path.read_text(encoding="utf-8-sig"))
    except (YAMLError, RecursionError) as error:
        raise ValueError("not readable") from error


def _brief(data: Mapping[str, Any]) -> Brief:
    if data["schema"] != "setwright/line-book/1":
        raise ValueError("another version")
    rigs: dict[str, str] = {}
    for entry in data["outfit"].get("traps") or ():
        name = rig_name(str(entry["pattern"]), entry.get("jaws"), entry.get("springs"))
        rigs |= dict.fromkeys(expand(str(entry["id"]), int(entry.get("count") or 1)), name)
    sites = tuple(_site(entry, number) for number, entry in enumerate(data["sites"], start=1))
    if len({site.key for site in sites}) < len(sites):
        raise ValueError("a name stands twice")
    return Brief(
        str(data["line"]["name"]), ZoneInfo(data["line"].get("timezone") or "UTC"), sites, rigs,
        tuple(str(key) for key in data.get("animals") or ()),
    )  # fmt: skip


def _site(entry: Mapping[str, Any], number: int) -> BriefSite:
    rig = entry.get("rig") or {}
    cover = entry.get("cover") or {}
    return BriefSite(
        key=str(entry["id"]), number=number, name=str(entry["name"]), target=str(entry["target"]),
        medium=str(entry["medium"]), set_type=_known(entry.get("set_type")), cover=_known(cover.get("kind")),
        trap=_known(rig.get("trap")), anchor=_known(rig.get("anchor")), chain=_known(rig.get("chain")),
    )  # fmt: skip


def _known(found: Any) -> str | None:
    return None if found is None else str(found)


def named_site(brief: Brief, word: str, file: Path) -> BriefSite:
    """The site of a word.

    Raises
    ------
    BadInput
        With the names that the book has.
    """
    found = brief.site(word)
    if found is None:
        raise BadInput(
            "no such site in the book", file=file, found=word, allowed=", ".join(site.key for site in brief.sites)
        )
    return found
