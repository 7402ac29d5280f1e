"""The closing as one drawing whose parts a script turns and lifts: jaws about their hinges, the loop up its legs.

The drawing holds the trap as it stands set, and the course of every part in steps of a tenth of a millisecond.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.draw import svg
from setwright.draw.strip import milliseconds
from setwright.draw.trap_frame import figure, refusal
from setwright.draw.trap_shape import Frames, Posture, TrapShape, cam_length, jaw_section, strips
from setwright.draw.trap_state import base_of, trigger_of

STEP = 0.0001
WIDTH = 340.0
_STEEL = "g inkw w-pap"
_STAYS = ' vector-effect="non-scaling-stroke"'


@dataclass(frozen=True, slots=True)
class Room:
    """What a moving trap takes up about its middle [m]: to either side, over the hinge line, and under it."""

    half: float
    top: float
    low: float

    def with_(self, other: Room) -> Room:
        """The room that holds both, so that two traps are drawn at one scale."""
        return Room(max(self.half, other.half), max(self.top, other.top), max(self.low, other.low))


def moves(frames: Frames | None) -> bool:
    """Whether there is a closing to show."""
    return (
        frames is not None
        and len(frames.times) > 1
        and math.isfinite(frames.times[-1])
        and all(math.isfinite(angle) for pair in frames.angles for angle in pair)
    )


def room_of(shape: TrapShape, frames: Frames) -> Room:
    """The room that a trap needs from the release to the end of its closing."""
    steepest = max((max(pair) for pair in frames.angles), default=0.0)
    outer = shape.hinge_half_distance + shape.outer + 0.5 * shape.leg_thickness
    half = max(outer + 0.08 * shape.spread, shape.base_half_width, shape.eye_half_opening + shape.edge_radius)
    jaws = shape.outer * math.sin(min(steepest, 0.5 * math.pi)) + shape.leg_thickness
    loop = max((height for height in frames.loop_height if math.isfinite(height)), default=0.0) + shape.edge_radius
    return Room(half, max(jaws, loop, 0.1 * shape.spread), shape.rise)


def steps_of(frames: Frames, step: float = STEP) -> tuple[list[float], list[tuple[float, float, float]]]:
    """Even instants [s] and the end of the closing; at each the loose jaw, the dogged jaw [rad], the loop [m].

    Parameters
    ----------
    frames : Frames
        Instants of the closing; a step lies on the straight line between the nearest two.
    step : float [s]
        Time from step to step.
    """
    end = frames.times[-1]
    count = max(math.ceil(end / step - 1e-9), 1)
    times = [*(index * step for index in range(count)), end]
    found: list[tuple[float, float, float]] = []
    place = 0
    for time in times:
        while place < len(frames.times) - 2 and frames.times[place + 1] < time:
            place += 1
        first, last = frames.times[place], frames.times[place + 1]
        share = 1.0 if last <= first else min(max((time - first) / (last - first), 0.0), 1.0)
        before = (*frames.angles[place], frames.loop_height[place])
        after = (*frames.angles[place + 1], frames.loop_height[place + 1])
        loose, dogged, loop = (low + share * (high - low) for low, high in zip(before, after, strict=True))
        found.append((loose, dogged, loop))
    return times, found


def slow_motion(shape: TrapShape, frames: Frames | None, name: str, room: Room | None = None) -> str:
    """Draw a trap as it stands set, with the course of its parts for the script that moves them.

    Parameters
    ----------
    shape : TrapShape
        Dimensions of the trap.
    frames : Frames or None
        Instants of the closing.
    name : str
        Caption.
    room : Room, optional
        What the drawing must hold; that of this trap when not given.

    Returns
    -------
    str
        The drawing, or words in its place when the trap does not close.

    """
    title = f"Closing of {name}, moving"
    if frames is None or not moves(frames):
        return refusal(WIDTH, title, f"{name}: as described it does not close.")
    room = room_of(shape, frames) if room is None else room
    times, course = steps_of(frames)
    per_metre = 0.5 * (WIDTH - 8.0) / room.half
    ground = 6.0 + (room.top + room.low) * per_metre
    scale = svg.Scale(0.0, 0.0, per_metre, 0.5 * WIDTH, ground - room.low * per_metre)
    cam = cam_length(shape, frames.loop_height)
    start = Posture(name, (course[0][0], course[0][1]), course[0][2], held=True)
    body = [
        *base_of(shape, scale),
        *_loop_behind(shape, scale, course[0][2]),
        _jaw(shape, scale, cam, "loose", -1.0, course[0][0]),
        _jaw(shape, scale, cam, "dogged", 1.0, course[0][1]),
        _edges(shape, scale, course[0][2]),
        f'<g data-part="trigger">{"".join(trigger_of(shape, start, scale))}</g>',
        svg.line([(4.0, ground), (WIDTH - 4.0, ground)], "g thin s-e"),
        svg.text(0.5 * WIDTH, ground + 18.0, name, "mid t-b"),
        svg.text(0.5 * WIDTH, ground + 37.0, "set", "mid f-p").replace("<text ", '<text data-part="said" ', 1),
    ]
    course_of_parts = {
        "end": f"{1000.0 * times[-1]:.4f}",
        "loose": _numbers([math.degrees(one[0]) for one in course]),
        "dogged": _numbers([math.degrees(one[1]) for one in course]),
        "loop": _numbers([-one[2] * per_metre for one in course]),
        "middle": svg.num(scale.y0),
        "ahead": _from(times[-1], frames),
    }
    held = " ".join(f'data-{key}="{value}"' for key, value in course_of_parts.items())
    said = f"Closed at {milliseconds(times[-1])} ms after the pan lets go; a script shows it 500 times slower."
    whole = f'<g class="moving" {held}>{"".join(body)}</g>'
    return figure(WIDTH, ground + 44.0, [whole], title, said)


def _numbers(values: Sequence[float]) -> str:
    return " ".join(f"{value:.2f}" for value in values)


def _from(end: float, frames: Frames) -> str:
    """Time [ms] from which the jaws run ahead of the loop; empty when they never do."""
    ahead = next((time for time, free in zip(frames.times, frames.ahead, strict=True) if free and time > 0.0), None)
    return "" if ahead is None or ahead > end else f"{1000.0 * ahead:.1f}"


def _jaw(shape: TrapShape, scale: svg.Scale, cam: float, part: str, side: float, angle: float) -> str:
    """A jaw in axes of its own, turned to where it stands."""
    k = scale.per_metre
    hinge = scale.at((side * shape.hinge_half_distance, 0.0))

    def own(path: Sequence[svg.Point]) -> list[svg.Point]:
        return [(s * k, -n * k) for s, n in path]

    seam = 0.5 * shape.offset_gap
    half = 0.5 * shape.leg_thickness
    drawn = [svg.area(own(outline), f"{_STEEL} {name}") for name, outline in strips(shape)]
    drawn.append(svg.area(own(jaw_section(shape, cam)), _STEEL))
    drawn.append(svg.line(own([(shape.height, half - seam), (shape.height, -half - seam)]), "g thin"))
    drawn.append(f'<circle class="f-i" r="{svg.num(max(0.18 * shape.leg_thickness * k, 1.4))}"/>')
    mirrored = " scale(-1 1)" if side < 0 else ""
    place = f"translate({svg.num(hinge[0])} {svg.num(hinge[1])}){mirrored}"
    turn = f"rotate({-math.degrees(angle):.2f})"
    return f'<g transform="{place}"><g data-part="{part}" transform="{turn}">{"".join(drawn)}</g></g>'


def _loop_behind(shape: TrapShape, scale: svg.Scale, height: float) -> list[str]:
    """The levers, one unit long and stretched to the loop, and the bar of the loop behind the jaws."""
    k, lift = scale.per_metre, -height * scale.per_metre
    wide = shape.eye_half_opening * k
    bar = svg.line([(scale.x0 - wide, scale.y0), (scale.x0 + wide, scale.y0)], "g inkw dash")
    body = [f'<g data-part="loop" transform="translate(0 {lift:.2f})">{bar}</g>']
    if shape.family == "coil" and shape.pivot_height is not None:
        thick = max(shape.edge_radius * k, 0.5)
        over = svg.num(2.0 * thick)
        boxes = "".join(
            f'<path class="g thin w-pap"{_STAYS} d="M{svg.num(x - thick)} 0h{over}v1h-{over}Z"/>'
            for x in (scale.x0 - wide, scale.x0 + wide)
        )
        pivot = scale.at((0.0, shape.pivot_height))[1]
        long = scale.y0 + lift - pivot
        body.append(
            f'<g data-part="levers" data-pivot="{pivot:.2f}" '
            f'transform="translate(0 {pivot:.2f}) scale(1 {long:.2f})">{boxes}</g>'
        )
    return body


def _edges(shape: TrapShape, scale: svg.Scale, height: float) -> str:
    """The edges of the loop, cut through, where they bear on the legs."""
    r = svg.num(max(shape.edge_radius * scale.per_metre, 1.6))
    wide = shape.eye_half_opening * scale.per_metre
    dots = "".join(
        f'<circle class="f-i eye" cx="{svg.num(x)}" cy="{svg.num(scale.y0)}" r="{r}"/>'
        for x in (scale.x0 - wide, scale.x0 + wide)
    )
    return f'<g data-part="loop" transform="translate(0 {-height * scale.per_metre:.2f})">{dots}</g>'


def longest(every: Sequence[Frames]) -> float:
    """End of the closing that takes longest [s]; the steps of a scrubber go so far."""
    return max((frames.times[-1] for frames in every if moves(frames)), default=0.0)
