"""Readings that cannot be: pairs that contradict each other, and the slip of unit behind a figure out of range."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.build import BAR_SHARE, HINGE_PLAY
from setwright.trap.model import COIL, INSIDE, SLOT, Dimensions, Number

# Readings that are no length: their unit in SI.
_UNITS = {
    "bevel": "rad", "set_angle": "rad", "lever_angle": "rad", "lever_mass": "kg", "ring_mass": "kg", "mass": "kg",
    "spring_rate": "N/m", "force": "N", "trip_force": "N", "lever_force": "N", "opening_force": "N",
    "springs": "one", "coil_turns": "one", "set_stress_share": "one", "arm_taper": "one", "spring_health": "one",
    "bearing_area": "m**2",
}  # fmt: skip

# By unit: what happened, the factor by which the figure came out too large, and the unit it was written in.
_SLIPS: dict[str, tuple[tuple[str, float, float], ...]] = {
    "m": (
        ("inches may stand where metres were written", 1.0 / 0.0254, 1.0),
        ("millimetres may stand where metres were written", 1000.0, 1.0),
        ("millimetres may stand where inches were written", 25.4, 0.0254),
        ("inches may stand where millimetres were written", 1.0 / 25.4, 0.001),
        ("centimetres may stand where millimetres were written", 0.1, 0.001),
        ("millimetres may stand where centimetres were written", 10.0, 0.01),
        ("metres may stand where millimetres were written", 0.001, 0.001),
    ),
    "rad": (
        ("degrees may stand where radians were written", 180.0 / math.pi, 1.0),
        ("radians may stand where degrees were written", math.pi / 180.0, math.pi / 180.0),
    ),
    "N": (
        ("pounds may stand where newtons were written", 1.0 / 4.4482216152605, 1.0),
        ("newtons may stand where pounds were written", 4.4482216152605, 4.4482216152605),
        ("kilograms may stand where newtons were written", 1.0 / 9.80665, 1.0),
    ),
    "N/m": (
        ("pounds per inch may stand where newtons per metre were written", 1.0 / 175.126835, 1.0),
        ("newtons per millimetre may stand where newtons per metre were written", 0.001, 1.0),
        ("newtons per metre may stand where newtons per millimetre were written", 1000.0, 1000.0),
    ),
    "kg": (
        ("grams may stand where kilograms were written", 1000.0, 1.0),
        ("kilograms may stand where grams were written", 0.001, 0.001),
        ("ounces may stand where kilograms were written", 1.0 / 0.028349523125, 1.0),
        ("ounces may stand where pounds were written", 16.0, 0.45359237),
    ),
}


@dataclass(frozen=True)
class Contradiction:
    """Two readings of one trap that cannot both be true.

    Parameters
    ----------
    relation : str
        What would have to hold, in words.
    fields : tuple of str
        The two readings by their names in `Dimensions`.
    values : tuple of float
        Their values in SI; for many designs, those of the first that breaks the relation.

    """

    relation: str
    fields: tuple[str, str]
    values: tuple[float, float]


def contradictions(dimensions: Dimensions) -> tuple[Contradiction, ...]:
    """Pairs of readings that no trap can have at once.

    Parameters
    ----------
    dimensions : Dimensions
        Readings of one trap, or of n designs.

    Returns
    -------
    tuple of Contradiction
        Empty when nothing contradicts. Readings that are missing or NaN contradict nothing.

    Notes
    -----
    Geometry only: an eye that does not clear both jaws, a lever that cannot reach, a coil without a hole, jaws
    without an opening. What is merely unusual passes.

    """
    return tuple(one for one in _relations(dimensions) if one is not None)


def _broken(
    relation: str, first: tuple[str, Number | None], second: tuple[str, Number | None], bad: ArrayLike
) -> Contradiction | None:
    if first[1] is None or second[1] is None or not np.any(bad):
        return None
    one, two, flag = np.broadcast_arrays(
        np.asarray(first[1], dtype=float), np.asarray(second[1], dtype=float), np.asarray(bad, dtype=bool)
    )
    at = int(np.argmax(flag.ravel()))
    return Contradiction(relation, (first[0], second[0]), (float(one.ravel()[at]), float(two.ravel()[at])))


def _relations(dimensions: Dimensions) -> Iterator[Contradiction | None]:
    d = dimensions
    thick = ("leg_thickness", d.leg_thickness)
    eye = ("eye_half_opening", d.eye_half_opening)
    spread = ("spread", d.spread)
    play = 0.5 * np.asarray(d.leg_thickness, dtype=float) + HINGE_PLAY
    half = play if d.hinge_half_distance is None else np.asarray(d.hinge_half_distance, dtype=float)
    hinge = thick if d.hinge_half_distance is None else ("hinge_half_distance", d.hinge_half_distance)
    with np.errstate(invalid="ignore"):
        yield _broken("the eye must be wider than hinge distance and leg together", eye, hinge,
                      np.less_equal(np.subtract(d.eye_half_opening, half), d.loop_clearance))  # fmt: skip
        yield _broken("both legs must pass through the eye", thick, eye,
                      np.greater_equal(d.leg_thickness, d.eye_half_opening))  # fmt: skip
        yield _broken("half the leg is part of the loop clearance", ("loop_clearance", d.loop_clearance), thick,
                      np.less(d.loop_clearance, 0.4999 * np.asarray(d.leg_thickness)))  # fmt: skip
        yield _broken("the spread must be more than the distance of the hinges", spread, hinge,
                      np.less_equal(d.spread, 2.0 * half))  # fmt: skip
        yield _broken("the gap of offset jaws must be smaller than the eye that goes round them",
                      ("offset_gap", d.offset_gap), eye,
                      np.greater_equal(d.offset_gap, 2.0 * np.asarray(d.eye_half_opening)))  # fmt: skip
        if d.lamination_side == INSIDE:
            yield _broken("strips on the inside must leave an opening", ("lamination_width", d.lamination_width),
                          spread, np.greater_equal(2.0 * np.asarray(d.lamination_width), d.spread))  # fmt: skip
        if d.pan_radius is not None:
            yield _broken("the pan must fit between the jaws", ("pan_radius", d.pan_radius), spread,
                          np.greater(d.pan_radius, BAR_SHARE * np.asarray(d.spread)))  # fmt: skip
        yield from _of_lever(d, half) if d.family == COIL else _of_leaf(d)


def _of_lever(d: Dimensions, half: Number) -> Iterator[Contradiction | None]:
    if d.wire_diameter is not None and d.coil_diameter is not None:
        yield _broken("the coil must have a hole: its mean diameter is more than its wire",
                      ("coil_diameter", d.coil_diameter), ("wire_diameter", d.wire_diameter),
                      np.less_equal(d.coil_diameter, d.wire_diameter))  # fmt: skip
    if d.lever_length is None or d.pivot_drop is None or d.eye == SLOT:
        return
    alpha = np.subtract(d.set_angle, d.bevel)
    height = (np.subtract(d.eye_half_opening, half) * np.sin(alpha) - d.loop_clearance) / np.cos(alpha)
    yield _broken("the lever must reach from its pivot to the set jaws", ("lever_length", d.lever_length),
                  ("pivot_drop", d.pivot_drop),
                  np.greater_equal(np.abs(height + d.pivot_drop), d.lever_length))  # fmt: skip


def _of_leaf(d: Dimensions) -> Iterator[Contradiction | None]:
    if d.leaf_bend is not None and d.leaf_thickness is not None:
        yield _broken("the bend must have an inside: its radius is more than half the leaf",
                      ("leaf_bend", d.leaf_bend), ("leaf_thickness", d.leaf_thickness),
                      np.less_equal(d.leaf_bend, 0.5 * np.asarray(d.leaf_thickness)))  # fmt: skip
    if d.leaf_lift is not None and d.leaf_arm is not None and d.leaf_bend is not None:
        yield _broken("the arms must be long enough for the lift of the eye", ("leaf_lift", d.leaf_lift),
                      ("leaf_arm", d.leaf_arm),
                      np.greater_equal(d.leaf_lift, 2.0 * np.add(d.leaf_arm, d.leaf_bend)))  # fmt: skip


def likely_slip(field: str, value: float, low: float, high: float, *, unit: str | None = None) -> str | None:
    """The slip of unit that most likely stands behind a figure outside its range.

    Parameters
    ----------
    field : str
        Name of the reading.
    value : float
        As it was understood, in SI.
    low, high : float
        Range of this reading, in SI.
    unit : str, optional
        Unit in SI; by the name of the field when None, a length when the name is not known.

    Returns
    -------
    str or None
        What may have been taken for what; None when the figure lies in its range or no usual slip brings it there.

    Notes
    -----
    Of several slips that fit, the one under which the written number was a round one goes first, then the one
    that lands nearest to the middle of the range.

    """
    if not math.isfinite(value) or value == 0.0 or low <= value <= high:
        return None
    usual = _SLIPS.get(_UNITS.get(field, "m") if unit is None else unit, ())
    fitting = [
        (not _round(value / written), _from_middle(value / factor, low, high), text)
        for text, factor, written in usual
        if low <= value / factor <= high
    ]
    return min(fitting)[2] if fitting else None


def _round(number: float) -> bool:
    """True when at most four digits write the number."""
    return math.isclose(number, float(f"{number:.4g}"), rel_tol=1e-9)


def _from_middle(value: float, low: float, high: float) -> float:
    if low > 0.0 and value > 0.0:
        return abs(math.log(value / math.sqrt(low * high)))
    return abs(value - 0.5 * (low + high)) / (high - low)
