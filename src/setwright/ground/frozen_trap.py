"""What holds a frozen-in trap, and which cures are no cure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.ground.breakout import TORQUE_RESERVE, breakout_torque, leaf_bonded, leaf_peel, lever_bonded

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

FREE, CRUST, JAW_BOND, SPRING_BOND = 0, 1, 2, 3
TERMS = ("free", "crust over the jaws", "jaws frozen to the bed", "levers or leaf frozen to the bed")
# What mends each term (common practice); none of them adds force.
MENDS = (
    "",
    "lift the cover and sift on dry dirt or dry peat, none of it damp, before dark",
    "lift the trap, dig the wet out, and bed it on dry dirt with the jaws clear of wet ground",
    "lift the trap and bed levers or springs on dry dirt; clear ice out of the gap between the leaves",
)


@dataclass(frozen=True, eq=False)
class FrozenTrap:
    """Load on each part of a frozen-in trap over what the trap has, any shape; it moves when none is over 1.

    Parameters
    ----------
    crust, jaw_bond : ndarray
        Torque that the crust, and the bond of the jaws, ask for, with the reserve, over the torque of a jaw [-].
    spring_bond : ndarray
        Force at the spring's end that the bond asks for over the force that is there [-].
    fires : ndarray of bool
        Crust and jaw bond together under the torque, and the spring's bond under its force; False when not known.
    governs : int array
        Index in `TERMS` of the greatest of the three where it does not fire, else 0; -1 when not known.

    """

    crust: Floats
    jaw_bond: Floats
    spring_bond: Floats
    fires: NDArray[np.bool_]
    governs: Codes


@dataclass(frozen=True, slots=True)
class Cure:
    """A change to a trap or its bed by what it does to the terms.

    Parameters
    ----------
    name : str
        For people.
    torque, push : float
        Factors on the torque of a jaw and on the force of the spring [-].
    crust, jaw_bond, spring_bond : float
        Factors on the three loads [-].

    """

    name: str
    torque: float = 1.0
    push: float = 1.0
    crust: float = 1.0
    jaw_bond: float = 1.0
    spring_bond: float = 1.0


# Factors assumed: two more coils give at most twice the force; dry dirt holds no more than a few kPa.
CURES = (
    Cure("four coils in place of two", torque=2.0, push=2.0),
    Cure("stronger springs", torque=1.4, push=1.4),
    Cure("dry dirt over the jaws only", crust=0.01),
    Cure("bedded anew in dry dirt, over and under", crust=0.01, jaw_bond=0.01, spring_bond=0.01),
)


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a cure does to one frozen trap.

    Parameters
    ----------
    cure : Cure
        The change.
    enough : bool
        True when the trap then fires.
    offered : bool
        True when it is enough and works on the ice: force alone is not offered, as a wet cover goes on freezing.
    needed, given : float
        How many times its force the trap needs for the worst part, and what the cure gives there [-].
    why : str
        One sentence.

    """

    cure: Cure
    enough: bool
    offered: bool
    needed: float
    given: float
    why: str


def coil_held(adfreeze: ArrayLike, length: ArrayLike, width: ArrayLike) -> Floats:
    """Force at the tip that frees a coil-spring's lever frozen down along its length [N].

    Parameters
    ----------
    adfreeze : array_like
        Bond to steel [Pa].
    length, width : array_like
        Of the bonded face of the lever [m].

    """
    return np.asarray(lever_bonded(adfreeze, length, width) / np.asarray(length, dtype=float))


def leaf_held(
    adfreeze: ArrayLike,
    width: ArrayLike,
    length: ArrayLike,
    contact: ArrayLike,
    bending_stiffness: ArrayLike,
    toughness: ArrayLike,
) -> Floats:
    """Force at the eye that frees a long-spring's top leaf [N]: torn at once or peeled, whichever is less.

    Parameters
    ----------
    adfreeze, width, length, contact : array_like
        As in `breakout.leaf_bonded`; a contact as long as the leaf stands for ice between the leaves.
    bending_stiffness, toughness : array_like
        As in `breakout.leaf_peel`.

    Notes
    -----
    Peeling is a crack that runs in from the edge of a short contact. With ice in the whole gap there is no free
    length of leaf to bend, and the leaf must be torn off as a whole.

    """
    torn = leaf_bonded(adfreeze, width, length, contact)
    peeled = leaf_peel(width, bending_stiffness, toughness, contact)
    filled = np.asarray(contact, dtype=float) >= np.asarray(length, dtype=float)
    return np.asarray(np.where(filled, torn, np.minimum(torn, peeled)))


def frozen_trap(
    torque_available: ArrayLike,
    push: ArrayLike,
    spring_held: ArrayLike,
    *,
    thickness: ArrayLike,
    radius: ArrayLike,
    shear: ArrayLike,
    tension: ArrayLike,
    adfreeze: ArrayLike,
    jaw_width: ArrayLike,
    jaw_bonded: ArrayLike,
) -> FrozenTrap:
    """Which part of a frozen-in trap holds it, coil-spring or long-spring alike.

    Parameters
    ----------
    torque_available : array_like
        Of a jaw in the set position, where it is least [N m].
    push : array_like
        Force of one spring at its lever's tip or its eye in the set position [N].
    spring_held : array_like
        Force that frees that spring, from `coil_held` or `leaf_held`; 0 for a dry base [N].
    thickness, radius, shear, tension, adfreeze, jaw_width, jaw_bonded : array_like
        As in `breakout.breakout_torque`.

    Notes
    -----
    The reserve of 1.5 (assumed) is asked of the jaws, not of the springs, as a spring that tears loose is free.

    """
    torque, force = np.asarray(torque_available, dtype=float), np.asarray(push, dtype=float)
    both = breakout_torque(thickness, radius, shear, tension, adfreeze, jaw_width, jaw_bonded)
    over = breakout_torque(thickness, radius, shear, tension, adfreeze, jaw_width, False)
    with np.errstate(divide="ignore", invalid="ignore"):
        crust = TORQUE_RESERVE * over / torque
        bond = TORQUE_RESERVE * (both - over) / torque
        spring = np.asarray(spring_held, dtype=float) / force
    crust, bond, spring = np.broadcast_arrays(crust, bond, spring)
    return _judged(crust, bond, spring)


def weigh_cures(found: FrozenTrap, cures: Sequence[Cure] = CURES) -> tuple[Weighed, ...]:
    """Which of some changes let one frozen trap fire, and why the others do not; in the order given.

    Parameters
    ----------
    found : FrozenTrap
        Of one trap in one state: numbers, not arrays.
    cures : sequence of Cure
        Changes to weigh.

    Notes
    -----
    More springs multiply what the trap has by two at most; a soaked crust and a bonded jaw ask for five to fifteen
    times that. Where they would do for tonight's thin crust they are told as not offered all the same: the crust
    thickens by the hour, and what is stuck is ice, not want of force. A dry bed is the cure.

    """
    now = float(np.fmax(found.crust + found.jaw_bond, found.spring_bond))
    weighed = []
    for cure in cures:
        after = _judged(
            np.asarray(found.crust * cure.crust / cure.torque),
            np.asarray(found.jaw_bond * cure.jaw_bond / cure.torque),
            np.asarray(found.spring_bond * cure.spring_bond / cure.push),
        )
        left = float(np.fmax(after.crust + after.jaw_bond, after.spring_bond))
        enough = bool(after.fires)
        given = now / left if left > 0.0 else float("inf")
        on_ice = min(cure.crust, cure.jaw_bond, cure.spring_bond) < 1.0
        if enough and not on_ice and now >= 1.0:
            why = f"{cure.name}: moves this crust and not the next hour's; not offered, bed it dry"
        elif enough:
            why = f"{cure.name}: the trap moves; the load falls to {left:.2g} of what it has"
        elif int(after.governs) < 0:
            why = f"{cure.name}: cannot tell, a strength is not known"
        else:
            why = (
                f"{cure.name}: no cure, the trap needs {now:.2g} times its force and this gives {given:.2g} times; "
                f"still held by the {TERMS[int(after.governs)]}"
            )
        weighed.append(Weighed(cure, enough, enough and on_ice, now, given, why))
    return tuple(weighed)


def _judged(crust: Floats, jaw_bond: Floats, spring_bond: Floats) -> FrozenTrap:
    with np.errstate(invalid="ignore"):
        fires = (crust + jaw_bond < 1.0) & (spring_bond < 1.0)
    terms = np.stack(np.broadcast_arrays(crust, jaw_bond, spring_bond))
    unknown = np.isnan(terms).any(axis=0)
    worst = np.argmax(np.nan_to_num(terms), axis=0) + 1
    governs = np.where(unknown, -1, np.where(fires, FREE, worst))
    return FrozenTrap(crust, jaw_bond, spring_bond, np.asarray(fires & ~unknown), np.asarray(governs, dtype=np.int64))
