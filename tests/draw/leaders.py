"""Reads a drawing back: what was drawn of each part, as areas, and where each leader ends.

Nothing of the drawing code is used: shapes come from the SVG text alone, widths of lines from the page's grammar.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

# Widths of lines by class, px, as the page's style sheet has them.
WIDTHS = {"hair": 0.75, "thin": 1.0, "inkw": 1.75, "heavy": 3.0}
# Coordinates are rounded to a tenth of a pixel, and a dot has a radius of 2.2 px: its middle must lie on the part.
SLACK = 0.15


@dataclass(frozen=True)
class Drawn:
    """One thing drawn, in the order of painting: its part (none for the rest), its area, whether it covers."""

    parts: tuple[str, ...]
    area: BaseGeometry
    covers: bool


@dataclass(frozen=True)
class Leader:
    """Where a name points to, and the end of the line that leads there."""

    names: str
    at: tuple[float, float]


def _numbers(text: str) -> list[float]:
    return [float(part) for part in re.findall(r"-?\d*\.?\d+", text)]


def rings(data: str) -> list[tuple[list[tuple[float, float]], bool]]:
    """Points of each piece of a path of straight lines, and whether it is closed."""
    found: list[tuple[list[tuple[float, float]], bool]] = []
    here = (0.0, 0.0)
    points: list[tuple[float, float]] = []
    for letter, text in re.findall(r"([MLHVlhvmZz])([^MLHVlhvmZz]*)", data):
        numbers = _numbers(text)
        if letter in "Zz":
            found.append((points, True))
            here = points[0]
            points = []
        elif letter in "Mm":
            if points:
                found.append((points, False))
            here = (numbers[0], numbers[1]) if letter == "M" else (here[0] + numbers[0], here[1] + numbers[1])
            points = [here]
            for x, y in zip(numbers[2::2], numbers[3::2], strict=True):
                here = (x, y) if letter == "M" else (here[0] + x, here[1] + y)
                points.append(here)
        else:
            if not points:
                points = [here]
            if letter in "Ll":
                for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                    here = (x, y) if letter == "L" else (here[0] + x, here[1] + y)
                    points.append(here)
            else:
                for value in numbers:
                    if letter in "Hh":
                        here = (value if letter == "H" else here[0] + value, here[1])
                    else:
                        here = (here[0], value if letter == "V" else here[1] + value)
                    points.append(here)
    if points:
        found.append((points, False))
    return found


def _stroke(node: ET.Element, kinds: list[str]) -> float:
    if "g" not in kinds:
        return 0.0
    own = node.get("stroke-width")
    return float(own) if own else max((WIDTHS[kind] for kind in kinds if kind in WIDTHS), default=1.0)


def _filled(node: ET.Element, kinds: list[str]) -> bool:
    return (node.get("fill") or "none") != "none" or any(kind.startswith(("w-", "f-")) for kind in kinds)


def area_of(node: ET.Element) -> BaseGeometry | None:
    """What an element covers: its fill, and its line as wide as it is drawn."""
    kinds = (node.get("class") or "").split()
    width, filled = _stroke(node, kinds), _filled(node, kinds)
    tag = node.tag.split("}")[-1]
    shapes: list[BaseGeometry] = []
    if tag in ("circle", "ellipse"):
        rx = float(node.get("r") or node.get("rx") or 0.0)
        ry = float(node.get("r") or node.get("ry") or 0.0)
        cx, cy = float(node.get("cx") or 0.0), float(node.get("cy") or 0.0)
        import math

        edge = [(cx + rx * math.cos(k / 24 * math.pi), cy + ry * math.sin(k / 24 * math.pi)) for k in range(48)]
        shapes = [Polygon(edge)] if filled else []
        shapes.append(LineString([*edge, edge[0]]).buffer(0.5 * width + SLACK))
    elif tag == "rect":
        x, y, wide, high = (float(node.get(name) or 0.0) for name in ("x", "y", "width", "height"))
        edge = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        shapes = [Polygon(edge)] if filled else [LineString([*edge, edge[0]]).buffer(0.5 * width + SLACK)]
    elif tag == "path":
        solid: BaseGeometry | None = None
        for points, closed in rings(node.get("d") or ""):
            line = [*points, points[0]] if closed else points
            if len(line) >= 2:
                shapes.append(LineString(line).buffer(0.5 * width + SLACK))
            if filled and len(points) >= 3:
                piece = Polygon(points).buffer(0)
                # Pieces of one path cut each other out, as the even-odd rule has it.
                even = node.get("fill-rule") == "evenodd"
                solid = piece if solid is None else solid.symmetric_difference(piece) if even else solid.union(piece)
        if solid is not None:
            shapes.append(solid)
    return unary_union(shapes) if shapes else None


def read(text: str) -> tuple[list[Drawn], list[Leader]]:
    """All that is drawn in order, and all leaders."""
    drawn: list[Drawn] = []
    leaders: list[Leader] = []

    def walk(node: ET.Element, parts: tuple[str, ...]) -> None:
        here = (*parts, node.attrib["data-part"]) if "data-part" in node.attrib else parts
        if "data-names" in node.attrib:
            leaders.append(Leader(node.attrib["data-names"], (float(node.attrib["cx"]), float(node.attrib["cy"]))))
            return
        tag = node.tag.split("}")[-1]
        if tag in ("pattern", "defs", "style", "text", "title", "desc"):
            return
        found = area_of(node)
        kinds = (node.get("class") or "").split()
        if found is not None and not found.is_empty:
            # Hatches and hair lines let what is under them be seen.
            opaque = any(kind.startswith("w-") for kind in kinds) or any(k.startswith("f-") for k in kinds)
            drawn.append(Drawn(here, found, opaque))
        for child in node:
            walk(child, here)

    walk(ET.fromstring(text), ())
    return drawn, leaders


def astray(text: str) -> list[str]:
    """Leaders that do not end on the part that they name, or end where something else is painted over it."""
    drawn, leaders = read(text)
    wrong = []
    for leader in leaders:
        point = Point(leader.at)
        on = [index for index, one in enumerate(drawn) if leader.names in one.parts and one.area.covers(point)]
        if not on:
            wrong.append(f"{leader.names} at {leader.at}: not on the part")
            continue
        over = [one for one in drawn[on[-1] + 1 :] if one.covers and one.area.covers(point)]
        if over:
            wrong.append(f"{leader.names} at {leader.at}: under {over[-1].parts or 'something else'}")
    return wrong


def moved(text: str, by: float) -> list[str]:
    """The same drawing once for each leader, with that leader moved to the right."""
    found = []
    for match in re.finditer(r'(data-names="[^"]*" cx=")(-?[\d.]+)(")', text):
        found.append(f"{text[: match.start(2)]}{float(match[2]) + by}{text[match.end(2) :]}")
    return found
