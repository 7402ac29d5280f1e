"""Section of a land set: hole, bed, trap, cover, stakes, crust, with the measures a hand needs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.ground import layers_of, rail, scale_line, soil

if TYPE_CHECKING:
    from setwright.desk.document import Figure

_ROW = 19.0
_HOLE_WIDTH = 0.08
_HOLE_LEAN = 0.6


def _stakes(figure: Figure) -> list[svg.Point]:
    """Tips of the stakes, m: one upright, or two leaning apart when an angle is given."""
    lengths = figure.lengths
    if "stake_length" not in lengths:
        return []
    angle = lengths.get("stake_angle", 0.0)
    head = -lengths.get("bed_depth", 0.0)
    sides = (-1.0, 1.0) if angle > 0.0 else (0.0,)
    return [
        (side * lengths["stake_length"] * math.sin(angle), head - lengths["stake_length"] * math.cos(angle))
        for side in sides
    ]


def draw_land(figure: Figure, width: float, tallest: float, narrow: bool) -> tuple[str, list[tuple[str, str]]]:
    """Draw a land set, pan centre at x = 0; a stake that goes deeper than the sheet is drawn broken."""
    lengths, words = figure.lengths, figure.words
    bed_long, bed_deep = lengths.get("bed_length", 0.2), lengths.get("bed_depth", 0.06)
    cover = lengths.get("cover", 0.0)
    hole = lengths.get("hole_distance")
    deep_hole = lengths.get("hole_depth", 0.15) if hole is not None else 0.0
    tips = _stakes(figure)
    lip = -hole if hole is not None else -bed_long
    far = lip - _HOLE_WIDTH - deep_hole * _HOLE_LEAN if hole is not None else -1.6 * bed_long
    left = min([far - 0.08, -bed_long, *(x - 0.05 for x, _ in tips)])
    right = max([bed_long * 1.25, *(x + 0.05 for x, _ in tips)])
    wanted = min([-bed_deep - 0.1, -deep_hole - 0.06, *(z - 0.06 for _, z in tips)])
    least = min(-bed_deep - 0.1, -deep_hole - 0.06)
    head = 58.0 if narrow else 84.0
    column = 74.0 if narrow else 150.0
    room = max(tallest - head - 40.0, 70.0)
    per_metre = min((width - column) / (right - left), room / -least)
    if room / -wanted >= 0.6 * per_metre:
        per_metre = min(per_metre, room / -wanted)
    bottom = max(wanted, -room / per_metre)
    right = max(right, left + (width - column) / per_metre)
    scale = svg.Scale(left, 0.0, per_metre, 0.0, head)
    plot_right, plot_bottom = scale.at((right, bottom))
    half, inner = bed_long / 2, bed_long / 2 * 0.94
    pit: list[svg.Point] = [(-half, 0.0), (-inner, -bed_deep), (inner, -bed_deep), (half, 0.0)]
    ground: list[svg.Point] = [(left, 0.0)]
    if hole is not None:
        lean = deep_hole * _HOLE_LEAN
        ground += [
            (lip - _HOLE_WIDTH, 0.0),
            (lip - _HOLE_WIDTH - lean, -deep_hole),
            (lip - lean, -deep_hole - 0.01),
            (lip, 0.0),
        ]
    flat: list[svg.Point] = [(left, 0.0), (right, 0.0)]
    layers = layers_of(words, figure.layers)
    body = soil(scale, flat, layers, bottom)
    if hole is not None:
        body.append(svg.area(scale.path(ground[1:]), "w-pap"))
    body += [svg.area(scale.path(pit), "w-pap"), svg.area(scale.path(pit), "", "url(#h-dry)")]
    crust = lengths.get("crust", 0.0)
    if crust > 0.0:
        body.append(
            svg.area(scale.path([(-half, 0.0), (half, 0.0), (half, -crust), (-half, -crust)]), "", "url(#h-crust)")
        )
    ground += [*pit, (right, 0.0)]
    body.append(svg.line(scale.path(ground), "g heavy bed"))
    body.append(svg.line(scale.path([pit[0], pit[-1]]), "g inkw"))
    body += _trap(scale, bed_long, bed_deep, cover)
    parts: list[tuple[svg.Point, str]] = [((half * 0.7, -cover / 2), words.get("cover", "cover") + _amount(cover))]
    parts.append(((-half * 0.35, -max(cover, 0.006)), words.get("trap", "trap")))
    if crust > 0.0:
        parts.append(((half * 0.9, -crust * 0.6), f"frozen crust, {_millimetres(crust)}"))
    for tip in tips:
        body += _stake(scale, (0.0, -bed_deep), tip, bottom)
    if hole is not None:
        bait = (lip - _HOLE_WIDTH / 2 - deep_hole * _HOLE_LEAN * 0.85, -deep_hole * 0.85)
        x, y = scale.at(bait)
        radius = 0.016 * per_metre
        body.append(
            f'<ellipse class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" '
            f'rx="{svg.num(radius * 1.4)}" ry="{svg.num(radius)}"/>'
        )
        parts.append((bait, f"bait, {inches(deep_hole, 2)} down"))
        y = head - 12.0
        ends = [scale.at((lip, 0.0))[0], scale.at((0.0, 0.0))[0]]
        body.append(svg.level_line(y, ends))
        body += [svg.line([(x, y - 4), (x, head)], "g hair") for x in ends]
        middle = (ends[0] + ends[1]) / 2
        body.append(svg.text(middle, y - 5, inches(hole, 2), "mid halo t-b"))
    body += _bed_depth(scale, bed_deep, half, plot_right)
    names = [(scale.at(at), said) for at, said in parts]
    above, keys, _ = rail(names, 14.0 if narrow else 14.0 + _ROW * (_rows(names) - 1), _ROW, narrow, plot_right)
    body += above
    if tips:
        said = words.get("anchor", "stake")
        tip = max(tips)
        down = min(0.55, (bottom + bed_deep) / (tip[1] + bed_deep) * 0.8)
        at = scale.at((tip[0] * down, -bed_deep + (tip[1] + bed_deep) * down))
        if narrow:
            letter = chr(ord("A") + len(keys))
            keys.append((letter, said))
            body.append(svg.line([at, (at[0] + 26, at[1] + 4)], "g hair s-p") + svg.dot(*at))
            body.append(svg.text(at[0] + 30, at[1] + 9, letter, "halo-ear t-b"))
        else:
            body.append(svg.line([at, (at[0] + 46, at[1] + 6)], "g hair s-p") + svg.dot(*at))
            body.append(svg.text(at[0] + 50, at[1] + 11, said, "halo-ear"))
    body += _layer_names(scale, layers, right, bottom, narrow)
    body.append(scale_line(8, plot_bottom + 10, per_metre, min(width * 0.4, 300.0)))
    title = f"Section of the land set at one scale: {'hole, ' if hole is not None else ''}bed, trap, cover and anchor"
    return svg.drawing(width, plot_bottom + 36, body, title), keys


def _rows(names: list[tuple[svg.Point, str]]) -> int:
    ordered = sorted(names)
    return max(svg.stairs([at[0] for at, _ in ordered], [svg.length_of(said) for _, said in ordered])) + 1


def _amount(cover: float) -> str:
    return f", {inches(cover, 8)}" if cover > 0.0 else ""


def _millimetres(metres: float) -> str:
    return f"{metres * 1000:.0f} mm"


def _trap(scale: svg.Scale, bed_long: float, bed_deep: float, cover: float) -> list[str]:
    """The set trap in end view: base on the floor of the bed, post, jaws flat under the cover, pan between them."""
    reach = bed_long * 0.4
    level = -min(max(cover, 0.005), bed_deep * 0.6)
    floor = -bed_deep + 0.004

    def at(x: float, z: float) -> svg.Point:
        return scale.at((x, z))

    post = [at(-0.008, floor), at(-0.008, level - 0.006), at(0.008, level - 0.006), at(0.008, floor)]
    return [
        svg.line([at(-0.7 * reach, floor), at(0.7 * reach, floor)], "g heavy"),
        svg.line([at(0.7 * reach, floor), at(0.7 * reach, level - 0.008)], "g inkw"),
        svg.area(post, "g inkw w-pap"),
        svg.line([at(-reach, level - 0.004), at(-0.3 * reach, level - 0.004)], "g", ' stroke-width="4.5"'),
        svg.line([at(0.3 * reach, level - 0.004), at(reach, level - 0.004)], "g", ' stroke-width="4.5"'),
        svg.line([at(-0.26 * reach, level - 0.002), at(0.26 * reach, level - 0.002)], "g heavy"),
    ]


def _stake(scale: svg.Scale, head: svg.Point, tip: svg.Point, bottom: float) -> list[str]:
    x, y = scale.at(head)
    ring = f'<circle class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="4.5"/>'
    if tip[1] >= bottom:
        end = scale.at(tip)
        point = f'<path class="f-i" d="M{svg.num(end[0] - 4)} {svg.num(end[1] - 5)}h8l-4 9Z"/>'
        return [svg.line([(x, y), end], "g heavy"), point, ring]
    share = (head[1] - (bottom + 0.02)) / (head[1] - tip[1])
    end = scale.at((head[0] + (tip[0] - head[0]) * share, bottom + 0.02))
    mark = f'<path class="g thin" d="M{svg.num(end[0] - 7)} {svg.num(end[1] + 2)}l5 -4 4 7 5 -4"/>'
    return [svg.line([(x, y), end], "g heavy"), mark, ring]


def _bed_depth(scale: svg.Scale, bed_deep: float, half: float, plot_right: float) -> list[str]:
    x = scale.at((half, 0.0))[0] + 18.0
    top, low = scale.at((0.0, 0.0))[1], scale.at((0.0, -bed_deep))[1]
    body = [svg.upright(x, [top, low], "g thin"), svg.line([(scale.at((half, 0.0))[0], low), (x + 6, low)], "g hair")]
    if x < plot_right:
        body.append(svg.text(x + 9, (top + low) / 2 + 5, f"bed {inches(bed_deep, 4)}", "halo-ear t-b"))
    return body


def _layer_names(
    scale: svg.Scale, layers: list[tuple[str, float, float | None]], right: float, bottom: float, narrow: bool
) -> list[str]:
    body = []
    for name, top, under in layers:
        deep = min(-bottom, under if under is not None else -bottom)
        if not name or (deep - top) * scale.per_metre < 20.0 or narrow:
            continue
        x, y = scale.at((right, -(top + deep) / 2))
        y = min(y, scale.at((right, -top))[1] + 90.0)
        body.append(svg.text(x - 8, y + 5, name, "halo-ear f-e end"))
    return body
