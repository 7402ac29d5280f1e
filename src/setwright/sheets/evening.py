"""Drawings of an evening as files."""

from __future__ import annotations

from pathlib import Path

from setwright.desk.tonight_document import Tonight
from setwright.draw import svg
from setwright.draw.frost_strip import coming_strip, frost_strip
from setwright.draw.level_strip import level_strip
from setwright.draw.section import section
from setwright.sheets.svg_files import write_svgs

WIDTH = 720.0


def evening_drawings(found: Tonight, width: float = WIDTH) -> dict[str, str]:
    """Every drawing of the evening by its file name, in black on white for paper."""
    made: dict[str, str] = {}
    for one in found.sets:
        name = f"{one.number:02d}-{one.site}"
        if one.frost is not None:
            made[f"{name}-frost.svg"] = frost_strip(one.frost, width, one.cover)
        if one.level is not None:
            made[f"{name}-level.svg"] = level_strip(one.level, width)
        if one.figure is not None and len(one.figure.bed) >= 2:
            made[f"{name}-section.svg"] = section(one.figure, width)
    if found.coming is not None:
        made["coming-nights.svg"] = coming_strip(found.coming, width)
    return {name: svg.standalone(drawing) for name, drawing in made.items()}


def write_evening_drawings(found: Tonight, folder: Path) -> list[Path]:
    """Write every drawing of the evening as SVG into a folder; returns the files.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_svgs(evening_drawings(found), folder)
