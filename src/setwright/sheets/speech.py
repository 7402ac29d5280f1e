"""The language of a printed sheet: every sentence passes through a catalogue, and stays English where that has none.

A catalogue is a gettext file `data/languages/<language>.po`. Its header field `X-Reader` says whether somebody whose
own language it is has read it; a sheet in a language without such a reader says so.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from typing import Any

from setwright.basis.errors import BadInput

ENGLISH = "en"
READER, WANTED = "X-Reader", "wanted"
# Stands on every sheet in a language that nobody has read over.
UNREAD = "Translated in part, and not yet read over by a native speaker. Where it differs, the English sheet stands."

Say = Callable[[str], str]


def _same(words: str) -> str:
    return words


def languages() -> tuple[str, ...]:
    """Languages that a sheet can be asked in, English first."""
    folder = files("setwright") / "data" / "languages"
    found = sorted(entry.name.removesuffix(".po") for entry in folder.iterdir() if entry.name.endswith(".po"))
    return (ENGLISH, *found)


@cache
def _catalogue(language: str) -> Any:
    polib: Any = importlib.import_module("polib")
    text = (files("setwright") / "data" / "languages" / f"{language}.po").read_text(encoding="utf-8")
    return polib.pofile(text)


@cache
def _known(language: str) -> dict[str, str]:
    return {entry.msgid: entry.msgstr for entry in _catalogue(language) if entry.msgstr and not entry.obsolete}


def translator(language: str = ENGLISH) -> Say:
    """What takes an English sentence and gives it in a language; a sentence that is in no catalogue stays as it is.

    Parameters
    ----------
    language : str
        Two letters, such as `es`.

    Raises
    ------
    BadInput
        When there is no catalogue of that language.

    """
    if language == ENGLISH:
        return _same
    if language not in languages():
        raise BadInput(
            "no catalogue of this language", field="language", found=language, allowed=", ".join(languages())
        )
    known = _known(language)
    return lambda words: known.get(words, words)


def wants_reader(language: str) -> bool:
    """Whether a catalogue still waits for somebody whose own language it is."""
    return language != ENGLISH and _catalogue(language).metadata.get(READER, WANTED) == WANTED
