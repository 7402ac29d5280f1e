"""A teaching drawing in the making: tagged parts at one scale, names with leaders, rows of panels with captions."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from setwright.draw import svg
from setwright.draw.trap_frame import LINE, Callout, column, wrap
from setwright.draw.trap_shape import Frames, Posture, TrapShape

STEEL = "g inkw w-pap"
FLESH = "g thin w-leaf"
GAP = 14.0


def same(words: str) -> str:
    """The words as they are: no other language is asked for."""
    return words


@dataclass(frozen=True, slots=True)
class Given:
    """What a picture is drawn from.

    Parameters
    ----------
    width, tallest : float [px]
        Width and greatest height of the drawing.
    coil, long : TrapShape or None
        The two traps that pictures of a trap show.
    coil_postures, long_postures : tuple of Posture
        Their states: set, half way, closed empty, on a limb.
    frames : Frames or None
        Closing of the coil-spring.
    measures : mapping of str to float [m]
        Depths and distances by name, as the picture's `needs` lists them; a name that is absent stays a blank.
    words : mapping of str to str
        Names of things that differ from set to set, such as `stake`.
    say : callable
        Takes a sentence, gives it in the language of the sheet.

    """

    width: float = 440.0
    tallest: float = 420.0
    coil: TrapShape | None = None
    long: TrapShape | None = None
    coil_postures: tuple[Posture, ...] = ()
    long_postures: tuple[Posture, ...] = ()
    frames: Frames | None = None
    measures: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    words: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    say: Callable[[str], str] = same

    def measure(self, name: str) -> float:
        """A measure by name [m]; NaN where it is not known."""
        return self.measures.get(name, math.nan)


@dataclass(slots=True)
class Plate:
    """One view at one scale: what is drawn, in order, and the names that will be written beside it."""

    scale: svg.Scale
    body: list[str] = field(default_factory=list)
    names: list[Callout] = field(default_factory=list)

    def add(self, *drawn: str) -> None:
        """Something that no name points to."""
        self.body += drawn

    def part(self, key: str, *drawn: str) -> None:
        """What is drawn of the part with this key."""
        self.body.append(svg.part(key, drawn))

    def line(self, path: Iterable[svg.Point], classes: str = "g thin") -> str:
        """A line through world points."""
        return svg.line(self.scale.path(path), classes)

    def area(self, path: Iterable[svg.Point], classes: str = STEEL, fill: str = "") -> str:
        """A closed outline through world points."""
        return svg.area(self.scale.path(path), classes, fill)

    def disc(self, at: svg.Point, radius: float, classes: str = STEEL) -> str:
        """A circle of a radius in metres."""
        x, y = self.scale.at(at)
        size = svg.num(max(radius * self.scale.per_metre, 1.2))
        return f'<circle class="{classes}" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{size}"/>'

    def name(self, key: str, words: str, at: svg.Point, size: str = "") -> None:
        """A name for the part with this key; the leader ends at the world point."""
        self.names.append(Callout(words, self.scale.at(at), size, key))

    def over(self, top: float, left: float, right: float) -> float:
        """Write the names in stairs over the drawing; gives the height that they take up [px]."""
        body, high = names_over(self.names, top, left, right)
        self.body += body
        self.names.clear()
        return high

    def right(self, edge: float, low: float, high: float) -> None:
        """Write the names in a column at the right."""
        self.body += column(self.names, edge, low, high, right=True)
        self.names.clear()

    def left(self, edge: float, low: float, high: float) -> None:
        """Write the names in a column at the left."""
        self.body += column(self.names, edge, low, high)
        self.names.clear()

    def sides(self, middle: float, left: float, right: float, low: float, high: float) -> None:
        """Write the names on the side of the middle on which their parts lie."""
        ones = [each for each in self.names if each.place[0] < middle]
        others = [each for each in self.names if each.place[0] >= middle]
        self.body += column(ones, left, low, high) + column(others, right, low, high, right=True)
        self.names.clear()

    def arrow(self, start: svg.Point, end: svg.Point, classes: str = "inkw") -> None:
        """An arrow between two world points."""
        self.body += arrow(self.scale.at(start), self.scale.at(end), classes)


def names_over(names: Sequence[Callout], top: float, left: float, right: float) -> tuple[list[str], float]:
    """Names in stairs over the drawing, each over its part; one that would leave the box stands left of its leader.

    Parameters
    ----------
    names : sequence of Callout
        With their places [px].
    top, left, right : float [px]
        Where the names begin, and the box.

    Returns
    -------
    list of str, float
        What is drawn, and the height that the rows take up [px].

    """
    ordered = sorted(names, key=lambda each: each.place[0])
    long = [svg.length_of(each.words) + 4.0 for each in ordered]
    # A name goes to the left of its leader only where it has more room there.
    turned = [
        each.place[0] + size > right and right - each.place[0] < each.place[0] - left
        for each, size in zip(ordered, long, strict=True)
    ]
    taken: list[list[tuple[float, float]]] = []
    rows: list[int] = []
    for index, (each, size, back) in enumerate(zip(ordered, long, turned, strict=True)):
        x = each.place[0]
        span = (max(x - size, left), x + 3.0) if back else (x - 3.0, x + size)
        # A leader runs down from its row: no name of a row beneath may lie across it.
        lowest = max((rows[k] + 1 for k in range(index) if ordered[k].place[0] > span[0] - 3.0), default=0)
        row = next(
            (
                k
                for k in range(lowest, len(taken))
                if all(b + 6.0 <= span[0] or span[1] + 6.0 <= a for a, b in taken[k])
            ),
            max(lowest, len(taken)),
        )
        while len(taken) <= row:
            taken.append([])
        taken[row].append(span)
        rows.append(row)
    body = []
    for each, back, row in zip(ordered, turned, rows, strict=True):
        x, base = each.place[0], top + 13.0 + LINE * row
        body += [svg.line([(x, base - 10.0), each.place], "g hair s-p"), svg.dot(*each.place, names=each.key)]
        body.append(svg.text(x - 4.0 if back else x + 4.0, base, each.words, "end halo" if back else "halo"))
    return body, LINE * len(taken) + 4.0


def arrow(start: svg.Point, end: svg.Point, weight: str = "inkw", size: float = 8.0) -> list[str]:
    """An arrow in pixels with a filled head."""
    long = math.hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    du, dv = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    foot = (end[0] - du * size, end[1] - dv * size)
    wing = 0.42 * size
    head = [end, (foot[0] - dv * wing, foot[1] + du * wing), (foot[0] + dv * wing, foot[1] - du * wing)]
    return [svg.line([start, foot], f"g {weight}"), svg.area(head, "f-i")]


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel of a row: what it shows, in a box of its own, and the words beneath.

    Parameters
    ----------
    caption : str
        Short sentence beneath the panel.
    draw : callable
        Takes left, top, width and height of the box [px], gives what is drawn.

    """

    caption: str
    draw: Callable[[float, float, float, float], Sequence[str]]


def panels(
    width: float, high: float, shown: Sequence[Panel], columns: int, *, numbered: bool = True
) -> tuple[list[str], float]:
    """Panels in rows of equal boxes, parted by hair rules, each with its number and caption; and the height [px]."""
    wide = width / columns
    body: list[str] = []
    y = 0.0
    rows = [shown[start : start + columns] for start in range(0, len(shown), columns)]
    for row_number, row in enumerate(rows):
        told = [
            wrap(f"{row_number * columns + place + 1}. {one.caption}" if numbered else one.caption, wide - GAP)
            for place, one in enumerate(row)
        ]
        deep = high + LINE * max(len(lines) for lines in told) + 12.0
        for place, (one, lines) in enumerate(zip(row, told, strict=True)):
            x = place * wide
            body += one.draw(x + 0.5 * GAP, y + 4.0, wide - GAP, high - 8.0)
            for index, line in enumerate(lines):
                body.append(svg.text(x + 0.5 * GAP, y + high + LINE * (index + 0.8), line))
            if place:
                body.append(svg.line([(x, y), (x, y + deep - 8.0)], "g hair s-r"))
        y += deep
        if row_number < len(rows) - 1:
            body.append(svg.line([(0.0, y - 5.0), (width, y - 5.0)], "g hair s-r"))
    return body, y


def ground_line(plate: Plate, left: float, right: float, height: float = 0.0) -> None:
    """The surface on which a trap stands, with a few strokes of earth under it."""
    plate.add(plate.line([(left, height), (right, height)], "g inkw s-e"))
    x0, y = plate.scale.at((left, height))
    x1 = plate.scale.at((right, height))[0]
    count = max(int((x1 - x0) / 26.0), 1)
    strokes = "".join(f"M{svg.num(x0 + (k + 0.5) * (x1 - x0) / count)} {svg.num(y + 3)}l-6 6" for k in range(count))
    plate.add(f'<path class="g hair s-e" d="{strokes}"/>')
