"""Drawings as files of their own that look the same in every viewer: the narrow letters go with them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from setwright.sheets.fonts import NOTICE, page_face
from setwright.sheets.write import write_files

FAMILY = "Archivo Narrow"


def with_letters(svg: str) -> str:
    """A stand-alone drawing with its typeface in it; labels were placed by its widths."""
    start = svg.index(">") + 1
    face = (
        f'@font-face{{font-family:"{FAMILY}";font-weight:400 700;'
        f"src:url(data:font/woff2;base64,{page_face(FAMILY)}) format('woff2')}}"
    )
    return f"{svg[:start]}<!-- {NOTICE} --><style>{face}</style>{svg[start:]}"


def write_svgs(drawn: Mapping[str, str], folder: Path) -> list[Path]:
    """Write stand-alone drawings by name into a folder, all or none; returns the files.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_files({name: with_letters(text).encode("utf-8") for name, text in drawn.items()}, folder)
