"""The language of pages and sheets: every message passes through a catalogue, and stays English where that has none.

A catalogue is a gettext file, `data/languages/<language>.po` or one's own. Its header field `X-Reader` says whether
somebody whose own language it is has read it; a page or sheet in a language without such a reader says so.

Messages without a context are fixed words of templates and sheets. With the context `said` they are words that are
computed: fixed words such as a standing, or sentences with `{name}` for every figure in them.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput

ENGLISH = "en"
READER, WANTED, NAME = "X-Reader", "wanted", "X-Name"
SAID = "said"
# Stands on every sheet and page in a language that nobody has read over.
UNREAD = "Translated in part, and not yet read over by a native speaker. Where it differs, the English sheet stands."
# Bytes of a catalogue of one's own.
LONGEST = 4_000_000
_NAME = re.compile(r"[a-z]{2,3}(_[A-Z]{2})?")
_HELD = re.compile(r"(\{[a-z_0-9]+\}|</?\d+>)")

Say = Callable[[str], str]


def _same(words: str) -> str:
    return words


def placeholders(message: str) -> list[str]:
    """What a message holds places for, in a fixed order: `{name}`, `<1>` and `</1>`."""
    return sorted(_HELD.findall(message))


@dataclass(frozen=True)
class Catalogue:
    """Messages of one language.

    Parameters
    ----------
    language : str
        Such as `es`.
    name : str
        What it is called in itself.
    read : bool
        Whether somebody whose own language it is has read it.
    fixed : dict
        Fixed words of templates and sheets by their English.
    said : dict
        Computed words by their English.
    patterns : list
        Computed sentences with figures in them: what they look like, and what they become.

    """

    language: str
    name: str
    read: bool
    fixed: dict[str, str]
    said: dict[str, str] = field(default_factory=dict)
    patterns: list[tuple[re.Pattern[str], str]] = field(default_factory=list)

    def put(self, words: str) -> str:
        """Fixed words in this language, or as they are."""
        return self.fixed.get(words, words)

    def put_computed(self, words: str) -> str:
        """Computed words in this language, or as they are.

        A single word is looked up among computed words alone: a site may be called like a heading.
        """
        told = self.said.get(words)
        if told is None and " " in words:
            told = self.fixed.get(words) or _by_pattern(self.language, words)
        return words if told is None else told


_own: dict[str, Path] = {}
_SPOKEN: ContextVar[str] = ContextVar("spoken", default=ENGLISH)


def languages() -> tuple[str, ...]:
    """Languages that can be asked for, English first."""
    folder = files("setwright") / "data" / "languages"
    found = {entry.name.removesuffix(".po") for entry in folder.iterdir() if entry.name.endswith(".po")}
    return (ENGLISH, *sorted(found | set(_own)))


def language_names() -> list[tuple[str, str]]:
    """Every language with what it is called in itself."""
    return [(one, "English" if one == ENGLISH else catalogue(one).name) for one in languages()]


def named(language: str) -> str:
    """The language itself, when there is a catalogue of it.

    Raises
    ------
    BadInput
        When there is none.
    """
    if language not in languages():
        raise BadInput(
            "no catalogue of this language", field="language", found=language, allowed=", ".join(languages())
        )
    return language


def own_catalogue(path: Path) -> str:
    """Take in a catalogue of one's own; gives its language. It goes before one that comes along.

    Raises
    ------
    BadInput
        When it cannot be read, with its line, or when a message lacks a placeholder.
    """
    found = read_catalogue(path)
    _own[found.language] = path
    catalogue.cache_clear()
    _by_pattern.cache_clear()
    return found.language


def read_catalogue(path: Path) -> Catalogue:
    """Read a catalogue from a file.

    Raises
    ------
    BadInput
        When it cannot be read, with its line, or when a message lacks a placeholder.
    """
    try:
        size = path.stat().st_size
        if size > LONGEST:
            raise BadInput("too long for a catalogue", file=path, found=f"{size} bytes", allowed=f"{LONGEST} bytes")
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput("the catalogue cannot be read", file=path, found=str(error), allowed="UTF-8 text") from None
    return _read(text, path)


@cache
def catalogue(language: str) -> Catalogue:
    """The catalogue of a language other than English."""
    if language in _own:
        return read_catalogue(_own[language])
    place = files("setwright") / "data" / "languages" / f"{language}.po"
    return _read(place.read_text(encoding="utf-8"), Path(f"{language}.po"))


def _read(text: str, path: Path) -> Catalogue:
    polib: Any = importlib.import_module("polib")
    if not re.search(r'^\s*(#|msg|")', text, re.MULTILINE):
        raise BadInput("this is no catalogue", file=path, found="no message in it", allowed="a gettext file (.po)")
    try:
        found = polib.pofile(text)
    except (OSError, ValueError, IndexError, UnicodeError) as error:
        line = re.search(r"line (\d+)", str(error))
        raise BadInput(
            "this is no catalogue", file=path, line=int(line[1]) if line else None, allowed="a gettext file (.po)"
        ) from None
    language = str(found.metadata.get("Language", "")).strip()
    if not _NAME.fullmatch(language) or language == ENGLISH:
        raise BadInput(
            "the head of a catalogue names its language", file=path, field="Language", found=language or "nothing",
            allowed="two letters such as es",
        )  # fmt: skip
    fixed: dict[str, str] = {}
    said: dict[str, str] = {}
    patterns: list[tuple[re.Pattern[str], str]] = []
    for entry in found:
        if not entry.msgstr or entry.obsolete or "fuzzy" in entry.flags:
            continue
        if placeholders(entry.msgid) != placeholders(entry.msgstr):
            raise BadInput(
                "the same places for figures and markup must stand in both", file=path, line=entry.linenum,
                field=entry.msgid[:60], found=" ".join(placeholders(entry.msgstr)) or "none",
                allowed=" ".join(placeholders(entry.msgid)) or "none",
            )  # fmt: skip
        if entry.msgctxt != SAID:
            fixed[entry.msgid] = entry.msgstr
        elif placeholders(entry.msgid):
            patterns.append((pattern_of(entry.msgid), entry.msgstr))
        else:
            said[entry.msgid] = entry.msgstr
    head = found.metadata
    return Catalogue(language, head.get(NAME, language), head.get(READER, WANTED) != WANTED, fixed, said, patterns)


def pattern_of(message: str) -> re.Pattern[str]:
    """What a computed sentence looks like: any figure or name, on one line, in each of its places."""
    parts = [
        f"(?P<{part[1:-1]}>.{{1,200}}?)" if part.startswith("{") else re.escape(part) for part in _HELD.split(message)
    ]
    return re.compile("".join(parts))


@lru_cache(maxsize=4000)
def _by_pattern(language: str, words: str) -> str | None:
    """A computed sentence by the first pattern that it follows, its parts in the language too."""
    known = catalogue(language)
    for pattern, told in known.patterns:
        found = pattern.fullmatch(words)
        if found is not None:
            parts = {name: known.put_computed(value) for name, value in found.groupdict().items()}
            return "".join(parts[part[1:-1]] if part.startswith("{") else part for part in _HELD.split(told))
    return None


def translator(language: str = ENGLISH) -> Say:
    """What takes English fixed words and gives them in a language; words that are in no catalogue stay as they are.

    Parameters
    ----------
    language : str
        Two letters, such as `es`.

    Raises
    ------
    BadInput
        When there is no catalogue of that language.

    """
    return _same if named(language) == ENGLISH else catalogue(language).put


def wants_reader(language: str) -> bool:
    """Whether a catalogue still waits for somebody whose own language it is."""
    return language != ENGLISH and not catalogue(language).read


@contextmanager
def spoken_in(language: str) -> Iterator[None]:
    """Speak a language within this block; set by the surfaces, for a whole answer.

    Raises
    ------
    BadInput
        When there is no catalogue of that language.
    """
    token = _SPOKEN.set(named(language))
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def spoken() -> str:
    """The language that is spoken now."""
    return _SPOKEN.get()


def say(words: str) -> str:
    """Computed words in the language that is spoken now."""
    language = _SPOKEN.get()
    return words if language == ENGLISH else catalogue(language).put_computed(words)


def unread() -> str:
    """What a page in the language that is spoken now says of it; nothing where a native speaker has read it."""
    language = _SPOKEN.get()
    return catalogue(language).put(UNREAD) if wants_reader(language) else ""
