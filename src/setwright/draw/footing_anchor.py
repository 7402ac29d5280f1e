"""Anchor and chain: laid out from the trap, in section with the pull on it, and its head seen from above."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from setwright.basis.units import feet, inches
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document_footing import FootingFigure

LINK, HEAD, ARROW = 9.0, 0.05, 58.0
TREE, SAPLING = 0.22, 0.05


def draw_anchor(
    figure: FootingFigure,
    scale: svg.Scale,
    above: svg.Scale,
    at: float,
    narrow: bool,
    keys: list[tuple[str, str]],
) -> list[str]:
    """Chain and anchor in both views, with depths and the pull; `at` is where the head stands [m]."""
    head = (at, 0.0)
    body = [*_chain(figure, scale, above, at)]
    body += _below(figure, scale, head, narrow)
    if figure.driven is not None:
        body += _pull(figure, scale, head)
    x, y = above.at((at, 0.0))
    if figure.kind in ("tree", "sapling"):
        radius = 0.5 * _thick(figure) * above.per_metre
        x += radius
        body.append(f'<circle class="g heavy w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{svg.num(radius)}"/>')
    else:
        body.append(f'<circle class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="4.5"/>')
    return [*body, *_name(figure, scale, head, narrow, keys)]


def head_of(figure: FootingFigure) -> float:
    """Where the chain ends [m] from the middle of the pan; a tree, a root or a weight stands clear of the bed."""
    if figure.kind not in ("tree", "sapling", "weight", "root"):
        return figure.chain
    return max(figure.chain, 0.5 * figure.bed_length + 0.2)


def _thick(figure: FootingFigure) -> float:
    return figure.thickness or (TREE if figure.kind == "tree" else SAPLING)


def _chain(figure: FootingFigure, scale: svg.Scale, above: svg.Scale, at: float) -> list[str]:
    """The chain laid out straight, as links from above and as a dashed line under the sod, with its length."""
    first = at - figure.chain
    start, end = above.at((first, 0.0))[0], above.at((at, 0.0))[0]
    y = above.at((0.0, 0.0))[1]
    count = max(int((end - start) / LINK), 1)
    step = (end - start) / count
    links = "".join(
        f'<ellipse class="g thin" cx="{svg.num(start + (k + 0.5) * step)}" cy="{svg.num(y)}" '
        f'rx="{svg.num(0.56 * step)}" ry="{2.6 if k % 2 == 0 else 0.9:g}"/>'
        for k in range(count)
    )
    buried = [(first, -figure.bed_depth + 0.004), (max(min(0.45 * figure.bed_length, at), first), -0.03)]
    buried.append((at, 0.02 if figure.kind in ("tree", "sapling", "drag", "weight") else -0.005))
    line = scale.at((0.0, 0.0))[1] - 12.0
    body = [links, svg.line(scale.path(buried), "g thin dash"), svg.level_line(line, [start, end])]
    body += [svg.line([(x, line - 4), (x, scale.at((0.0, 0.0))[1])], "g hair") for x in (start, end)]
    middle = 0.5 * (start + end)
    body.append(svg.text(middle, line - 6, f"chain {feet(figure.chain)}", "mid halo t-b"))
    return body


def _pull(figure: FootingFigure, scale: svg.Scale, head: svg.Point) -> list[str]:
    """The pull of a lunge beyond the head, at its angle above the ground."""
    x, y = scale.at(head)
    angle = min(max(figure.angle, 0.0), 0.5 * math.pi)
    tip = (x + ARROW * math.cos(angle), y - ARROW * math.sin(angle))
    barb = [(tip[0] - 11 * math.cos(angle + side), tip[1] + 11 * math.sin(angle + side)) for side in (0.4, -0.4)]
    words = f"pull, {math.degrees(angle):.0f}°"
    return [
        svg.line([(x, y), tip], "g inkw s-l"),
        f'<path class="f-l" d="{svg.points([tip, *barb])}Z"/>',
        svg.text(tip[0] + 6, tip[1] + (4 if angle > 0.15 else -6), words, "halo t-s"),
    ]


def _below(figure: FootingFigure, scale: svg.Scale, head: svg.Point, narrow: bool) -> list[str]:
    """What stands in the ground or on it."""
    if figure.kind in ("stake", "crossed") and figure.driven is not None:
        leans = (figure.lean, -figure.lean) if figure.kind == "crossed" else (-figure.lean,)
        body = [part for lean in leans for part in _stake(scale, head, figure.driven, lean)]
        deep = figure.driven * math.cos(figure.lean)
        return [*body, *_depth(figure, scale, head, [deep], [] if narrow else ["driven"])]
    if figure.kind == "plate" and figure.driven is not None:
        return _plate(figure, scale, head, figure.driven, narrow)
    drawn = {"tree": _tree, "sapling": _tree, "root": _root, "drag": _drag, "weight": _weight}.get(figure.kind)
    return [] if drawn is None else drawn(figure, scale, head)


def _tree(figure: FootingFigure, scale: svg.Scale, head: svg.Point) -> list[str]:
    half = 0.5 * _thick(figure)
    sides = []
    for side in (-half, half):
        x, y = scale.at((head[0] + half + side, 0.0))
        sides.append(svg.line([(x, y - 54.0), (x, y)], "g heavy"))
        sides.append(svg.line([(x, y), (x + math.copysign(0.16 * scale.per_metre, side), y + 26.0)], "g inkw"))
    return sides


def _root(figure: FootingFigure, scale: svg.Scale, head: svg.Point) -> list[str]:
    run = [(head[0] + along, deep) for along, deep in ((-0.25, -0.14), (-0.1, -0.02), (0.1, -0.02), (0.25, -0.14))]
    wide = max(_thick(figure) * scale.per_metre, 4.0)
    return [svg.line(scale.path(run), "g", f' stroke-width="{svg.num(wide)}"')]


def _drag(figure: FootingFigure, scale: svg.Scale, head: svg.Point) -> list[str]:
    del figure
    x = head[0]
    prongs = [
        svg.line(scale.path([(x + 0.3, 0.01), (x + 0.24, 0.09 * side), (x + 0.17, 0.06 * side)]), "g heavy")
        for side in (1.0, -0.6)
    ]
    return [svg.line(scale.path([(x, 0.01), (x + 0.3, 0.01)]), "g heavy"), *prongs]


def _weight(figure: FootingFigure, scale: svg.Scale, head: svg.Point) -> list[str]:
    del figure
    block = [(head[0], 0.0), (head[0], 0.22), (head[0] + 0.3, 0.22), (head[0] + 0.3, 0.0)]
    return [svg.area(scale.path(block), "g heavy w-pap")]


def _stake(scale: svg.Scale, head: svg.Point, driven: float, lean: float) -> list[str]:
    """A stake from its head over the ground to its tip; `lean` from the vertical, the tip the other way."""
    tip = (head[0] + driven * math.sin(lean), -driven * math.cos(lean))
    top = (head[0] - HEAD * math.sin(lean), HEAD * math.cos(lean))
    x, y = scale.at(tip)
    point = f'<path class="f-i" d="M{svg.num(x - 4)} {svg.num(y - 5)}h8l-4 9Z"/>'
    return [svg.line(scale.path([top, tip]), "g", ' stroke-width="4.5"'), point]


def _plate(figure: FootingFigure, scale: svg.Scale, head: svg.Point, driven: float, narrow: bool) -> list[str]:
    """The plate where it was driven, dashed, and where it lies after it has turned, on its cable."""
    keyed = figure.keyed if figure.keyed is not None else driven
    half = 0.5 * (figure.plate_length or 0.064)
    edge = scale.path([(head[0], -driven + 2.0 * half), (head[0], -driven)])
    flat = scale.path([(head[0] - half, -keyed), (head[0] + half, -keyed)])
    return [
        svg.line(scale.path([head, (head[0], -keyed)]), "g thin"),
        svg.line(edge, "g thin dash"),
        svg.line(flat, "g", ' stroke-width="5"'),
        *_depth(figure, scale, head, [keyed] if narrow else [keyed, driven], [] if narrow else ["turned", "driven"]),
    ]


def _depth(
    figure: FootingFigure, scale: svg.Scale, head: svg.Point, depths: list[float], said: list[str]
) -> list[str]:
    """A dimension beside the anchor from the ground down to each depth, and where the ground refused it."""
    aside = max((d * math.tan(figure.lean) for d in depths[:1] if figure.kind != "plate"), default=0.0)
    body = []
    for number, deep in enumerate(depths):
        x = scale.at((head[0] + abs(aside), 0.0))[0] + 20.0 + 64.0 * number
        levels = [scale.at((0.0, 0.0))[1], scale.at((0.0, -deep))[1]]
        body.append(svg.upright(x, levels, "g thin s-l"))
        y = levels[0] + 0.62 * (levels[1] - levels[0])
        body.append(svg.text(x + 6, y, feet(deep) if deep > 0.6 else inches(deep, 2), "halo-ear t-b"))
        if said:
            body.append(svg.text(x + 6, y + 15, said[number], "halo-ear t-s"))
    if figure.refused is not None:
        x, y = scale.at((head[0], -figure.refused))
        body.append(svg.line([(x - 16, y), (x + 16, y)], "g heavy s-l"))
        body.append(svg.text(x - 20, y + 5, "refused", "end halo-ear t-s"))
    return body


def _name(
    figure: FootingFigure, scale: svg.Scale, head: svg.Point, narrow: bool, keys: list[tuple[str, str]]
) -> list[str]:
    """The anchor's name with a leader; letters in its place on a narrow drawing, with the depths that bind."""
    words = figure.words.get("anchor", "anchor")
    if figure.driven is None:
        x, y = scale.at((head[0], 0.0))
        wide = _thick(figure) * scale.per_metre if figure.kind in ("tree", "sapling") else 20.0
        spot, end, classes = (x + 0.7 * wide, y - 24.0), (x + wide + 14.0, y - 34.0), "halo"
        if figure.kind == "drag":
            spot = (x + 20.0, y - 4.0)
        if figure.kind == "root":
            spot, end, classes = (x, y + 6.0), (x + 30.0, y + 30.0), "halo-ear"
    elif figure.kind == "crossed":
        down = 0.85 * figure.driven
        spot = scale.at((head[0] + down * math.sin(figure.lean), -down * math.cos(figure.lean)))
        end, classes = (spot[0] - 22.0, spot[1] + 8.0), "end halo-ear"
    else:
        spot = scale.at((head[0], -0.35 * figure.driven))
        end, classes = (spot[0] - 22.0, spot[1] + 10.0), "end halo-ear"
    if narrow:
        letter = chr(ord("A") + len(keys))
        if figure.keyed is not None and figure.driven is not None:
            words = f"{words}: driven {feet(figure.driven)}, {feet(figure.keyed)} when it has turned"
        elif figure.driven is not None:
            words = f"{words}, {feet(figure.driven)} driven"
        keys.append((letter, words))
        words = letter
        classes += " t-b"
    x = end[0] + (-4.0 if classes.startswith("end") else 4.0)
    return [svg.line([spot, end], "g hair s-p") + svg.dot(*spot), svg.text(x, end[1] + 5.0, words, classes)]
