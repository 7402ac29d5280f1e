"""Caliper readings of a trap, and the parameters of its closing that follow from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Number = float | Floats
Family = Literal["coil", "long"]

Eye = Literal["round", "slot"]
Side = Literal["inside", "outside"]
SwivelPlace = Literal["base", "side", "end"]

COIL: Family = "coil"
LONG: Family = "long"
ROUND: Eye = "round"
SLOT: Eye = "slot"
INSIDE: Side = "inside"
OUTSIDE: Side = "outside"

STEEL_DENSITY = 7850.0
STEEL_MODULUS = 196.5e9
GRAVITY = 9.80665


@dataclass(frozen=True)
class Dimensions:
    """Readings of one trap, or of n designs of one family.

    Lengths in m, angles in rad, masses in kg; each a float or an array that broadcasts with the
    others. `None` stands for what does not apply to the family or was not read.

    Parameters
    ----------
    family : {"coil", "long"}
        Springs wound round a post and felt through a lever, or a flat leaf outside the jaws.
    spread : [m]
        Inside the jaws of the set trap, across the hinge line.
    face_width, leg_thickness : [m]
        Section of the jaw: width of the gripping face, and thickness across it.
    eye_half_opening, loop_clearance : [m]
        Half the inner width of the eye (or ring) that rides up the jaws; half the leg thickness plus
        the radius of the edge of the eye.
    bevel, set_angle : [rad]
        By how much the edge the eye bears on lags the plane of the jaw; angle of the set jaw.
    springs : int
        Coils (2 or 4), or long-springs (1 or 2).
    offset_gap : [m]
        Between the faces when the stops of the jaws touch.
    lamination_width, lamination_thickness : [m]
        Section of the strip added to the bar; zero without.
    pad_width, pad_thickness : [m]
        Section of the pad on each face; zero without.
    hinge_half_distance : [m] or None
        Half the distance of the hinge axes; half the leg thickness + 0.5 mm when None.
    wire_diameter, coil_diameter, coil_turns, coil_leg : [m], [m], [-], [m]
        Wire and mean coil diameter, turns of the body, length of each straight end.
    set_stress_share : [-]
        Stress in the wire of the set trap over the tensile strength.
    lever_length, pivot_drop, lever_mass : [m], [m], [kg]
        Pivot to eye, how far the pivot lies below the hinge line, one lever.
    leaf_width, leaf_thickness, leaf_arm, leaf_bend, leaf_lift : [m]
        Section of the leaf, length of one arm, radius of the bend, height of the free eye over the
        set one.
    arm_taper : [-]
        1 for arms of even section, 1.5 for arms tapered to even stress.
    ring_mass : [kg]
        The eye of a long-spring.
    spring_health : [-]
        Rate measured over rate when new; multiplies the rate.
    spring_rate : [N/m] or None
        Rate of one spring felt at the eye, when it was measured; replaces the computed one.
    jaw_kind : str
        Key of the table of jaws: `regular`, `offset`, `laminated`, `laminated inside`, `laminated outside`,
        `offset laminated`, `padded` or `double`.
    dogless : bool
        The pan holds the jaw itself.
    eye : {"round", "slot"}
        Eye of a lever that stays at one distance from its pivot, or a long slot in which the jaws keep
        their distance from the pivot.
    pan_radius, mass : [m], [kg] or None
        Pivot of the pan to where the foot presses; the whole trap.
    lamination_side : {"inside", "outside"} or None
        Whether the strip lies on the bar's side towards the hinge or away from it; not known when None, and
        its mass then counts at the bar.
    swivel_place : {"base", "side", "end"} or None
        Where the chain is fixed: under the middle of the base, at the end of the cross, or at the end of the
        base; not known when None.

    """

    family: Family
    spread: Number
    face_width: Number
    leg_thickness: Number
    eye_half_opening: Number
    loop_clearance: Number
    bevel: Number
    set_angle: Number = 0.05235987755982988
    springs: int = 2
    offset_gap: Number = 0.0
    lamination_width: Number = 0.0
    lamination_thickness: Number = 0.0
    pad_width: Number = 0.0
    pad_thickness: Number = 0.0
    hinge_half_distance: Number | None = None
    wire_diameter: Number | None = None
    coil_diameter: Number | None = None
    coil_turns: Number = 7.0
    coil_leg: Number = 0.025
    set_stress_share: Number = 0.85
    lever_length: Number | None = None
    pivot_drop: Number | None = None
    lever_mass: Number | None = None
    leaf_width: Number | None = None
    leaf_thickness: Number | None = None
    leaf_arm: Number | None = None
    leaf_bend: Number | None = None
    leaf_lift: Number | None = None
    arm_taper: Number = 1.5
    ring_mass: Number = 0.012
    spring_health: Number = 1.0
    spring_rate: Number | None = None
    jaw_kind: str = "regular"
    dogless: bool = False
    eye: Eye = ROUND
    pan_radius: Number | None = None
    mass: Number | None = None
    lamination_side: Side | None = None
    swivel_place: SwivelPlace | None = None


@dataclass(frozen=True)
class Trap:
    """What the closing and the hold depend on; every number a float or an array that broadcasts.

    Parameters
    ----------
    family : {"coil", "long"}
        With a lever (coil-spring) or with an eye that rises straight (long-spring).
    loops : [-]
        Eyes that ride up the jaws: 2 of a coil-spring, 1 or 2 of a long-spring.
    hinge_half_distance, eye_half_opening, loop_clearance : [m]
        a, w and c of the loop equation.
    bearing_offset, face_offset, offset_gap : [m]
        Hinge line to the edge the eye bears on, hinge line to the gripping face, gap of the faces.
    height, face_length, face_width, bar_width : [m]
        Hinge to gripping bar, length of the bar, width that bears on a limb, width in the flow of water.
    bevel, set_angle : [rad]
        Lag of the bearing edge; angle of the set jaw above the hinge line.
    jaw_inertia, weight_moment : [kg m²], [N m]
        One jaw about its hinge.
    spring_rate, free_coordinate, loop_inertia : [N m/rad], [rad], [kg m²] or [N/m], [m], [kg]
        Of all springs on one loop: rate, loop coordinate at which the spring is spent, inertia.
    lever_length, pivot_height : [m]
        Lever, and its pivot over the hinge line (negative below); unused for a long-spring.
    eye : {"round", "slot"}
        With a slot, `lever_length` is the level distance of the jaws from the pivot.
    set_stress, strength : [Pa]
        Stress in the spring of the set trap, and tensile strength of its wire (NaN: not known).

    """

    family: Family
    loops: Number
    hinge_half_distance: Number
    eye_half_opening: Number
    loop_clearance: Number
    bearing_offset: Number
    face_offset: Number
    height: Number
    face_length: Number
    bevel: Number
    set_angle: Number
    jaw_inertia: Number
    weight_moment: Number
    spring_rate: Number
    free_coordinate: Number
    loop_inertia: Number
    lever_length: Number = 1.0
    pivot_height: Number = 0.0
    eye: Eye = ROUND
    offset_gap: Number = 0.0
    face_width: Number = 0.008
    bar_width: Number = 0.008
    set_stress: Number = float("nan")
    strength: Number = float("nan")

    @property
    def clearance(self) -> Floats:
        """Eye over hinge, b = w − a [m]; must exceed the loop clearance c."""
        return np.asarray(np.subtract(self.eye_half_opening, self.hinge_half_distance), dtype=float)

    @property
    def over_stressed(self) -> NDArray[np.bool_]:
        """True where the set spring is strained beyond its tensile strength."""
        with np.errstate(invalid="ignore"):
            return np.asarray(np.greater(self.set_stress, self.strength))
