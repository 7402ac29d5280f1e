"""Bed and set trap: outline from above with springs, stones and board; the pit in section with trap and cover."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from setwright.basis.units import inches
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document_footing import FootingFigure

# Clearance all round the trap in its bed, and widths of springs and levers [m].
CLEARANCE, SPRING = 0.025, 0.022
PAN = 0.3


def draw_bed(
    figure: FootingFigure, scale: svg.Scale, above: svg.Scale, narrow: bool, keys: list[tuple[str, str]]
) -> list[str]:
    """Both views of the bed; names what a narrow drawing has no room for in `keys`."""
    return [*_from_above(figure, above, narrow, keys), *_in_section(figure, scale)]


def _from_above(figure: FootingFigure, above: svg.Scale, narrow: bool, keys: list[tuple[str, str]]) -> list[str]:
    long, wide = 0.5 * figure.bed_length, 0.5 * figure.bed_width
    outline = [(-long, -wide), (long, -wide), (long, wide), (-long, wide)]
    body = [svg.area(above.path(outline), "w-ear"), svg.area(above.path(outline), "", "url(#h-dry)")]
    body.append(svg.area(above.path(outline), "g inkw"))
    if figure.board is not None:
        half, side = 0.5 * figure.board[0], 0.5 * figure.board[1]
        board = [(-half, -side), (half, -side), (half, side), (-half, side), (-half, -side)]
        body.append(svg.line(above.path(board), "g thin dash"))
    body += _trap(figure, above)
    for stone in figure.stones:
        x, y = above.at((stone.along, stone.across))
        body.append(f'<path class="g inkw w-pap" d="M{svg.num(x - 5)} {svg.num(y + 4)}h10l-5 -9Z"/>')
    left, right = above.at((-long, wide)), above.at((long, wide))
    y = left[1] - 7.0
    body.append(svg.level_line(y, [left[0], right[0]]))
    body.append(svg.text(0.5 * (left[0] + right[0]), y - 4, f"bed {inches(figure.bed_length, 2)}", "mid halo t-b"))
    x = left[0] - 9.0
    low = above.at((-long, -wide))[1]
    body.append(svg.upright(x, [left[1], low], "g thin"))
    body.append(
        f'<text class="mid halo t-b" transform="translate({svg.num(x - 4)} {svg.num(0.5 * (left[1] + low))}) '
        f'rotate(-90)">{inches(figure.bed_width, 2)}</text>'
    )
    named = figure.words.get("trap", "trap")
    spot = above.at((0.0, 0.0))
    if narrow:
        letter = chr(ord("A") + len(keys))
        keys.append((letter, named))
        body.append(svg.text(spot[0], spot[1] + 5, letter, "mid halo t-b"))
    else:
        end = (left[0], low + 17.0)
        body.append(svg.line([(spot[0], spot[1] + 8.0), (spot[0], low + 4.0)], "g hair s-p"))
        body.append(svg.dot(spot[0], spot[1] + 8.0) + svg.text(end[0], end[1], named, "halo"))
    return body


def _trap(figure: FootingFigure, above: svg.Scale) -> list[str]:
    """Open jaws, pan, and springs or levers at the ends of the hinge line."""
    x, y = above.at((0.0, 0.0))
    radius = 0.5 * figure.spread * above.per_metre
    length = 0.5 * figure.bed_length - CLEARANCE
    body = []
    root = length / 3.0 if figure.family == "long" else 0.5 * figure.spread * 0.9
    ends = (1.0, -1.0) if figure.springs > 1 else (1.0,)
    for end in ends:
        turn = figure.springs_bent if figure.family == "long" else 0.0
        side = 1.0 if figure.same_side or end > 0.0 else -1.0
        body.append(_spring((end * root, 0.0), end, side * turn, length - root, above))
    jaw = f'cx="{svg.num(x)}" cy="{svg.num(y)}"'
    body.append(f'<circle class="g" stroke-width="4.5" {jaw} r="{svg.num(radius)}"/>')
    base = [above.at((-0.5 * figure.spread, 0.0)), above.at((0.5 * figure.spread, 0.0))]
    body.append(svg.line(base, "g inkw"))
    body.append(f'<circle class="g inkw w-pap" {jaw} r="{svg.num(PAN * radius)}"/>')
    return body


def _spring(root: svg.Point, end: float, turn: float, length: float, above: svg.Scale) -> str:
    """A spring or lever as a strip from the hinge line's end, turned out of it."""
    along, across = end * math.cos(turn), math.sin(turn)
    if length <= 0.0:
        return ""
    half = 0.5 * SPRING
    tip = (root[0] + along * length, root[1] + across * length)
    normal = (-across * half, along * half)
    strip = [
        (root[0] + normal[0], root[1] + normal[1]), (tip[0] + normal[0], tip[1] + normal[1]),
        (tip[0] - normal[0], tip[1] - normal[1]), (root[0] - normal[0], root[1] - normal[1]),
    ]  # fmt: skip
    return svg.area(above.path(strip), "g inkw w-pap")


def _in_section(figure: FootingFigure, scale: svg.Scale) -> list[str]:
    half, deep = 0.5 * figure.bed_length, figure.bed_depth
    pit = [(-half, 0.0), (-0.94 * half, -deep), (0.94 * half, -deep), (half, 0.0)]
    body = [svg.area(scale.path(pit), "w-pap"), svg.area(scale.path(pit), "", "url(#h-dry)")]
    if figure.frozen > 0.0:
        thick = min(figure.frozen, deep)
        crust = [(-half, 0.0), (half, 0.0), (0.97 * half, -thick), (-0.97 * half, -thick)]
        body.append(svg.area(scale.path(crust), "", "url(#h-crust)"))
    body.append(svg.line(scale.path(pit), "g heavy"))
    if figure.board is not None:
        reach = 0.5 * figure.board[0]
        body.append(svg.line(scale.path([(-reach, -deep), (reach, -deep)]), "g", ' stroke-width="5"'))
    floor, top = -deep + 0.004, -max(figure.cover, 0.004)
    reach, high = 0.5 * figure.spread, top - 0.006
    post = (-0.012, -0.012, 0.012, 0.012)
    body += [
        svg.line(scale.path([(-reach, floor), (reach, floor)]), "g heavy"),
        svg.line(scale.path(list(zip(post, (floor, high, high, floor), strict=True))), "g inkw"),
        svg.line(scale.path([(-reach, top), (-PAN * reach, top)]), "g", ' stroke-width="4"'),
        svg.line(scale.path([(PAN * reach, top), (reach, top)]), "g", ' stroke-width="4"'),
        svg.line(scale.path([(-PAN * reach, top), (PAN * reach, top)]), "g heavy"),
    ]
    if figure.sunk > 0.005:
        down = [(x, -deep - figure.sunk) for x in (-reach, reach)]
        body.append(svg.line(scale.path(down), "g inkw dash s-l"))
        x, y = scale.at((-reach, -deep - figure.sunk))
        body.append(svg.text(x, y + 15, f"sinks to here, {inches(figure.sunk, 2)}", "halo-ear t-s"))
    x = scale.at((-half, 0.0))[0] - 9.0
    levels = [scale.at((0.0, 0.0))[1], scale.at((0.0, -deep))[1]]
    body.append(svg.upright(x, levels, "g thin"))
    body.append(svg.text(x - 7, 0.5 * sum(levels) + 5, inches(deep, 4), "end halo-ear t-b"))
    return body
