"""Small helpers for drawings: escaped text, paths, one scale for both directions, label layout.

A drawing uses class names of the page grammar (`g thin s-w`, `f-p`, `halo`) and never a colour of its own, so that
the same drawing serves a page by day, by night and in print; `standalone` adds the ink for paper.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]

# Mean advance of one character of the condensed sans, as a share of its size (measured on English words).
ADVANCE = 0.44


def _hatch(name: str, wide: float, high: float, turn: float, body: str) -> str:
    turned = f' patternTransform="rotate({turn:g})"' if turn else ""
    size = f'width="{wide:g}" height="{high:g}"'
    return f'<pattern id="{name}" {size} patternUnits="userSpaceOnUse"{turned}>{body}</pattern>'


def _strokes(classes: str, weight: float, data: str) -> str:
    return f'<path class="g{classes}" stroke-width="{weight:g}" d="{data}"/>'


def _dots(classes: str, dots: Sequence[tuple[float, float, float]], weight: float | None = None) -> str:
    drawn = "".join(f'<circle cx="{x:g}" cy="{y:g}" r="{r:g}"/>' for x, y, r in dots)
    stroke = "" if weight is None else f' stroke-width="{weight:g}"'
    return f'<g class="{classes}"{stroke}>{drawn}</g>'


PATTERNS = "".join(
    (
        "<defs>",
        _hatch("h-loam", 22, 16, 0, _strokes(" s-e", 0.9, "M2 4h5M13 9l4-3M6 12l3 2M18 14h3")),
        _hatch("h-muck", 20, 10, 0, _strokes(" s-e", 0.9, "M1 2.5h7M12 2.5h3M6 7.5h8M17 7.5h2")),
        _hatch("h-sand", 12, 12, 0, _dots("f-e", [(2, 3, 0.9), (8, 1.5, 0.7), (6, 8, 0.9), (11, 10, 0.7)])),
        _hatch("h-clay", 9, 9, 45, _strokes(" s-e", 0.9, "M0 0V9")),
        _hatch("h-gravel", 18, 16, 0, _dots("g s-e", [(4, 4, 2.4), (13, 7, 1.8), (6, 12, 1.6)], 0.9)),
        _hatch("h-dry", 7, 7, 0, _dots("f-e", [(1.5, 1.5, 0.8), (5, 4.8, 0.8)])),
        _hatch("h-water", 46, 14, 0, _strokes(" s-w", 0.7, "M3 4h17M28 11h14")),
        _hatch("h-crust", 4, 8, 0, _strokes("", 1.5, "M2 0V8")),
        _hatch("h-band", 6, 6, 45, _strokes(" s-p", 1, "M0 0V6")),
        _hatch("h-band2", 6, 6, -45, _strokes(" s-p", 1, "M0 0V6")),
        "</defs>",
    )
)

# The same grammar in black on white, for paper.
BLACK = """svg text,text{font-family:"Archivo Narrow";font-size:15px;fill:#000}
.t-s{font-size:13.5px}.t-b{font-weight:600}.mid{text-anchor:middle}.end{text-anchor:end}
.halo,.halo-ear,.halo-wat{paint-order:stroke;stroke:#fff;stroke-width:5px;stroke-linejoin:round}
.g{fill:none;stroke:#000}.hair{stroke-width:.75}.thin{stroke-width:1}.inkw{stroke-width:1.75}.heavy{stroke-width:3}
.s-r{stroke:#777}.dash{stroke-dasharray:6 4}.dot{stroke-dasharray:1.5 4;stroke-linecap:round}
.w-wat,.w-ear,.w-pap,.w-leaf{fill:#fff}.f-e,.f-i,.f-w,.f-l,.f-p{fill:#000}"""


def num(value: float) -> str:
    """A coordinate to a tenth of a pixel, without a trailing zero."""
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def text(x: float, y: float, words: str, classes: str = "") -> str:
    """A text element with its words escaped."""
    kind = f' class="{classes}"' if classes else ""
    return f'<text x="{num(x)}" y="{num(y)}"{kind}>{escape(words)}</text>'


def points(path: Iterable[Point]) -> str:
    """Path data of a polyline."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in path)


def line(path: Iterable[Point], classes: str = "g thin", extra: str = "") -> str:
    """A polyline."""
    return f'<path class="{classes}"{extra} d="{points(path)}"/>'


def area(path: Iterable[Point], classes: str = "", fill: str = "") -> str:
    """A closed area with a class wash or a pattern."""
    kind = f' class="{classes}"' if classes else ""
    paint = f' fill="{fill}"' if fill else ""
    return f'<path{kind}{paint} d="{points(path)}Z"/>'


def drawing(width: float, height: float, body: Iterable[str], title: str, classes: str = "") -> str:
    """The drawing with its size, role and spoken title."""
    kind = f' class="{classes}"' if classes else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg"{kind} viewBox="0 0 {num(width)} {num(height)}" '
        f'width="{num(width)}" height="{num(height)}" role="img" aria-label={quoteattr(title)}>{"".join(body)}</svg>'
    )


_HALO = re.compile(r'<text([^>]*?) class="([^"]*?)(halo(?:-ear|-wat)?)([^"]*)"([^>]*)>([^<]*)</text>')


def _twice(found: re.Match[str]) -> str:
    """A text with a halo as two texts: a white rim, then the letters, which no rim of a neighbour cuts."""
    before, first, halo, last, after, words = found.groups()
    kinds = " ".join(f"{first} {last}".split())
    rim = f'<text{before} class="{" ".join([*kinds.split(), halo])}"{after} aria-hidden="true">{words}</text>'
    return f'{rim}<text{before} class="{kinds}"{after}>{words}</text>'


def standalone(svg: str) -> str:
    """The same drawing in black on white with its own style and hatches, for a sheet of paper."""
    start = svg.index(">") + 1
    return f"{svg[:start]}<style>{BLACK}</style>{PATTERNS}{_HALO.sub(_twice, svg[start:])}"


def length_of(words: str, size: float = 15.0) -> float:
    """Estimated length of a label, px."""
    return len(words) * size * ADVANCE


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale for both directions: metres to pixels, z up.

    Parameters
    ----------
    left, top : float
        World coordinates of the upper left corner of the plot, m.
    per_metre : float
        Pixels to a metre, the same along x and z.
    x0, y0 : float
        Pixel position of that corner.
    """

    left: float
    top: float
    per_metre: float
    x0: float = 0.0
    y0: float = 0.0

    def at(self, point: Point) -> Point:
        """Pixel position of a world point."""
        return self.x0 + (point[0] - self.left) * self.per_metre, self.y0 + (self.top - point[1]) * self.per_metre

    def path(self, path: Iterable[Point]) -> list[Point]:
        """Pixel positions of world points."""
        return [self.at(point) for point in path]


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Heights of labels moved as little as needed to stand `gap` apart between `low` and `high`."""
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    placed = [min(max(wanted[index], low), high) for index in order]
    for this in range(1, len(placed)):
        placed[this] = max(placed[this], placed[this - 1] + gap)
    if placed and placed[-1] > high:
        placed[-1] = high
        for this in range(len(placed) - 2, -1, -1):
            placed[this] = min(placed[this], placed[this + 1] - gap)
    result = [0.0] * len(wanted)
    for place, index in enumerate(order):
        result[index] = placed[place]
    return result


def stairs(starts: Sequence[float], lengths: Sequence[float]) -> list[int]:
    """Rows for labels that stand left to right above their parts, so that no leader crosses a text."""
    rows: list[int] = []
    for index, start in enumerate(starts):
        under = [rows[k] + 1 for k in range(index) if starts[k] + lengths[k] + 8 > start]
        rows.append(max(under, default=0))
    return rows


def bar_step(span: float, steps: Sequence[float]) -> float:
    """The largest step of a scale bar of four steps that fits `span`, in the unit of `steps`."""
    fitting = [step for step in steps if 4 * step <= span]
    return fitting[-1] if fitting else steps[0]


def scale_bar(x: float, y: float, step_px: float, labels: Sequence[str]) -> str:
    """A black and white bar of equal steps; the last label carries the unit."""
    parts = []
    for index in range(len(labels) - 1):
        fill = "f-i" if index % 2 == 0 else "w-pap"
        parts.append(
            f'<rect class="g thin {fill}" x="{num(x + index * step_px)}" y="{num(y)}" '
            f'width="{num(step_px)}" height="6"/>'
        )
    for index, label in enumerate(labels):
        place = text(x + index * step_px, y + 21, label, "mid t-s f-p")
        parts.append(text(x + index * step_px - 4, y + 21, label, "t-s f-p") if index == len(labels) - 1 else place)
    return "".join(parts)


def upright(x: float, levels: Sequence[float], classes: str = "g thin s-l") -> str:
    """A dimension chain: an upright with a slash at each level."""
    slashes = "".join(f"M{num(x - 4)} {num(level + 4)}L{num(x + 4)} {num(level - 4)}" for level in levels)
    return f'<path class="{classes}" d="M{num(x)} {num(min(levels))}V{num(max(levels))}{slashes}"/>'


def level_line(y: float, ends: Sequence[float], classes: str = "g thin") -> str:
    """A dimension chain along the drawing: a level line with a slash at each end."""
    slashes = "".join(f"M{num(x - 4)} {num(y + 4)}L{num(x + 4)} {num(y - 4)}" for x in ends)
    return f'<path class="{classes}" d="M{num(min(ends))} {num(y)}H{num(max(ends))}{slashes}"/>'


def dot(x: float, y: float, classes: str = "f-p", names: str = "") -> str:
    """The end of a leader on its part; `names` is the key of the part that it must lie on."""
    told = f" data-names={quoteattr(names)}" if names else ""
    return f'<circle class="{classes}"{told} cx="{num(x)}" cy="{num(y)}" r="2.2"/>'


def part(key: str, body: Iterable[str]) -> str:
    """What is drawn of one part of a thing, under its key: leaders are held against it."""
    return f"<g data-part={quoteattr(key)}>{''.join(body)}</g>"


def below(path: Sequence[Point], level: float) -> list[list[Point]]:
    """The stretches of a bed line that lie under a level, each closed at the level."""
    stretches: list[list[Point]] = []
    current: list[Point] = []
    if path and path[0][1] < level:
        current = [(path[0][0], level), path[0]]
    for (x1, z1), (x2, z2) in pairwise(path):
        if (z1 < level) != (z2 < level):
            cross = x1 + (x2 - x1) * (level - z1) / (z2 - z1)
            if z2 < level:
                current = [(cross, level), (x2, z2)]
            else:
                stretches.append([*current, (cross, level)])
                current = []
        elif z2 < level:
            current.append((x2, z2))
    if current:
        stretches.append([*current, (current[-1][0], level)])
    return stretches


def height_at(path: Sequence[Point], x: float) -> float:
    """Height of a bed line at x, level beyond its ends."""
    if x <= path[0][0]:
        return path[0][1]
    for (x1, z1), (x2, z2) in pairwise(path):
        if x1 <= x <= x2:
            return z1 if x2 == x1 else z1 + (z2 - z1) * (x - x1) / (x2 - x1)
    return path[-1][1]
