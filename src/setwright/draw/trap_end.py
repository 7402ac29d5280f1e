"""The trap seen along its hinges, cut through the jaws: set, on its way, closed; every state at one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.draw import svg
from setwright.draw.trap_frame import LINE, PHONE, above, degrees, figure, in_a_row, named, refusal, scale_line, sized
from setwright.draw.trap_shape import Posture, TrapShape, cam_length, strips, to_world
from setwright.draw.trap_state import base_reach, dog_hinge, grip_height, trap_at

_CAPTION = 16.0
_GAP = 12.0
_BAR = 30.0


@dataclass(frozen=True, slots=True)
class _Cell:
    """One state with what it takes up about the middle of the trap [m], and what is written over it."""

    posture: Posture
    left: float
    right: float
    low: float
    high: float
    names: int = 0
    size: str = ""


def end_view(
    shape: TrapShape, postures: Sequence[Posture], width: float, tallest: float = 470.0, letters: bool | None = None
) -> str:
    """Draw the states side by side at one scale, in rows where the page is narrow.

    Parameters
    ----------
    shape : TrapShape
        Dimensions of the trap.
    postures : sequence of Posture
        The states, as a rule: set, half way, closed empty, closed on a limb.
    width, tallest : float [px]
        Width and greatest height of the drawing.
    letters : bool, optional
        Put letters on the parts in place of names; by default on a narrow drawing.

    Returns
    -------
    str
        The drawing; states whose angles are not known are left out and named in the description.

    """
    narrow = width < PHONE if letters is None else letters
    title = "Trap seen along its hinges, to scale"
    known = [posture for posture in postures if _known(posture)]
    if not known:
        return refusal(width, title, "No end view: the jaw angles are not known.")
    cam = cam_length(shape, [posture.loop_height for posture in known])
    cells = [_cell(shape, posture) for posture in known]
    per_metre, rows = _fit(shape, cells, width, tallest, narrow)
    body: list[str] = []
    y = 0.0
    for row in rows:
        y, drawn = _row(shape, row, per_metre, width, y, cam, narrow)
        body += drawn
    first = rows[0][0]
    spare = _row_height(shape, rows[0], per_metre, narrow) - _cell_height(shape, first, rows[0], per_metre, narrow)
    wide = _wide(first, per_metre, narrow)
    if spare > _BAR + 6.0 and wide > 90.0:
        # Over the low set trap there is room for the bar.
        body.append(scale_line(6.0, 4.0, per_metre, 0.85 * wide))
        y -= _BAR
    else:
        body.append(scale_line(6.0, y + 4.0, per_metre, min(0.45 * width, 260.0)))
    left_out = [posture.name for posture in postures if not _known(posture)]
    return figure(width, y + _BAR, body, title, _said(known, left_out))


def _known(posture: Posture) -> bool:
    return all(math.isfinite(value) for value in (*posture.angles, posture.loop_height))


def _cell(shape: TrapShape, posture: Posture) -> _Cell:
    pad = 0.03 * shape.spread
    eye = shape.eye_half_opening + shape.edge_radius
    top = max(posture.loop_height + shape.edge_radius, 0.0)
    reach = [base_reach(shape), eye]
    for angle in posture.angles:
        reach.append(shape.hinge_half_distance + shape.outer * max(math.cos(angle), 0.0) + 0.5 * shape.leg_thickness)
        top = max(top, shape.outer * math.sin(angle) + shape.leg_thickness)
    left = max(reach[0], reach[1], reach[2])
    right = max(reach[0], reach[1], reach[3])
    if posture.limb is not None:
        middle = shape.height * math.sin(max(posture.angles))
        top = max(top, middle + 0.62 * posture.limb)
        left, right = max(left, 0.5 * posture.limb), max(right, 0.5 * posture.limb)
    if posture.held and not shape.dogless:
        right += 0.07 * shape.spread
        top = max(top, 0.06 * shape.spread)
    names = len(_places(shape, posture)) if posture.held else 0
    return _Cell(posture, left + pad, right + pad, -shape.rise, top + pad, names, _size_words(shape, posture))


def _size_words(shape: TrapShape, posture: Posture) -> str:
    """Thickness of the limb, or gap of the closed trap, in words; empty for another state."""
    if posture.limb is not None:
        return sized(posture.limb)
    return f"gap {sized(shape.offset_gap)}" if _closed(posture) and shape.offset_gap > 0.0 else ""


def _wide(cell: _Cell, per_metre: float, narrow: bool) -> float:
    words = [*_caption(cell.posture, narrow), cell.size]
    letters = 17.0 * cell.names + 14.0 if narrow else 0.0
    return max((cell.left + cell.right) * per_metre, *(svg.length_of(line) for line in words), letters, 56.0)


def _rows_at(cells: Sequence[_Cell], per_metre: float, width: float, narrow: bool) -> list[list[_Cell]]:
    rows: list[list[_Cell]] = []
    used = 0.0
    for cell in cells:
        wide = _wide(cell, per_metre, narrow)
        if not rows or used + _GAP + wide > width:
            rows.append([cell])
            used = wide
        else:
            rows[-1].append(cell)
            used += _GAP + wide
    return rows


def _names(shape: TrapShape, cell: _Cell, scale: svg.Scale, narrow: bool) -> tuple[list[str], float]:
    """Names over the set trap, and the room that they need over it [px]."""
    if not cell.posture.held:
        return [], 0.0
    places = {key: scale.at(place) for key, place in _places(shape, cell.posture).items()}
    callouts = [replace(each, size="") for each in named(shape, places, narrow)]
    if narrow:
        middle = 0.5 * (cell.right - cell.left) * scale.per_metre + scale.x0
        half = 0.5 * _wide(cell, scale.per_metre, narrow)
        base = scale.at((0.0, cell.high))[1] - 16.0
        return in_a_row(callouts, base, middle - half + 6.0, middle + half - 6.0), 32.0
    body, rows = above(callouts, scale.at((0.0, cell.high))[1] - 8.0)
    return body, 14.0 + rows * (LINE + 2.0)


def _heads(shape: TrapShape, cell: _Cell, per_metre: float, narrow: bool) -> float:
    """Room over a state for the names of the parts, or the dimension of a limb or gap."""
    size = 24.0 if cell.size else 0.0
    return max(size, _names(shape, cell, svg.Scale(0.0, 0.0, per_metre), narrow)[1])


def _foot(cells: Sequence[_Cell], narrow: bool) -> float:
    """Room under a row for the captions."""
    return _CAPTION * max(len(_caption(cell.posture, narrow)) for cell in cells) + 14.0


def _row_height(shape: TrapShape, row: Sequence[_Cell], per_metre: float, narrow: bool) -> float:
    """Height of a row from its upper edge to the ground [px]: each state with what stands over it."""
    return max(_cell_height(shape, cell, row, per_metre, narrow) for cell in row)


def _cell_height(shape: TrapShape, cell: _Cell, row: Sequence[_Cell], per_metre: float, narrow: bool) -> float:
    low = min(each.low for each in row)
    return (cell.high - low) * per_metre + _heads(shape, cell, per_metre, narrow)


def _closed(posture: Posture) -> bool:
    return posture.limb is None and min(posture.angles) > 1.2


def _fit(
    shape: TrapShape, cells: Sequence[_Cell], width: float, tallest: float, narrow: bool
) -> tuple[float, list[list[_Cell]]]:
    """The largest scale at which the states fit, and their rows."""
    widest = (width - 4.0) / max(cell.left + cell.right for cell in cells)
    for step in range(60):
        per_metre = widest * 0.96**step
        rows = _rows_at(cells, per_metre, width, narrow)
        tall = sum(_row_height(shape, row, per_metre, narrow) + _foot(row, narrow) for row in rows)
        spare = _row_height(shape, rows[0], per_metre, narrow) - _cell_height(
            shape, cells[0], rows[0], per_metre, narrow
        )
        tall -= _BAR if spare > _BAR + 6.0 else 0.0
        if tall + _BAR <= tallest and all(_wide(cell, per_metre, narrow) <= width for cell in cells):
            return per_metre, rows
    return per_metre, rows


def _row(
    shape: TrapShape,
    row: Sequence[_Cell],
    per_metre: float,
    width: float,
    y: float,
    cam: float,
    narrow: bool,
) -> tuple[float, list[str]]:
    """One row of states; returns its lower edge and what is drawn."""
    low = min(cell.low for cell in row)
    ground = y + _row_height(shape, row, per_metre, narrow)
    free = width - sum(_wide(cell, per_metre, narrow) for cell in row)
    gap = min(free / len(row), 60.0)
    x = 0.5 * (free - gap * (len(row) - 1))
    body: list[str] = []
    for cell in row:
        wide = _wide(cell, per_metre, narrow)
        middle = x + 0.5 * wide + 0.5 * (cell.left - cell.right) * per_metre
        scale = svg.Scale(0.0, 0.0, per_metre, middle, ground + low * per_metre)
        body += trap_at(shape, cell.posture, scale, cam)
        body += _sizes(shape, cell, scale)
        body += _names(shape, cell, scale, narrow)[0]
        for index, line in enumerate(_caption(cell.posture, narrow)):
            under = ground + _CAPTION * (index + 1) + 2.0
            body.append(svg.text(x + 0.5 * wide, under, line, "mid t-b" if index == 0 else "mid f-p"))
        body.append(svg.line([(x, ground), (x + wide, ground)], "g thin s-e"))
        x += wide + gap
    return ground + _foot(row, narrow), body


def _caption(posture: Posture, narrow: bool) -> list[str]:
    loose, dogged = posture.angles
    angle = degrees(dogged) if abs(loose - dogged) < 0.01 else f"{degrees(loose)}, {degrees(dogged)}"
    first = [posture.name, angle] if narrow else [f"{posture.name}: {angle}"]
    return [*first, *([posture.note] if posture.note else [])]


def _places(shape: TrapShape, posture: Posture) -> dict[str, svg.Point]:
    """Where the names of the set state point to [m]."""
    a, h = shape.hinge_half_distance, posture.loop_height
    loose, dogged = posture.angles
    found = {
        "loose": to_world(shape, loose, -1.0, [(0.75 * shape.height, 0.0)])[0],
        "dogged": to_world(shape, dogged, 1.0, [(0.8 * shape.height, 0.0)])[0],
        "eye": (-shape.eye_half_opening, h),
        "ear": (-0.5 * a, -0.5 * shape.rise),
        # The corner: at a small scale the upright covers the rest.
        "base": (base_reach(shape), -shape.rise),
        "pan": (0.6 * shape.pan, (a + shape.height) * math.sin(dogged)),
    }
    if not shape.dogless:
        post = dog_hinge(shape, posture)
        found["dog"] = (post[0] - 0.02 * shape.spread, post[1])
        found["notch"] = (shape.pan + 0.03 * shape.spread, (a + shape.height) * math.sin(dogged))
    for name, strip in strips(shape):
        middle = (sum(s for s, _ in strip) / 4.0, sum(n for _, n in strip) / 4.0)
        found[name] = to_world(shape, loose, -1.0, [middle])[0]
    return found


def _sizes(shape: TrapShape, cell: _Cell, scale: svg.Scale) -> list[str]:
    """Thickness of the limb, or the gap between the faces of the closed trap, as a dimension over the jaws."""
    posture = cell.posture
    if not cell.size:
        return []
    level = scale.at((0.0, cell.high))[1] + 2.0
    half = 0.5 * (shape.offset_gap if posture.limb is None else posture.limb)
    ends = [scale.at((side * half, 0.0))[0] for side in (-1.0, 1.0)]
    tip = scale.at((0.0, grip_height(shape, posture)))[1]
    body = [svg.level_line(level, ends, "g thin size")]
    body += [svg.line([(x, level), (x, tip)], "g hair s-p") for x in ends]
    return [*body, svg.text(0.5 * sum(ends), level - 7.0, cell.size, "mid")]


def _said(known: Sequence[Posture], left_out: Sequence[str]) -> str:
    states = "; ".join(_caption(posture, narrow=False)[0] for posture in known)
    missing = f" Not known, so not drawn: {', '.join(left_out)}." if left_out else ""
    return f"Section across the hinges, one scale: {states}. The eye stands where it bears on the legs.{missing}"
