"""At which force on its bars the closed trap gives way, and where. Of the trap alone, never of the animal."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.holding import clamp
from setwright.trap.loop import EDGE, limb_angle, loop_at, upright_angle
from setwright.trap.model import Dimensions, Floats, Number, Trap

CANNOT_TELL = -1
OPENS, EYE, BAR, LEG, PIN, EAR = range(6)
PLACES = (
    "the loop slides down", "eye in tension", "jaw bar bends", "jaw leg bends", "pin of the jaw shears",
    "end of the base at the pin",
)  # fmt: skip

# Mild steel of common bars; see the table of stock for its range.
YIELD_STRENGTH = 250e6
# Yield in shear over yield in tension, by the energy of distortion.
SHEAR_SHARE = 1.0 / np.sqrt(3.0)
LAMINATION_SHARE = 0.8


@dataclass(frozen=True)
class Stock:
    """Steel and sections that hold the trap together; each a float or an array that broadcasts.

    Parameters
    ----------
    yield_strength : [Pa]
        Of bars, levers and base.
    bar_section, leg_section : [m³]
        Plastic section modulus of the jaw against being bent away from the other jaw, b t²/4.
    eye_side, eye_thickness : [m]
        Steel beside the opening of the eye, and its thickness.
    pin_diameter : [m]
        End of the jaw, or pin, in the end of the base.
    ear_thickness, ear_edge : [m]
        End of the base there, and middle of the hole to its edge.

    """

    yield_strength: Number
    bar_section: Number
    leg_section: Number
    eye_side: Number
    eye_thickness: Number
    pin_diameter: Number
    ear_thickness: Number
    ear_edge: Number


@dataclass(frozen=True)
class GivesWay:
    """Answer of `gives_way`, for designs of the broadcast shape (n,).

    Parameters
    ----------
    by_place : [N], shape (6, n)
        Force at the bars at which each of `PLACES` gives way; inf for a loop that is locked, NaN not known.
    force : [N]
        The least of them: NaN where one of them is not known.
    place : int
        Index of that place in `PLACES`; `CANNOT_TELL` where one of them is not known.

    """

    by_place: Floats
    force: Floats
    place: NDArray[np.int_]


def stock_of(
    dimensions: Dimensions,
    *,
    yield_strength: ArrayLike = YIELD_STRENGTH,
    eye_side: ArrayLike = 1.2,
    eye_thickness: ArrayLike = 0.7,
    pin_diameter: ArrayLike = 1.0,
    ear_thickness: ArrayLike = 0.6,
    ear_edge: ArrayLike = 1.2,
) -> Stock:
    """Sections of a trap from its readings, with shares for what nobody reads.

    Parameters
    ----------
    dimensions : Dimensions
        Readings of one trap or of n designs.
    yield_strength : float or array [Pa]
        Of bars, levers and base.
    eye_side, eye_thickness, pin_diameter, ear_thickness : float or array [-]
        Each over the leg thickness.
    ear_edge : float or array [-]
        Over the pin diameter.

    Notes
    -----
    Z = b t²/4 of the face and the leg thickness; a lamination adds its own to the bar, as if not welded. The second
    bar of a double jaw is left out. All shares are assumed: see the table of stock.

    """
    thick = np.asarray(dimensions.leg_thickness, dtype=float)
    leg = 0.25 * np.asarray(dimensions.face_width, dtype=float) * thick**2
    strip = 0.25 * np.multiply(dimensions.lamination_width, np.square(dimensions.lamination_thickness))
    pin = thick * np.asarray(pin_diameter, dtype=float)
    return Stock(
        yield_strength=np.asarray(yield_strength, dtype=float),
        bar_section=leg + strip,
        leg_section=leg,
        eye_side=thick * np.asarray(eye_side, dtype=float),
        eye_thickness=thick * np.asarray(eye_thickness, dtype=float),
        pin_diameter=pin,
        ear_thickness=thick * np.asarray(ear_thickness, dtype=float),
        ear_edge=pin * np.asarray(ear_edge, dtype=float),
    )


def gives_way(
    trap: Trap, stock: Stock, *, friction: ArrayLike, limb: ArrayLike, limb_width: ArrayLike = 0.0
) -> GivesWay:
    """Force at the bars at which the closed trap opens, yields or bends, and the place.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    stock : Stock
        Steel and sections.
    friction : float or array [-]
        Coulomb friction of loop on jaw; decides whether the loop slides before anything yields.
    limb : float or array [m]
        Thickness of what forces the jaws apart.
    limb_width : float or array [m]
        Its width along the bar, over which it presses evenly; 0 for a push at one point.

    Returns
    -------
    GivesWay
        Nothing is known (NaN) where the jaws do not close on the limb, and for a limb in the offset gap.

    Notes
    -----
    With the force F at each bar, n loops, leg contact at s, bar at H and bearing angle α:

    - loop: slides at the opening force of `clamp`; locked, it never does.
    - eye: N = F H/(n s) pulls its sides apart by N/sin α, carried by two sides: F = n s sin α 2 A σ/H.
    - bar: carried by two legs, F (W − w)/4 + F w/8 = Z σ, w the part of the limb on it.
    - leg: two loops, one to each leg, F/2 (H − s) = Z σ; one loop, whose leg carries the other leg's half by the
      bar as well, F (H − s/2) = Z σ.
    - pin: the hinge takes F (H/s − 1)/2 with two loops, F (H/s − 1/2) with one, in single shear at σ/√3.
    - end of the base: bearing d t σ, or tearing out 2 e t σ/√3, the smaller.

    A loop cannot rise above the bar: where the leg contact would lie beyond, s = H, and leg and pin are not loaded.

    Range: yield of ductile parts, one load, nothing cracked; a bent part is where it starts, not where it breaks.
    Doubts: steel and sections are assumed until measured; the bent ends of the eye are left out, so it may yield
    sooner; welds are not in it; friction along the leg is left out of leg and pin.

    References
    ----------
    Statics: derived. Plastic modulus b h²/4, pin and hole: any text on strength of materials (memory). Side tension
    of a locked eye: derived.

    """
    wide = np.minimum(np.asarray(limb_width, dtype=float), trap.face_length)
    held = clamp(trap, friction=friction, limb=limb, margin_to_lock=False)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        loop = loop_at(trap, np.minimum(limb_angle(trap, limb), upright_angle(trap) - EDGE))
        height, sigma = np.asarray(trap.height, dtype=float), stock.yield_strength
        reach = np.minimum(loop.reach, height)
        two = np.asarray(trap.loops) >= 2.0
        eye = trap.loops * reach * loop.sine * 2.0 * stock.eye_side * stock.eye_thickness * sigma / height
        bar = stock.bar_section * sigma / (0.25 * (trap.face_length - wide) + 0.125 * wide)
        leg = stock.leg_section * sigma / np.where(two, 0.5 * (height - reach), height - 0.5 * reach)
        hinge = np.where(two, 0.5 * (height / reach - 1.0), height / reach - 0.5)
        pin = 0.25 * np.pi * np.square(stock.pin_diameter) * SHEAR_SHARE * sigma / hinge
        bearing = np.multiply(stock.pin_diameter, stock.ear_thickness) * sigma
        tearing = 2.0 * np.multiply(stock.ear_edge, stock.ear_thickness) * SHEAR_SHARE * sigma
        ear = np.minimum(bearing, tearing) / hinge
        gripped = np.isfinite(held.closing_force) & (held.closing_force > 0.0)
        forces = np.stack(np.broadcast_arrays(held.opening_force, eye, bar, leg, pin, ear))
    forces = np.where(gripped & (forces > 0.0), forces, np.nan)
    known = ~np.isnan(forces).any(axis=0)
    least = np.where(known, np.min(forces, axis=0), np.nan)
    place = np.where(known, np.argmin(np.where(np.isnan(forces), np.inf, forces), axis=0), CANNOT_TELL)
    return GivesWay(by_place=forces, force=least, place=np.asarray(place, dtype=int))
