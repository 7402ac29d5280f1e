"""Teaching pictures filled from tables, patterns and readings: one call by name for sheets, lessons and pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.bench import bench
from setwright.desk.bench_document import BenchSheet
from setwright.desk.document import SumLine
from setwright.desk.picture_measures import measures
from setwright.draw.pictures import PICTURES, Picture
from setwright.draw.plate import Given
from setwright.sheets.bench import frames_of, postures_of, shape_of

# The patterns that stand for their family where no trap of one's own is shown.
COIL, LONG = "coil-1.75", "long-2"
WIDTH, PHONE = 700.0, 350.0


@cache
def _sheet(what: str, book: Path | None) -> BenchSheet:
    return bench(what, book=book, frame_step=0.002, drawn_too=True)


def given(
    *,
    coil: str = COIL,
    long: str = LONG,
    book: Path | None = None,
    total: list[SumLine] | None = None,
    width: float = WIDTH,
    tallest: float = 420.0,
    say: Callable[[str], str] | None = None,
) -> Given:
    """What pictures are drawn from.

    Parameters
    ----------
    coil, long : str
        Pattern, or tag of the outfit when a book is given.
    book : Path, optional
        Line book whose outfit has the tags.
    total : list of SumLine, optional
        Depth sum of a set; blanks without.
    width, tallest : float [px]
        Size of the drawing.
    say : callable, optional
        Gives a sentence in the language of the sheet.

    """
    first = _sheet(coil, None if coil == COIL else book)
    second = _sheet(long, None if long == LONG else book)
    filled = Given(
        width=width, tallest=tallest, coil=shape_of(first), long=shape_of(second), coil_postures=postures_of(first),
        long_postures=postures_of(second), frames=frames_of(first), measures=measures(total),
    )  # fmt: skip
    return filled if say is None else replace(filled, say=say)


def find(name: str) -> Picture:
    """A picture by name.

    Raises
    ------
    BadInput
        When there is none of that name, with the names that there are.
    """
    if name not in PICTURES:
        raise BadInput("no such picture", field="picture", found=name, allowed=", ".join(PICTURES))
    return PICTURES[name]


def picture(name: str, filled: Given | None = None, *, width: float = WIDTH) -> str:
    """One teaching picture as SVG for a page; the page has the style and the hatches.

    Parameters
    ----------
    name : str
        Such as `hand-place`; `PICTURES` has them all.
    filled : Given, optional
        What it is drawn from; patterns and tables of the program when not given.
    width : float [px]
        Width of the drawing; 350 for a phone.

    """
    chosen = find(name)
    base = given() if filled is None else filled
    # A narrow page scrolls: what stands side by side elsewhere stands beneath.
    tallest = max(base.tallest, 1.9 * width) if width < 480.0 else base.tallest
    return chosen.draw(replace(base, width=width, tallest=tallest))


def picture_keys(name: str, filled: Given | None = None) -> list[tuple[str, str]]:
    """Letters of the narrow drawing with their words; empty where the names stand on the drawing."""
    return find(name).keys(given() if filled is None else filled)


def captions() -> Mapping[str, tuple[str, str]]:
    """Title and caption of every picture by name."""
    return {name: (one.title, one.caption) for name, one in PICTURES.items()}
