"""Bench card: all that is known of one trap on one sheet, black first, to hang beside the bench.

Words go to the typesetter as values, never as markup. A card that holds more than its sheet sheds in a fixed order
(remarks, then rows, with a line that says how many); cautions and lines to sign stay; type is never under 11 pt.
"""

from __future__ import annotations

import io
import json
import tempfile
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from setwright.draw import svg
from setwright.draw.strip import strip, strip_note
from setwright.draw.trap_end import end_view
from setwright.draw.trap_frame import trap_keys
from setwright.draw.trap_plan import plan_view
from setwright.draw.trap_shape import Frames, Posture, TrapShape
from setwright.sheets import fonts
from setwright.sheets.cards import cut
from setwright.sheets.typeset import WEIGHTS

Paper = Literal["a5", "letter", "a4"]
Row = tuple[str, str, str]
Group = tuple[str, tuple[Row, ...]]

# Width and height of the sheet, and width of the writing inside its margins, mm. Drawings have so many pixels to a
# millimetre that 13.5 px, their smallest text, print at 11 pt or more.
_SHEETS: dict[Paper, tuple[float, float, float]] = {
    "a5": (148.0, 210.0, 129.0),
    "letter": (215.9, 279.4, 189.9),
    "a4": (210.0, 297.0, 184.0),
}
_PIXELS_PER_MM = 13.5 / 11.0 * 72.0 / 25.4 * 0.98
_COMPARATIVE = "Figures of force and time are comparative until calibrated by bench readings."


@dataclass(frozen=True, slots=True)
class BenchCard:
    """What stands on a bench card.

    Parameters
    ----------
    title : str
        The trap, with its tag.
    say : str
        The answer in one sentence; stands first.
    groups : tuple of (head, rows)
        Rows of (what, shown, note); the note says where the figure came from.
    remarks, cautions : tuple of str
        Sentences under the tables; cautions are never left out.
    shape : TrapShape or None
        For plan and end views; None leaves both out.
    postures : tuple of Posture
        States of the end view.
    frames : Frames or None
        For the closing strip.
    calibrated : bool
        False prints that figures are comparative.
    retest : str
        Date by which to pull the pan again, left to be written when empty.
    example : str
        Such as `invented example`, printed at the foot.
    printed : str
        When the card was made, as it shall be read.

    """

    title: str
    say: str
    groups: tuple[Group, ...] = ()
    remarks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    shape: TrapShape | None = None
    postures: tuple[Posture, ...] = ()
    frames: Frames | None = None
    calibrated: bool = False
    retest: str = ""
    example: str = ""
    printed: str = ""


def bench_card(card: BenchCard, paper: Paper = "a5") -> bytes:
    """Write the bench card as a PDF of one page.

    Parameters
    ----------
    card : BenchCard
        What stands on it.
    paper : {"a5", "letter", "a4"}
        Size of the sheet.

    Returns
    -------
    bytes
        The same bytes for the same card.

    """
    made = compile_card(card, paper, "pdf")
    if not isinstance(made, bytes):
        raise TypeError(f"the typesetter gave {type(made).__name__} in place of one document")
    return made


def compile_card(card: BenchCard, paper: Paper, kind: Literal["pdf", "png"], points_per_inch: float = 150.0) -> Any:
    """Set the card as a PDF, or as a picture of its page."""
    import typst

    source = (files("setwright.sheets") / "templates" / "bench.typ").read_bytes()
    data = json.dumps(_values(card, paper), ensure_ascii=False)
    with tempfile.TemporaryDirectory(prefix="setwright-") as folder:
        for family, weight in WEIGHTS:
            name = f"{family}-{weight}.ttf".replace(" ", "")
            (Path(folder) / name).write_bytes(_still(family, weight))
        sheet = Path(folder) / "bench.typ"
        sheet.write_bytes(source)
        return typst.compile(
            sheet,
            root=Path(folder),
            font_paths=[Path(folder)],
            ignore_system_fonts=True,
            format=kind,
            ppi=points_per_inch if kind == "png" else None,
            sys_inputs={"data": data},
        )


@cache
def _still(family: str, weight: int) -> bytes:
    """The typeface with its date of making set back, so that the card is the same on every day."""
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(fonts.paper_face(family, weight)), recalcTimestamp=False)
    font["head"].modified = font["head"].created
    held = io.BytesIO()
    font.save(held)
    return held.getvalue()


def _values(card: BenchCard, paper: Paper) -> dict[str, Any]:
    """The card as plain values for the typesetter."""
    wide, high, writing = _SHEETS[paper]
    pixels = writing * _PIXELS_PER_MM
    foot = [part for part in (card.example, card.printed and f"printed {card.printed}") if part]
    return {
        "paper": {"width": wide, "height": high, "writing": writing, "small": paper == "a5"},
        "title": cut(card.title, 70),
        "say": cut(card.say, 220),
        "views": _views(card, pixels, small=paper == "a5"),
        "keys": [] if card.shape is None else _keys(card.shape, sizes=paper != "a5"),
        "groups": [[cut(head, 40), [[cut(part, 60) for part in row] for row in rows]] for head, rows in card.groups],
        "flat": _flat(card.groups[1:], 44 if paper == "a5" else 60),
        "remarks": [cut(remark, 240) for remark in card.remarks],
        "cautions": [cut(caution, 240) for caution in card.cautions],
        "comparative": "" if card.calibrated else _COMPARATIVE,
        "retest": cut(card.retest, 30),
        "foot": cut("; ".join(foot), 90),
    }


def _keys(shape: TrapShape, *, sizes: bool) -> list[list[str]]:
    """Letters with their words; on the small sheet the sizes stand in the tables only."""
    return [[letter, cut(words if sizes else words.split(", ")[0], 60)] for letter, words in trap_keys(shape)]


def _flat(groups: tuple[Group, ...], most: int) -> list[list[Any]]:
    """All rows in their order, each with its rank: the first of every table ranks before the second of any."""
    placed = [
        (depth, number, row if depth or _told(head, row[0]) else (f"{head}: {row[0]}", *row[1:]))
        for number, (head, rows) in enumerate(groups)
        for depth, row in enumerate(rows)
    ]
    rank = {key: index for index, key in enumerate(sorted((depth, number) for depth, number, _ in placed))}
    return [[rank[depth, number], *(cut(part, most) for part in row)] for depth, number, row in placed]


def _told(head: str, what: str) -> bool:
    """The first word of the table's head is in the row's own words already."""
    return head.split()[:1] != [] and head.split()[0].lower() in what.lower()


def _views(card: BenchCard, pixels: float, *, small: bool) -> dict[str, Any]:
    """The drawings, each in black on white, with what a reader who cannot see them is told."""
    found: dict[str, Any] = {"share": 0.0, "plan": "", "end": "", "strip": "", "note": ""}
    if card.shape is None:
        return found
    # A long-spring lying straight is three times as wide as high.
    straight = card.shape.family == "long" and card.shape.leaf_turn < 0.5
    found["share"] = 0.62 if straight else 0.46
    tall = 150.0 if small else 230.0
    found["plan"] = svg.standalone(plan_view(card.shape, found["share"] * pixels, tall, letters=True))
    if card.postures:
        # The small sheet has its figures in the tables only.
        states = [replace(posture, note="") for posture in card.postures] if small else card.postures
        found["end"] = svg.standalone(end_view(card.shape, states, pixels, 152.0 if small else 205.0, letters=True))
    if card.frames is not None:
        found["strip"] = svg.standalone(strip(card.shape, card.frames, pixels, narrowest=27.0 if small else 40.0))
        found["note"] = strip_note(card.frames)
    return found
