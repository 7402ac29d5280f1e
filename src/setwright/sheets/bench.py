"""The bench sheet on paper and as drawings: glue between what the desk tells and what is drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise
from pathlib import Path
from typing import Literal

from setwright.basis.errors import BadInput
from setwright.desk.bench_document import BenchSheet, Grips, Shape, SlowMotion
from setwright.draw import svg
from setwright.draw.slow_motion import Room, longest, moves, room_of, slow_motion
from setwright.draw.strip import strip
from setwright.draw.trap_axes import Curve
from setwright.draw.trap_curves import Grip, angle_curve, clamp_curve, push_curves
from setwright.draw.trap_end import end_view
from setwright.draw.trap_plan import plan_view
from setwright.draw.trap_shape import Frames, Posture, TrapShape
from setwright.sheets.bench_card import BenchCard, Paper, bench_card
from setwright.sheets.svg_files import write_svgs
from setwright.sheets.write import write_files

PAPERS: tuple[Paper, ...] = ("a5", "letter", "a4")
_WIDTH, _PHONE = 720.0, 350.0
_STATES_ON_A5 = 3
# Rows that the card has room for, by the head of their table; the sheet has them all.
_ON_CARD: dict[str, tuple[str, ...]] = {
    "The trap": ("jaw spread", "jaws", "springs", "swivel"),
    "Closing": ("closing time", "speed of the bar", "jaws leave the loop"),
    "Grip at the bars": ("limb asked for", "a thin toe", "edge of", "loop over the angle"),
    "Force to set it": ("one lever", "a setter", "both feet"),
    "Trigger": ("pull the pan again, lying wet", "pan", "force on the dog", "notch"),
    "Where it gives way": ("force at the bars",),
    "Springs": ("when set", "share of tensile"),
}


def shape_of(found: BenchSheet) -> TrapShape:
    """Dimensions as a drawing takes them."""
    return _shape(found.shape)


def _shape(told: Shape) -> TrapShape:
    return TrapShape(**told.model_dump())


def frames_of(found: BenchSheet) -> Frames | None:
    """The slow motion as a drawing takes it."""
    return _frames(found.frames, found.shape)


def _frames(motion: SlowMotion | None, told: Shape) -> Frames | None:
    if motion is None:
        return None
    return Frames(
        times=tuple(motion.times),
        angles=tuple(zip(motion.loose_jaw, motion.dogged_jaw, strict=True)),
        loop_height=tuple(motion.loop_height),
        lever_angle=None if told.family == "long" else tuple(motion.loop_coordinate),
        contact_force=tuple(motion.force_dogged),
        separated=tuple(motion.apart),
    )


@dataclass(frozen=True, slots=True)
class Moving:
    """The closing of one trap, or of a trap before and after changes, for a page.

    Parameters
    ----------
    drawings : tuple of str
        One a trap, all at one scale, with the course of every part for the script that moves them.
    strips : tuple of (name, drawing, drawing)
        The same in still frames, wide and for a phone: what prints, and what who wants no motion gets.
    end : float [ms]
        When the slowest of them has closed.

    """

    drawings: tuple[str, ...]
    strips: tuple[tuple[str, str, str], ...]
    end: float


def moving(found: BenchSheet, *, name: str = "as it is") -> Moving | None:
    """The slow motion of a sheet with its changed traps beside it; None when nothing closes."""
    traps = [(name, shape_of(found), frames_of(found))]
    for one in found.what_if:
        if one.shape is not None:
            traps.append((one.words, _shape(one.shape), _frames(one.frames, one.shape)))
    closing = [(shape, frames) for _, shape, frames in traps if frames is not None and moves(frames)]
    if not closing:
        return None
    room = reduce(Room.with_, (room_of(shape, frames) for shape, frames in closing))
    return Moving(
        drawings=tuple(slow_motion(shape, frames, words, room) for words, shape, frames in traps),
        strips=tuple(
            (words, strip(shape, frames, _WIDTH), strip(shape, frames, _PHONE))
            for words, shape, frames in traps
            if frames is not None
        ),
        end=1000.0 * longest([frames for _, frames in closing]),
    )


def postures_of(found: BenchSheet) -> tuple[Posture, ...]:
    """Set, half way, closed and empty: three instants of the slow motion."""
    motion = found.frames
    if motion is None:
        return ()
    end = len(motion.times) - 1
    half = min(range(end + 1), key=lambda at: abs(motion.loose_jaw[at] - 0.25 * math.pi))

    def at(name: str, index: int, *, held: bool = False) -> Posture:
        angles = (motion.loose_jaw[index], motion.dogged_jaw[index])
        return Posture(name, angles, motion.loop_height[index], held=held)

    found_at = (at("set", 0, held=True), at("half way", half), at("closed, empty", end))
    if found.on_limb is None:
        return found_at
    angle, height = found.on_limb
    return (*found_at, Posture("on a limb", (angle, angle), height, limb=found.limb, note=_grip_words(found)))


def _grip_words(found: BenchSheet) -> str:
    """Grip on the limb, as the sheet words it."""
    rows = [row for part in found.parts for row in part.rows if row.what.startswith("limb asked for")]
    return rows[0].shown if rows else ""


def card_of(found: BenchSheet, *, example: str = "") -> BenchCard:
    """The bench card of a sheet."""
    groups = tuple(
        (
            head,
            tuple(
                (row.what, row.shown, _short(row.note))
                for start in kept
                for row in part.rows
                if row.what.startswith(start)
            ),
        )
        for head, kept in _ON_CARD.items()
        for part in found.parts
        if part.head == head
    )
    told = found.calibration
    following = [f"Read next: {one.reading} ({one.how})." for one in told.next[:1]]
    return BenchCard(
        title=found.title,
        say=found.say,
        groups=groups,
        remarks=(*told.disagree, *found.remarks, *following),
        cautions=tuple(found.cautions),
        shape=shape_of(found),
        postures=postures_of(found),
        frames=frames_of(found),
        calibrated=told.standing.get("closing_time") == "absolute",
        example=example,
    )


def _short(note: str) -> str:
    """The first part of a note: a card has no room for more."""
    return note.split(";")[0].split(" (")[0].split(",")[0]


def drawings_of(found: BenchSheet, width: float = _WIDTH) -> dict[str, str]:
    """Every drawing of the sheet by file name, as SVG that stands by itself."""
    return {name: svg.standalone(drawing) for name, drawing in drawn(found, width).items()}


def drawn(found: BenchSheet, width: float = _WIDTH) -> dict[str, str]:
    """The same drawings for a page that has the style and the hatches."""
    shape, frames = shape_of(found), frames_of(found)
    made = {"trap-plan.svg": plan_view(shape, width)}
    postures = postures_of(found)
    if postures:
        made["trap-end.svg"] = end_view(shape, postures, width)
    if frames is not None:
        made["trap-strip.svg"] = strip(shape, frames, width)
    curves = found.curves
    if curves is not None:
        push = Curve(found.trap, tuple(zip(curves.angle, curves.push, strict=True)))
        leverage = Curve(found.trap, tuple(zip(curves.angle, curves.leverage, strict=True)))
        made["trap-push.svg"] = push_curves([push], [leverage], width, where="at the bar")
        way = tuple(zip(curves.time, curves.time_angle, strict=True))
        made["trap-time.svg"] = angle_curve([Curve(found.trap, way)], width, _parting(curves.separation_angle, way))
    if found.grips is not None:
        grips = [_grip("before its readings", found.grips_before, "before")] if found.grips_before is not None else []
        grips.append(_grip(found.trap, found.grips, "now"))
        made["trap-grip.svg"] = clamp_curve(grips, width, found.shape.offset_gap)
    return made


def _parting(angle: float | None, way: Sequence[svg.Point]) -> svg.Point | None:
    """Point of the motion at which the jaws leave the loop."""
    if angle is None:
        return None
    for (t0, a0), (t1, a1) in pairwise(way):
        if a0 <= angle <= a1 and a1 > a0:
            return t0 + (t1 - t0) * (angle - a0) / (a1 - a0), angle
    return None


def _grip(name: str, told: Grips, kind: Literal["now", "before"]) -> Grip:
    """Curve of the grip: infinity where it locks in most draws, NaN where nothing is held."""
    closing = tuple(math.nan if x is None or x <= 0 else x for x in told.closing)
    opening = tuple(
        math.nan if math.isnan(low) else math.inf if high is None or locked > 0.5 else high
        for low, high, locked in zip(closing, told.opening, told.locked, strict=True)
    )
    return Grip(name, tuple(told.limb), closing, opening, kind)


def write_card(found: BenchSheet, path: Path, paper: str, *, example: str = "") -> Path:
    """Write the bench card as a PDF; returns its path.

    Raises
    ------
    BadInput
        For a paper that is not known, and when the file cannot be written.
    """
    known = next((one for one in PAPERS if one == paper), None)
    if known is None:
        raise BadInput("no such paper", field="--paper", found=paper, allowed=", ".join(PAPERS))
    card = card_of(found, example=example)
    if known == "a5" and len(card.postures) > _STATES_ON_A5:
        # The state half way is in the strip as well.
        card = replace(card, postures=tuple(state for state in card.postures if state.name != "half way"))
    return write_files({path.name: bench_card(card, known)}, path.parent)[0]


def write_drawings(found: BenchSheet, folder: Path) -> list[Path]:
    """Write every drawing of the sheet as SVG into a folder; returns the files.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_svgs(drawings_of(found), folder)
