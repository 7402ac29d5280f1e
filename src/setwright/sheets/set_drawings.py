"""Drawings of one set as files: section, anchor and bed to scale, and the two curves of the pan."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from setwright.desk.document import SetPlan
from setwright.draw.curve import curve, nights
from setwright.draw.footing import footing
from setwright.draw.section import section
from setwright.draw.svg import standalone
from setwright.sheets.page import wait_strip
from setwright.sheets.svg_files import write_svgs

WIDTH, WIDE = 640.0, 900.0


def drawings_of_set(part: SetPlan) -> dict[str, str]:
    """Name of the file and SVG, black on white, of every drawing that this set has."""
    made: dict[str, Callable[[], str]] = {"section.svg": lambda: section(part.figure, WIDTH)}
    if part.level is not None or part.frost is not None:
        made["wait.svg"] = lambda: wait_strip(part, WIDTH)
    ground = part.footing
    if ground is not None:
        made["anchor-and-bed.svg"] = lambda: footing(ground.figure, WIDE)
    pan = part.trip_curve
    if pan is not None and pan.series:
        made["pan.svg"] = lambda: curve(pan, WIDTH)
        if pan.catch is not None:
            made["nights.svg"] = lambda: nights(pan, WIDTH)
    return {name: standalone(draw()) for name, draw in made.items()}


def write_set_drawings(part: SetPlan, folder: Path) -> list[Path]:
    """Write every drawing of the set as SVG into a folder; returns the files.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_svgs(drawings_of_set(part), folder)
