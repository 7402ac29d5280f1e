"""The section of a set, true to scale both ways: the one entry for water and land, and the list of its letters.

Layers of `Figure.layers` are mappings from the top down: `label` names the layer, `thickness` is in m (null: it
goes down without end).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from setwright.draw import svg
from setwright.draw.land import draw_land
from setwright.draw.water import draw_water

if TYPE_CHECKING:
    from setwright.desk.document import Figure

PHONE = 480.0


def section(figure: Figure, width: float, tallest: float = 470.0, letters: bool | None = None) -> str:
    """Draw the section at one scale.

    Parameters
    ----------
    figure : Figure
        Geometry of the set, m.
    width : float
        Width of the drawing, px.
    tallest : float
        Greatest height of the drawing, px; the scale shrinks to keep it.
    letters : bool, optional
        Put letters on the parts in place of names; by default on a narrow drawing.

    Returns
    -------
    str
        The drawing, or words in its place when the figure holds no geometry.
    """
    narrow = width < PHONE if letters is None else letters
    if figure.kind == "water" and len(figure.bed) >= 2:
        return draw_water(figure, width, tallest, narrow)[0]
    if figure.kind == "land" and figure.lengths:
        return draw_land(figure, width, tallest, narrow)[0]
    words = "No section: the depths of this set are not in the line book."
    return svg.drawing(width, 40, [svg.text(0, 24, words if width > 420 else "No section: depths not known.")], words)


def section_keys(figure: Figure) -> list[tuple[str, str]]:
    """The letters of the narrow cut and what each stands for."""
    if figure.kind == "water" and len(figure.bed) >= 2:
        return draw_water(figure, 358.0, 400.0, True)[1]
    if figure.kind == "land" and figure.lengths:
        return draw_land(figure, 358.0, 400.0, True)[1]
    return []
