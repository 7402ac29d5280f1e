"""Ground in a section: the hatch for a soil, layers beneath a bed line, labels above the parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from setwright.basis.units import metric
from setwright.draw import svg

_HATCH = (
    ("gravel", "h-gravel"), ("cobble", "h-gravel"), ("rock", "h-gravel"), ("stone", "h-gravel"),
    ("muck", "h-muck"), ("peat", "h-muck"), ("organic", "h-muck"), ("silt", "h-muck"), ("mud", "h-muck"),
    ("loam", "h-loam"), ("sand", "h-sand"), ("clay", "h-clay"),
)  # fmt: skip

STEPS_INCH = (0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 60.0, 120.0)
STEPS_CM = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)


def hatch(words: str) -> str:
    """The name of the hatch for a ground that is named in words."""
    low = words.lower()
    # The last word decides: a sandy loam is a loam, a loamy sand is a sand.
    found = [(low.rfind(word), pattern) for word, pattern in _HATCH if word in low]
    return max(found)[1] if found else "h-loam"


def layers_of(words: dict[str, str], layers: Sequence[dict[str, Any]]) -> list[tuple[str, float, float | None]]:
    """Name, top and bottom of each layer below the bed; from the words when no layers are given."""
    if layers:
        found: list[tuple[str, float, float | None]] = []
        top = 0.0
        for layer in layers:
            thickness = layer.get("thickness")
            found.append((str(layer.get("label", "")), top, None if thickness is None else top + float(thickness)))
            if thickness is None:
                break
            top += float(thickness)
        else:
            # Beneath the last measured layer the ground is not known: it is drawn as the same.
            found[-1] = (found[-1][0], found[-1][1], None)
        return found
    above, under = words.get("ground", ""), words.get("ground_below", "")
    if under:
        return [(above, 0.0, 0.25), (under, 0.25, None)]
    return [(above, 0.0, None)]


def soil(
    scale: svg.Scale, bed: Sequence[svg.Point], layers: list[tuple[str, float, float | None]], deepest: float
) -> list[str]:
    """Washed and hatched ground beneath a bed line, with a dashed boundary on top of each lower layer."""
    floor = [(bed[-1][0], deepest), (bed[0][0], deepest)]
    parts = [svg.area(scale.path([*bed, *floor]), "w-ear")]
    for name, top, bottom in layers:
        upper = [(x, max(z - top, deepest)) for x, z in bed]
        lower = floor if bottom is None else [(x, max(z - bottom, deepest)) for x, z in reversed(bed)]
        if "unknown" not in name:
            parts.append(svg.area(scale.path([*upper, *lower]), "", f"url(#{hatch(name)})"))
        if top > 0.0:
            parts.append(svg.line(scale.path(upper), "g thin s-e dash"))
    return parts


def rail(
    parts: Sequence[tuple[svg.Point, str]], base: float, row: float, narrow: bool, width: float, first: str = "A"
) -> tuple[list[str], list[tuple[str, str]], int]:
    """Names above the drawing with a leader down to each part; letters with a list on a narrow drawing."""
    ordered = sorted(parts, key=lambda part: part[0][0])
    if narrow:
        body, keys = [], []
        centres = svg.spread([at[0] for at, _ in ordered], 22.0, 8.0, width - 8.0)
        for index, ((at, words), x) in enumerate(zip(ordered, centres, strict=True)):
            letter = chr(ord(first) + index)
            keys.append((letter, words))
            body.append(svg.line([(x, base + 3), at], "g hair s-p") + svg.dot(*at))
            body.append(svg.text(x, base, letter, "mid t-b halo"))
        return body, keys, 1
    starts = [at[0] + 2 for at, _ in ordered]
    lengths = [svg.length_of(words) for _, words in ordered]
    rows = svg.stairs(starts, lengths)
    # The row count is only known here, so texts stand above `base`: the lowest row on it.
    count = max(rows, default=0) + 1
    body = []
    for (at, words), start, step in zip(ordered, starts, rows, strict=True):
        y = base - (count - 1 - step) * row
        body.append(svg.line([(at[0], y - 11), at], "g hair s-p") + svg.dot(*at))
        body.append(svg.text(start + 2, y, words, "halo"))
    return body, [], count


def scale_line(x: float, y: float, per_metre: float, room: float) -> str:
    """The scale bar under a section, in inches or feet; in cm or m where metric units are shown."""
    if metric():
        step = svg.bar_step(room / per_metre * 100.0, STEPS_CM)
        unit, size = ("m", step / 100.0) if step >= 50.0 else ("cm", step)
        names = [f"{k * size:g}" for k in range(4)] + [f"{4 * size:g} {unit}"]
        return svg.scale_bar(x, y, step * 0.01 * per_metre, names)
    inch = svg.bar_step(room / per_metre / 0.0254, STEPS_INCH)
    unit, size = ("ft", inch / 12.0) if inch >= 12.0 else ("in", inch)
    labels = [f"{k * size:g}" for k in range(4)] + [f"{4 * size:g} {unit}"]
    return svg.scale_bar(x, y, inch * 0.0254 * per_metre, labels)
