"""Anchor, chain and bed at one scale: the bed seen from above, over it the ground cut along the chain."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from setwright.basis.units import feet, inches
from setwright.draw import svg
from setwright.draw.footing_anchor import draw_anchor, head_of
from setwright.draw.footing_bed import draw_bed
from setwright.draw.ground import layers_of, scale_line, soil

if TYPE_CHECKING:
    from setwright.desk.document_footing import FootingFigure

PHONE = 480.0
# Room round the drawing [m], and the depth shown where nothing is driven.
ROOM, SHALLOW = 0.1, 0.35
# What lies beyond the head of what is not driven [m].
BEYOND = {"drag": 0.4, "weight": 0.4, "tree": 0.45, "sapling": 0.3, "root": 0.35}
# Room over, between, under and to the left of the two views [px].
HEAD, BETWEEN, FOOT, SIDE = 26.0, 70.0, 36.0, 50.0


def footing(figure: FootingFigure, width: float, tallest: float = 560.0, letters: bool | None = None) -> str:
    """Draw anchor, chain and bed.

    Parameters
    ----------
    figure : FootingFigure
        Geometry, m.
    width : float
        Width of the drawing, px.
    tallest : float
        Greatest height, px; the scale shrinks to keep it.
    letters : bool, optional
        Letters in place of names; by default on a narrow drawing.
    """
    return _made(figure, width, tallest, width < PHONE if letters is None else letters)[0]


def footing_keys(figure: FootingFigure) -> list[tuple[str, str]]:
    """The letters of the narrow cut and what each stands for."""
    return _made(figure, 350.0, 460.0, True)[1]


def _deepest(figure: FootingFigure) -> float:
    """How deep the section must go [m]."""
    deep = [SHALLOW, figure.bed_depth + 0.15]
    if figure.driven is not None:
        deep.append(figure.driven * (math.cos(figure.lean) if figure.kind != "plate" else 1.0) + 0.08)
    top = 0.0
    for layer in figure.layers:
        if layer.thickness is None:
            deep.append(top + 0.12)
            break
        top += layer.thickness
    return max(deep) if figure.driven is None else max(deep[:3])


def _made(figure: FootingFigure, width: float, tallest: float, narrow: bool) -> tuple[str, list[tuple[str, str]]]:
    aside = 0.0
    if figure.driven is not None and figure.kind != "plate":
        aside = figure.driven * math.sin(abs(figure.lean))
    half = max(0.5 * figure.bed_length, 0.5 * (figure.board or (0.0, 0.0))[0])
    head, beyond = head_of(figure), BEYOND.get(figure.kind, 0.0)
    left, right = -half - ROOM, max(head + aside + beyond, half) + 0.4 * ROOM
    across = max(figure.bed_width, (figure.board or (0.0, 0.0))[1])
    deepest = _deepest(figure)
    column = 70.0 if narrow else 230.0
    beside = 0.0 if figure.driven is None else 86.0 if narrow or figure.kind != "plate" else 150.0
    room = max(tallest - HEAD - BETWEEN - FOOT, 120.0)
    per_metre = min((width - column - SIDE - beside) / (right - left), room / (across + deepest))
    right = max(right, left + (width - column - SIDE) / per_metre)
    level = HEAD + across * per_metre + BETWEEN
    scale = svg.Scale(left, 0.0, per_metre, SIDE, level)
    above = svg.Scale(left, 0.5 * across, per_metre, SIDE, HEAD)
    layers = layers_of({}, [layer.model_dump() for layer in figure.layers])
    body = soil(scale, [(left, 0.0), (right, 0.0)], layers, -deepest)
    if figure.frozen > 0.0:
        frost = [(left, 0.0), (right, 0.0), (right, -figure.frozen), (left, -figure.frozen)]
        body.append(svg.area(scale.path(frost), "", "url(#h-crust)"))
    body.append(svg.line(scale.path([(left, 0.0), (right, 0.0)]), "g heavy bed"))
    keys: list[tuple[str, str]] = []
    body += draw_bed(figure, scale, above, narrow, keys)
    body += draw_anchor(figure, scale, above, head, narrow, keys)
    body += _layers(figure, scale, layers, right, deepest, narrow, keys)
    bottom = scale.at((left, -deepest))[1]
    body.append(scale_line(8, bottom + 10, per_metre, min(width * 0.4, 300.0)))
    title = (
        f"Bed from above and ground in section at one scale: {figure.words.get('trap', 'trap')}, chain "
        f"{feet(figure.chain)}, {figure.words.get('anchor', 'anchor')}"
    )
    return svg.drawing(width, bottom + FOOT, body, title), keys


def _layers(
    figure: FootingFigure,
    scale: svg.Scale,
    layers: list[tuple[str, float, float | None]],
    right: float,
    deepest: float,
    narrow: bool,
    keys: list[tuple[str, str]],
) -> list[str]:
    """Names of the layers beside the section, with the depth at which each begins."""
    body = []
    x = scale.at((right, 0.0))[0]
    spots, names = [], []
    if figure.frozen > 0.0:
        spots.append(scale.at((right, -0.5 * figure.frozen))[1])
        names.append(f"frozen, {inches(figure.frozen, 2)}")
    for name, top, under in layers:
        if top >= deepest or not name:
            continue
        low = min(deepest, deepest if under is None else under)
        spots.append(scale.at((right, -0.5 * (top + low)))[1])
        names.append(name if top == 0.0 else f"{name}, from {feet(top)} down")
    bottom = scale.at((right, -deepest))[1]
    for y, name in zip(svg.spread(spots, 18.0, scale.at((right, 0.0))[1] + 10.0, bottom - 4.0), names, strict=True):
        if narrow:
            letter = chr(ord("A") + len(keys))
            keys.append((letter, name))
            body.append(svg.text(x + 8, y + 5, letter, "t-b"))
        else:
            body.append(svg.text(x + 8, y + 5, name, "f-e"))
    return body
