"""Frame of a drawing of a trap: title and description, sizes in words, names with leaders."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from xml.sax.saxutils import escape, quoteattr

from setwright.basis.units import inches, span
from setwright.draw import svg
from setwright.draw.trap_shape import TrapShape

PHONE = 480.0
LINE = 17.0
LETTER = 14.0
GAP = 3.0
CENTIMETRES = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0)


@dataclass(frozen=True, slots=True)
class Callout:
    """A name with its leader: the words, the place [px] on the part, a second line for the size, the part's key."""

    words: str
    place: svg.Point
    size: str = ""
    key: str = ""


def figure(width: float, height: float, body: Iterable[str], title: str, description: str) -> str:
    """The drawing with its title and a description for who cannot see it."""
    size = f'viewBox="0 0 {svg.num(width)} {svg.num(height)}" width="{svg.num(width)}" height="{svg.num(height)}"'
    said = f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-label={quoteattr(title)}>'
        f"{said}{''.join(body)}</svg>"
    )


def refusal(width: float, title: str, reason: str) -> str:
    """A drawing that says why there is none."""
    lines = wrap(reason, width)
    body = [svg.text(0, 20 + LINE * row, words) for row, words in enumerate(lines)]
    return figure(width, 30 + LINE * len(lines), body, title, reason)


def wrap(words: str, width: float, size: float = 15.0) -> list[str]:
    """The words in lines that fit `width`."""
    lines: list[str] = []
    for word in words.split():
        if lines and svg.length_of(f"{lines[-1]} {word}", size) <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return lines or [""]


def sized(metres: float) -> str:
    """A length in inches with millimetres beside it: '4⅞ in (124 mm)'."""
    if not math.isfinite(metres):
        return "not known"
    millimetres = metres * 1000.0
    fine = f"{millimetres:.0f}" if abs(millimetres) >= 30 else f"{millimetres:.1f}".removesuffix(".0")
    return f"{inches(metres, 16 if abs(metres) < 0.0508 else 8)} ({fine} mm)"


def degrees(angle: float) -> str:
    """An angle in whole degrees."""
    return f"{math.degrees(angle):.0f}°" if math.isfinite(angle) else "–"


def turned(x: float, y: float, words: str, classes: str = "mid halo") -> str:
    """A text that reads from top to bottom."""
    place = f"translate({svg.num(x)} {svg.num(y)}) rotate(90)"
    return f'<text class="{classes}" transform="{place}">{escape(words)}</text>'


def arc(centre: svg.Point, radius: float, start: float, end: float, steps: int = 8) -> list[svg.Point]:
    """Points of an arc in world axes, from one angle to another."""
    return [
        (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))
        for turn in (start + (end - start) * step / steps for step in range(steps + 1))
    ]


def stacked(wanted: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """Upper ends of labels of unlike height, in their order, moved as little as needed to stand clear."""
    tops: list[float] = []
    for want, height in zip(wanted, heights, strict=True):
        under = low if not tops else tops[-1] + heights[len(tops) - 1] + GAP
        tops.append(max(want - 0.5 * height, under))
    if tops and tops[-1] + heights[-1] > high:
        limit = high
        for index in range(len(tops) - 1, -1, -1):
            tops[index] = min(tops[index], limit - heights[index])
            limit = tops[index] - GAP
    return tops


def _tall(callout: Callout) -> float:
    """Height of a name [px]: a letter has no tail."""
    return LETTER if len(callout.words) == 1 and not callout.size else LINE * (2 if callout.size else 1)


def _crosses(a: svg.Point, b: svg.Point, c: svg.Point, d: svg.Point) -> bool:
    def turn(p: svg.Point, q: svg.Point, r: svg.Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def column(callouts: Sequence[Callout], edge: float, low: float, high: float, *, right: bool = False) -> list[str]:
    """Names in a column that ends (on the right: begins) at `edge` px, with leaders that do not cross."""
    start_x = edge - 3.0 if right else edge + 2.0
    side = "" if right else "end "
    order = sorted(callouts, key=lambda callout: callout.place[1])
    middle = 0.5 * (LETTER if all(len(callout.words) == 1 for callout in order) else LINE)
    tops: list[float] = []
    for _ in range(2 * len(order)):
        heights = [_tall(callout) for callout in order]
        tops = stacked([callout.place[1] for callout in order], heights, low, high)
        starts = [(start_x, top + middle) for top in tops]
        crossed = next(
            (
                pair
                for pair in combinations(range(len(order)), 2)
                if _crosses(starts[pair[0]], order[pair[0]].place, starts[pair[1]], order[pair[1]].place)
            ),
            None,
        )
        if crossed is None:
            break
        first, second = crossed
        order[first], order[second] = order[second], order[first]
    body = []
    for callout, top in zip(order, tops, strict=True):
        start = (start_x, top + middle)
        body.append(svg.line([start, callout.place], "g hair s-p") + svg.dot(*callout.place, names=callout.key))
        body.append(svg.text(edge, top + middle + 4.5, callout.words, f"{side}halo"))
        if callout.size:
            body.append(svg.text(edge, top + middle + 4.5 + LINE, callout.size, f"{side}halo t-s f-p"))
    return body


def in_a_row(callouts: Sequence[Callout], base: float, low: float, high: float) -> list[str]:
    """Letters in one row above the drawing, moved apart, each with a leader to its part."""
    ordered = sorted(callouts, key=lambda callout: callout.place[0])
    centres = svg.spread([callout.place[0] for callout in ordered], 17.0, low, high)
    body = []
    for callout, x in zip(ordered, centres, strict=True):
        body.append(
            svg.line([(x, base + 4.0), callout.place], "g hair s-p") + svg.dot(*callout.place, names=callout.key)
        )
        body.append(svg.text(x, base, callout.words, "mid halo"))
    return body


def above(callouts: Sequence[Callout], base: float) -> tuple[list[str], int]:
    """Names in rows above the drawing, the lowest row on `base`; also how many rows they need."""
    ordered = sorted(callouts, key=lambda callout: callout.place[0])
    starts = [callout.place[0] + 2 for callout in ordered]
    rows = svg.stairs(starts, [svg.length_of(callout.words) for callout in ordered])
    count = max(rows, default=0) + 1
    body = []
    for callout, start, row in zip(ordered, starts, rows, strict=True):
        y = base - (count - 1 - row) * (LINE + 2)
        body.append(
            svg.line([(callout.place[0], y - 11), callout.place], "g hair s-p")
            + svg.dot(*callout.place, names=callout.key)
        )
        body.append(svg.text(start + 2, y, callout.words, "halo"))
    return body, count


def scale_line(x: float, y: float, per_metre: float, room: float) -> str:
    """A black and white scale bar in inches or centimetres, four steps long."""
    metre, unit = span(1.0)
    step = svg.bar_step(room / per_metre * metre, (0.25, 0.5, 1.0, 2.0, 3.0, 6.0) if unit == "in" else CENTIMETRES)
    labels = [f"{k * step:g}" for k in range(4)] + [f"{4 * step:g} {unit}"]
    return svg.scale_bar(x, y, step / metre * per_metre, labels)


def part_names(shape: TrapShape) -> list[tuple[str, str, str]]:
    """Parts of the trap that are drawn: key, trade word, size where it was read; in the order of their letters."""
    coil = shape.family == "coil"
    turns = f"{shape.coil_turns:.1f}".removesuffix(".0")
    found = [("dogged", "dogged jaw", f"face {sized(shape.face_width)}"), ("loose", "loose jaw", "")]
    if not shape.dogless:
        found.append(("dog", "dog", ""))
    found.append(("notch", "pan notch", "holds the jaw itself" if shape.dogless else ""))
    read = shape.pan_radius is not None
    found.append(("pan", "pan", f"{sized(2.0 * shape.pan)} across" if read else "size not read"))
    if coil:
        size = "" if shape.lever_length is None else sized(shape.lever_length)
        found.append(("lever", "lever", f"{size} to the eye" if size else ""))
        found.append(("eye", "eye of the lever", f"{sized(2.0 * shape.eye_half_opening)} wide"))
        found.append(("coil", f"coil, {turns} turns", "two on each lever" if shape.springs == 4 else ""))
    else:
        size = "" if shape.leaf_arm is None else sized(shape.leaf_arm)
        found.append(("leaf", "long-spring", f"arm {size}" if size else ""))
        found.append(("eye", "spring eye", f"{sized(2.0 * shape.eye_half_opening)} wide"))
    found += [("ear", "upright (ear), jaw pin", ""), ("base", "base", ""), ("cross", "cross", "")]
    if shape.offset_gap > 0.0:
        found.append(("offset", "offset of the face", f"gap {sized(shape.offset_gap)}"))
    if shape.lamination_width > 0.0:
        side = shape.lamination_side or "side not read"
        found.append(("lamination", f"lamination, {side}", sized(shape.lamination_width)))
    if shape.pad_width > 0.0:
        found.append(("pad", "pad", sized(shape.pad_width)))
    if shape.double:
        found.append(("second", "second bar", "double jaw"))
    if shape.guard_length is not None:
        found.append(("guard", "guard arm", sized(shape.guard_length)))
    if shape.swivel_place is not None:
        found.append(("swivel", f"{shape.swivel_place} swivel", ""))
        found.append(("chain", "chain", ""))
    return found


def letters(shape: TrapShape) -> dict[str, str]:
    """Letter of each part; the same in every view of one trap."""
    return {key: chr(ord("A") + index) for index, (key, _, _) in enumerate(part_names(shape))}


def trap_keys(shape: TrapShape) -> list[tuple[str, str]]:
    """Letters that the narrow views put on the parts, with the words that they stand for."""
    said = letters(shape)
    return [(said[key], f"{words}, {size}" if size else words) for key, words, size in part_names(shape)]


def named(shape: TrapShape, places: dict[str, svg.Point], narrow: bool) -> list[Callout]:
    """Callouts of the parts that have a place: letters on a narrow drawing, words and sizes otherwise."""
    said = letters(shape)
    return [
        Callout(said[key], places[key], key=key) if narrow else Callout(words, places[key], size, key)
        for key, words, size in part_names(shape)
        if key in places
    ]
