"""Section of a water set along the slide: bed, layers, levels, trap, cable, stop, reach and the depth sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.ground import layers_of, rail, scale_line, soil

if TYPE_CHECKING:
    from setwright.desk.document import Figure

_ROW = 19.0


def _label(metres: float) -> str:
    return inches(metres, 2)


def _frame(figure: Figure) -> tuple[float, float, float, float]:
    """World bounds: left, right, bottom, top, m."""
    xs = [x for x, _ in figure.bed] + [x for x, _ in figure.points.values()]
    zs = [z for _, z in figure.bed] + [z for _, z in figure.points.values()] + list(figure.levels.values()) + [0.0]
    left, right = min(xs), max(xs)
    pad = 0.03 * (right - left)
    return left - pad, right + pad, min(zs) - 0.18, max(zs) + 0.08


def draw_water(figure: Figure, width: float, tallest: float, narrow: bool) -> tuple[str, list[tuple[str, str]]]:
    """Draw a water set; returns the drawing and its letters with their words."""
    left, right, bottom, top = _frame(figure)
    parts = _parts(figure)
    column = 4.0 if narrow else 8.0 + max(svg.length_of(words) for _, words, _ in _levels(figure))
    # The rows of names depend on the scale and the height on the rows: the widest scale asks for the fewest rows.
    widest = (width - column) / (right - left)
    head = 26.0 if narrow else 8.0 + _ROW * _rows(parts, widest)
    per_metre = min(widest, max(tallest - head - 40.0, 60.0) / (top - bottom))
    head = 26.0 if narrow else 8.0 + _ROW * _rows(parts, per_metre)
    per_metre = min(per_metre, max(tallest - head - 40.0, 60.0) / (top - bottom))
    # A deep narrow hole leaves width over: the bed is drawn farther out, level, rather than stretched.
    room = (width - column) / per_metre
    right = max(right, left + room)
    scale = svg.Scale(left, top, per_metre, 0.0, head)
    plot_right, plot_bottom = scale.at((right, bottom))
    known = _with_bank(figure)
    bed: list[svg.Point] = [(left, known[0][1]), *known, (right, known[-1][1])]
    body: list[str] = []
    for stretch in svg.below(bed, 0.0):
        shape = scale.path(stretch)
        body += [svg.area(shape, "w-wat"), svg.area(shape, "", "url(#h-water)")]
    layers = layers_of(figure.words, figure.layers)
    body += soil(scale, bed, layers, bottom)
    body.append(svg.line(scale.path(bed), "g heavy s-e bed"))
    body += _level_lines(figure, scale, bed, plot_right, narrow, width)
    body += _layer_names(scale, bed, layers, left, right, bottom, narrow)
    body += _steel(figure, scale)
    body += _depth_chain(figure, scale, plot_right, narrow)
    names = [(scale.at(at), words) for at, words in parts]
    above, keys, _ = rail(names, head - 10.0, _ROW, narrow, plot_right)
    body += above
    body.append(scale_line(8, plot_bottom + 10, per_metre, min(width * 0.4, 300.0)))
    title = "Section of the water set at one scale: bed, water levels, trap, cable, stop and reach"
    return svg.drawing(width, plot_bottom + 36, body, title), keys


def _with_bank(figure: Figure) -> list[svg.Point]:
    """The bed line; where the soundings begin at the water, the bank is drawn straight up to the stake."""
    bed: list[svg.Point] = list(figure.bed)
    stake = figure.points.get("stake")
    if stake is not None and stake[0] < bed[0][0] and stake[1] > bed[0][1]:
        return [stake, *bed]
    return bed


def _parts(figure: Figure) -> list[tuple[svg.Point, str]]:
    """The parts to be named with the place that each name points to, m."""
    points, words, lengths = figure.points, figure.words, figure.lengths
    parts: list[tuple[svg.Point, str]] = []
    if "stake" in points:
        parts.append((points["stake"], words.get("stake", "bank stake")))
    if "trap" in points:
        pan = f", pan {_label(lengths['pan_depth'])} under" if "pan_depth" in lengths else ""
        parts.append((points["trap"], words.get("trap", "trap") + pan))
    if "lock" in points:
        parts.append((points["lock"], words.get("lock", "one-way lock, resting")))
    if "stop" in points:
        parts.append((points["stop"], words.get("stop", "stop")))
    if "anchor" in points:
        parts.append((points["anchor"], words.get("anchor", "deep anchor")))
    return parts


def _rows(parts: list[tuple[svg.Point, str]], per_metre: float) -> int:
    ordered = sorted(parts, key=lambda part: part[0][0])
    starts = [at[0] * per_metre for at, _ in ordered]
    return max(svg.stairs(starts, [svg.length_of(said) for _, said in ordered]), default=0) + 1


def _levels(figure: Figure) -> list[tuple[float, str, str]]:
    """Levels with their words and line style."""
    found = [(0.0, figure.words.get("level", "set level"), "g inkw s-w")]
    for name, style in (("high", "g thin s-w dot"), ("low", "g thin s-w dash")):
        if name in figure.levels:
            level = figure.levels[name]
            words = figure.words.get(f"level_{name}", f"{name}, {'+' if level >= 0 else ''}{_label(level)}")
            found.append((level, words, style))
    return found


def _level_lines(
    figure: Figure, scale: svg.Scale, bed: list[svg.Point], plot_right: float, narrow: bool, width: float
) -> list[str]:
    body = []
    levels = _levels(figure)
    heights = [scale.at((0.0, level))[1] for level, _, _ in levels]
    for (level, _, style), y in zip(levels, heights, strict=True):
        for stretch in svg.below(bed, level):
            start, end = scale.at(stretch[0])[0], scale.at(stretch[-1])[0]
            body.append(svg.line([(start, y), (end, y)], style))
    sign = svg.below(bed, 0.0)
    if sign:
        wet = sign[-1]
        x = scale.at(((wet[0][0] + 2 * wet[-1][0]) / 3, 0.0))[0]
        y = heights[0]
        body.append(
            f'<path class="g thin s-w w-pap" style="fill:none" d="M{svg.num(x - 7)} {svg.num(y - 11)}h14l-7 11Z'
            f'M{svg.num(x - 5)} {svg.num(y + 4)}h10M{svg.num(x - 2.5)} {svg.num(y + 7.5)}h5"/>'
        )
    if not narrow:
        for (_, words, _), y, place in zip(levels, heights, svg.spread(heights, 18.0, 0.0, 1e6), strict=True):
            body.append(svg.line([(plot_right, y), (plot_right + 6, place)], "g hair s-w"))
            body.append(svg.text(min(plot_right + 8, width - 20), place + 5, words, "f-w"))
    return body


def _layer_names(
    scale: svg.Scale,
    bed: list[svg.Point],
    layers: list[tuple[str, float, float | None]],
    left: float,
    right: float,
    bottom: float,
    narrow: bool,
) -> list[str]:
    body = []
    for index, (name, top, under) in enumerate(layers):
        if not name:
            continue
        x = left + (right - left) * (0.05 if index == 0 else 0.3)
        surface = svg.height_at(bed, x)
        deepest = bottom if under is None else max(surface - under, bottom)
        thick = (surface - top - deepest) * scale.per_metre
        if thick < 20.0 or (narrow and svg.length_of(name) > 110):
            continue
        at = scale.at((x, surface - top))
        depth = "" if under is None or top > 0 else f", {_label(under)}"
        body.append(svg.text(at[0], at[1] + min(thick / 2 + 5, 60.0), name + depth, "halo-ear f-e"))
    return body


def _steel(figure: Figure, scale: svg.Scale) -> list[str]:
    points, lengths = figure.points, figure.lengths
    body = []
    for head, tip in (("stake", "stake_tip"), ("anchor", "anchor_tip")):
        if head in points and tip in points:
            body.append(svg.line(scale.path([points[head], points[tip]]), "g heavy"))
            x, y = scale.at(points[tip])
            body.append(f'<path class="f-i" d="M{svg.num(x - 4)} {svg.num(y - 5)}h8l-4 9Z"/>')
        elif head in points:
            # How deep it goes is not known: only its head is drawn.
            x, y = scale.at(points[head])
            body.append(svg.line([(x - 5, y), (x + 5, y)], "g heavy") + svg.line([(x, y), (x, y + 9)], "g heavy"))
    ends = [points[name] for name in ("stake", "anchor") if name in points]
    if len(ends) == 2:
        body.append(svg.line(scale.path(figure.cable or ends), "g inkw cable"))
        # Where the bed holds it up, the straight line is shown as what it cannot be.
        if len(figure.cable) > 2:
            body.append(svg.line(scale.path(ends), "g hair s-l dash"))
    if "trap" in points:
        # The trap is drawn lying set: base, jaws down either side, pan in the middle.
        x, y = scale.at(points["trap"])
        half = lengths.get("spread", 0.16) * scale.per_metre / 2
        body.append(svg.line([(x - half, y), (x + half, y)], "g heavy"))
        body.append(svg.line([(x - 0.45 * half, y - 4), (x + 0.45 * half, y - 4)], "g inkw"))
        body.append(svg.line([(x - half, y), (x - half, y - 5), (x - 0.7 * half, y - 5)], "g inkw"))
        body.append(svg.line([(x + half, y), (x + half, y - 5), (x + 0.7 * half, y - 5)], "g inkw"))
        if "lock" in points:
            body.append(svg.line([(x + half, y), scale.at(points["lock"])], "g thin dot"))
    for name in ("lock", "stop"):
        if name in points:
            x, y = scale.at(points[name])
            body.append(f'<circle class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="4"/>')
    if "stop" in points and "reach" in lengths:
        x, y = scale.at(points["stop"])
        radius = lengths["reach"] * scale.per_metre
        body.append(
            f'<path class="g thin s-l dash reach" d="M{svg.num(x - radius)} {svg.num(y)}'
            f'A{svg.num(radius)} {svg.num(radius)} 0 0 1 {svg.num(x + radius)} {svg.num(y)}"/>'
        )
        body.append(f'<circle class="f-l" cx="{svg.num(x)}" cy="{svg.num(y - radius)}" r="4"/>')
        body.append(svg.line([(x, y), (x, y - radius)], "g inkw dash"))
        body.append(svg.text(x, y - radius - 8, "nose", "halo-wat mid f-l"))
    return body


def _depth_chain(figure: Figure, scale: svg.Scale, plot_right: float, narrow: bool) -> list[str]:
    """The governing dimension chain at the stop: reach, clear of air required, to spare or short."""
    points, lengths = figure.points, figure.lengths
    if "stop" not in points or "reach" not in lengths:
        return []
    low = figure.levels.get("low", 0.0)
    stop_x, stop_z = points["stop"]
    nose = stop_z + lengths["reach"]
    clear = nose + lengths.get("required_clear", 0.0)
    heights = [scale.at((0.0, level))[1] for level in (stop_z, nose, clear, low)]
    spare = lengths.get("spare", low - clear)
    words = [
        f"{_label(lengths['reach'])} reach" + ("" if narrow else ": chain, trap, limb"),
        f"{_label(lengths.get('required_clear', 0.0))} clear" + ("" if narrow else " of air, required"),
        f"{_label(abs(spare))} {'to spare' if spare >= 0 else 'short'}",
    ]
    middles = [(heights[0] + heights[1]) / 2, (heights[1] + heights[2]) / 2, (heights[2] + heights[3]) / 2]
    places = svg.spread(middles, 17.0, 0.0, 1e6)
    long = 14.0 + max(svg.length_of(label) for label in words)
    # To the right of the reach where there is room for the words, else to its left.
    x = scale.at((stop_x + lengths["reach"], 0.0))[0] + 16.0
    side = 1.0
    if x + long > plot_right and scale.at((stop_x - lengths["reach"], 0.0))[0] - 16.0 > long:
        x, side = scale.at((stop_x - lengths["reach"], 0.0))[0] - 16.0, -1.0
    body = [svg.upright(x, heights)]
    nose_x = scale.at(points["stop"])[0]
    for y, start in ((heights[0], nose_x), (heights[1], nose_x), (heights[2], x), (heights[3], x)):
        body.append(svg.line([(start, y), (x + 6 * side, y)], "g hair s-l"))
    classes = "halo-wat f-l t-b" + (" end" if side < 0 else "")
    body += [svg.text(x + 10 * side, y + 5, said, classes) for said, y in zip(words, places, strict=True)]
    return body
