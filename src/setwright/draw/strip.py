"""The closing as still frames, one every two milliseconds, side by side at one scale; it wraps on a narrow page."""

from __future__ import annotations

import math

from setwright.draw import svg
from setwright.draw.trap_frame import degrees, figure, refusal
from setwright.draw.trap_shape import Frames, Posture, TrapShape, cam_length
from setwright.draw.trap_state import trap_at

STEP = 0.002
_NARROWEST = 70.0
_WIDEST = 96.0
_ROOMY = 60.0
_TIGHT = 34.0


def strip_times(frames: Frames, step: float = STEP) -> list[float]:
    """Instants of the strip [s]: from the release each `step`, and the end of the closing."""
    end = frames.times[-1] if frames.times else math.nan
    if not math.isfinite(end) or end < 0.0:
        return []
    # An end that falls on a step, but for rounding, is that step.
    count = math.ceil(end / step - 1e-9)
    return [*(index * step for index in range(count)), end]


def strip(shape: TrapShape, frames: Frames, width: float, step: float = STEP, narrowest: float = _NARROWEST) -> str:
    """Draw the closing strip.

    Parameters
    ----------
    shape : TrapShape
        Dimensions of the trap.
    frames : Frames
        Instants of the closing; frames of the strip lie on the straight line between the nearest two.
    width : float [px]
        Width of the drawing.
    step : float [s]
        Time from frame to frame.
    narrowest : float [px]
        Least width of a frame; frames that need more wrap into rows. Below 60 px the words thin out.

    Returns
    -------
    str
        The drawing, or words in its place when the trap does not close.

    """
    title = "Closing of the trap in still frames, to one scale"
    times = strip_times(frames, step)
    if not times or not all(math.isfinite(angle) for pair in frames.angles for angle in pair):
        return refusal(width, title, "No strip: as described the trap does not close.")
    columns = max(min(len(times), int(width // narrowest)), 1)
    rows = math.ceil(len(times) / columns)
    # Rows of even length, so that no frame is left alone at the end.
    columns = math.ceil(len(times) / rows)
    cell = min(width / columns, _WIDEST if narrowest >= _ROOMY else 1.5 * narrowest)
    figures = "mid t-b" if cell >= _TIGHT else "mid t-b t-s"
    half = shape.hinge_half_distance + shape.outer + 0.5 * shape.leg_thickness
    per_metre = 0.5 * (cell - 8.0) / half
    drawn = [_at(frames, time) for time in times]
    labels = [milliseconds(time) for time in times]
    if labels[-1] in labels[:-1]:
        labels[-1] = f"{times[-1] * 1000.0:.2f}"
    cam = cam_length(shape, frames.loop_height)
    top = max(
        max(
            shape.outer * math.sin(max(posture.angles)) + shape.leg_thickness, posture.loop_height + shape.edge_radius
        )
        for posture, _ in drawn
    )
    tall = (top + shape.rise) * per_metre + 10.0
    roomy = cell >= _ROOMY
    high = tall + (50.0 if roomy else 38.0)
    x0 = 0.5 * (width - columns * cell)
    body: list[str] = []
    for index, (label, (posture, apart)) in enumerate(zip(labels, drawn, strict=True)):
        row, place = divmod(index, columns)
        x, y = x0 + place * cell, row * (high + 4.0) + 2.0
        ground = y + tall
        scale = svg.Scale(0.0, 0.0, per_metre, x + 0.5 * cell, ground - shape.rise * per_metre)
        # At this size the ink of an edge would fill the part.
        body += [part.replace(" inkw", " thin") for part in trap_at(shape, posture, scale, cam)]
        body.append(svg.line([(x + 3.0, ground), (x + cell - 3.0, ground)], "g thin s-e"))
        body.append(svg.text(x + 0.5 * cell, ground + 16.0, f"{label} ms" if roomy else label, figures))
        body.append(svg.text(x + 0.5 * cell, ground + 31.0, _angles(posture, roomy=roomy), "mid t-s f-p"))
        if apart and roomy:
            body.append(svg.text(x + 0.5 * cell, ground + 45.0, "eye behind", "mid t-s f-p"))
        if place:
            body.append(svg.line([(x, y), (x, y + high - 4.0)], "g hair s-r"))
    for row in range(rows):
        y = (row + 1) * (high + 4.0)
        body.append(svg.line([(x0, y), (x0 + columns * cell, y)], "g inkw" if row == rows - 1 else "g hair s-r"))
    return figure(width, rows * (high + 4.0) + 3.0, body, title, _said(frames, times, drawn))


def strip_note(frames: Frames) -> str:
    """The strip in one line of words: its step, and from when the jaws run ahead of the eye."""
    apart = next((time for time, free in zip(frames.times, frames.ahead, strict=True) if free), None)
    runs = "" if apart is None else f"; from {milliseconds(apart)} the jaws run ahead of the eye"
    return f"Closing, ms after the pan lets go{runs}"


def _angles(posture: Posture, *, roomy: bool) -> str:
    """Angle of the dogged jaw, and of the loose jaw before it where they differ and there is room."""
    loose, dogged = posture.angles
    both = roomy and abs(loose - dogged) > math.radians(1.0)
    return f"{degrees(loose)}, {degrees(dogged)}" if both else degrees(dogged)


def milliseconds(time: float) -> str:
    """A time [s] in milliseconds, to a tenth."""
    return f"{time * 1000.0:.1f}".removesuffix(".0")


def _at(frames: Frames, time: float) -> tuple[Posture, bool]:
    """The state of the trap at an instant, and whether its jaws run ahead of the eye."""
    last = next((index for index, known in enumerate(frames.times) if known >= time - 1e-12), len(frames.times) - 1)
    first = max(last - 1, 0)
    span = frames.times[last] - frames.times[first]
    share = 1.0 if span <= 0.0 else min(max((time - frames.times[first]) / span, 0.0), 1.0)

    def between(low: float, high: float) -> float:
        return low + share * (high - low)

    loose = between(frames.angles[first][0], frames.angles[last][0])
    dogged = between(frames.angles[first][1], frames.angles[last][1])
    height = between(frames.loop_height[first], frames.loop_height[last])
    return Posture(f"{milliseconds(time)} ms", (loose, dogged), height), frames.ahead[last]


def _said(frames: Frames, times: list[float], drawn: list[tuple[Posture, bool]]) -> str:
    apart = next((time for time, (_, free) in zip(times, drawn, strict=True) if free), None)
    runs = "" if apart is None else f" From {milliseconds(apart)} ms the jaws run ahead of the eye."
    levers = "" if frames.lever_angle is None else f" The levers then stand at {degrees(frames.lever_angle[-1])}."
    closed = f"closed at {milliseconds(times[-1])} ms, {degrees(drawn[-1][0].angles[1])}"
    return f"{len(times)} frames; {closed}.{levers}{runs}"
