"""A sheet of paper: template, data and the program's own typefaces become one PDF."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

import typst

from setwright.sheets import fonts
from setwright.sheets.speech import UNREAD, translator, wants_reader

WEIGHTS = (("Archivo Narrow", 400), ("Archivo Narrow", 600), ("Andada Pro", 600))


SAID = re.compile(r'say\("([^"]+)"')


def words_of(template: str) -> list[str]:
    """Fixed words of a template that can be put into another language, once each and in order."""
    text = (files("setwright.sheets") / "templates" / template).read_text(encoding="utf-8")
    return list(dict.fromkeys(SAID.findall(text)))


def spoken(template: str, language: str) -> dict[str, Any]:
    """Language of a sheet, its fixed words in it, and what is said where no native speaker has read them over."""
    put = translator(language)
    return {
        "lang": language,
        "words": {words: put(words) for words in words_of(template)},
        "unread": put(UNREAD) if wants_reader(language) else "",
    }


def typeset(template: str, data: Mapping[str, Any]) -> bytes:
    """PDF of a template by name, such as `card.typ`; the same data give the same bytes."""
    with tempfile.TemporaryDirectory(prefix="setwright-") as folder:
        for family, weight in WEIGHTS:
            (Path(folder) / f"{family}-{weight}.ttf".replace(" ", "")).write_bytes(fonts.paper_face(family, weight))
        sheet = Path(folder) / template
        sheet.write_bytes((files("setwright.sheets") / "templates" / template).read_bytes())
        made = typst.compile(
            sheet, root=Path(folder), font_paths=[Path(folder)], ignore_system_fonts=True, format="pdf",
            sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        )  # fmt: skip
    if not isinstance(made, bytes):
        raise TypeError(f"the typesetter gave {type(made).__name__} in place of one document")
    return made
