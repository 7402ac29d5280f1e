"""Which part of a frozen-in trap holds it: crust, jaws on the bed, levers or leaf; and what the foot must break."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.ground import frozen_trap as frozen_in
from setwright.ground.breakout import TORQUE_RESERVE, pan_plate_break
from setwright.ground.crust import strength_frozen
from setwright.ground.frozen_trap import CRUST, FREE, JAW_BOND, MENDS, SPRING_BOND, TERMS, FrozenTrap
from setwright.sets.context import Context, Floats
from setwright.sets.feet import foot_size
from setwright.sets.mechanics import torque_when_set, trap_of
from setwright.sets.model import Rig
from setwright.trap.loop import loop_at
from setwright.trap.springs import spring_effort

__all__ = [
    "CRUST", "FREE", "JAW_BOND", "MENDS", "SPRING_BOND", "TERMS", "FrostOrder", "FrozenNight", "cover_of",
    "governing", "leaf_held", "night_of_draw", "order_of", "worst",
]  # fmt: skip

# Strength of saturated frozen soil, 2 K below freezing: shear, bending tension, bond to steel.
SHEAR, TENSION, BOND = 200e3, 400e3, 250e3
LEVER_WIDTH, LEAF_CONTACT = 0.012, 0.02
# Energy that parts an ice bond, 1 to 10 J/m2 (assumed), and what a leaf is made of.
TOUGHNESS, LEAF_MODULUS = 3.0, 205e9
DEFAULT_COVER = 0.01
# Ice in the bed below which no spring is held [m].
LEAST_BASE = 0.002
# The middle of the nine nights.
MIDDLE = 4


@dataclass(frozen=True, eq=False)
class FrozenNight:
    """Nine nights by hour, shape (9, h): bonded crust [m], its saturation and temperature, ice at the base [m].

    `floor` is the temperature half-way down the trap [degC], `rain` what fell [mm].
    """

    thickness: Floats
    saturation: Floats
    temperature: Floats
    floor: Floats
    base: Floats
    rain: float


@dataclass(frozen=True, eq=False)
class FrostOrder:
    """Frost by hour of the night, shape (n, h): `free` 1 where springs and jaws rise, `crust` what it adds [N].

    `crust` is the force that breaks a crust over the pan, on top of the trip force; 0 where none stands. `loads` are
    the terms over what the trap has; None on a night without any ice.
    """

    free: Floats
    crust: Floats
    loads: FrozenTrap | None = None


def cover_of(rig: Rig) -> float:
    """Depth of the cover [m]."""
    return rig.cover_depth.number if rig.cover_depth is not None and rig.cover_depth.known else DEFAULT_COVER


def night_of_draw(context: Context) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which of three nights (colder to milder) and of three covers (drier to wetter) each draw takes, shape (n,)."""
    colder, wetter = (
        np.minimum((3 * context.draws.uniform(name)).astype(np.intp), 2) for name in ("colder", "wetter")
    )
    return colder, wetter


def order_of(context: Context, rig: Rig, frozen: FrozenNight) -> FrostOrder:
    """Where the trap can rise, and the crust over its pan, by draw and hour, shape (n, h)."""
    colder, wetter = night_of_draw(context)
    row = 3 * colder + wetter
    if float(np.max(frozen.thickness)) <= 0.0 and float(np.max(frozen.base)) < LEAST_BASE:
        shape = (context.n, frozen.thickness.shape[1])
        return FrostOrder(np.ones(shape), np.zeros(shape))
    factor = context.own_figure("frost_strength")[:, None]
    loads = _loads(context, rig, frozen, factor, row, torque_when_set(context, rig.trap)[:, None])
    width, length = foot_size(context.target, context.site.foot)
    paw = min(0.4 * float(np.sqrt(width * length)), 0.9 * rig.trap.pan_radius.number)
    # The load of a plate goes with the square of its thickness, and with its strength.
    unit = pan_plate_break(1.0, rig.trap.pan_radius.number, paw, 1.0)
    tension = factor * strength_frozen(frozen.temperature, frozen.saturation, TENSION)[row]
    crust = np.maximum(tension, 1.0) * (frozen.thickness[row] / unit) ** 2
    return FrostOrder(np.asarray(loads.fires, dtype=float), crust, loads)


def _loads(
    context: Context, rig: Rig, frozen: FrozenNight, factor: Floats, row: NDArray[np.intp], torque: Floats
) -> FrozenTrap:
    """Crust, jaw bond and spring bond over what the trap has, for the nights of `row`."""
    cold, wet = frozen.temperature[row], frozen.saturation[row]
    thickness = frozen.thickness[row]
    bond = factor * strength_frozen(cold, wet, BOND)
    bonded = thickness >= 0.95 * cover_of(rig)
    under = bond
    if rig.bedding.base == "wet":
        # A soaked floor bonds by its own ice, whatever lies over the trap.
        under = factor * strength_frozen(frozen.floor[row], 1.0, BOND)
        bonded = bonded | (frozen.base[row] >= LEAST_BASE)
    dry = rig.bedding.base == "dry"
    push, held = _spring(context, rig, under)
    safety = float(context.figure("frost_safety").number)
    return frozen_in.frozen_trap(
        torque * TORQUE_RESERVE / safety,
        push,
        np.where(dry | (frozen.base[row] < LEAST_BASE), 0.0, held),
        thickness=thickness,
        radius=0.5 * rig.trap.spread.number,
        shear=factor * strength_frozen(cold, wet, SHEAR),
        tension=factor * strength_frozen(cold, wet, TENSION),
        adfreeze=under,
        jaw_width=float(np.max(rig.trap.dimensions.leg_thickness)),
        jaw_bonded=np.zeros(bonded.shape, dtype=bool) if dry else bonded,
    )


def _spring(context: Context, rig: Rig, bond: Floats) -> tuple[float, Floats]:
    """Push of one spring in the set position at its tip or eye, and the force there that tears it loose [N]."""
    trap = trap_of(context, rig.trap)
    lowest = loop_at(trap, np.asarray(trap.set_angle)).coordinate
    effort = float(np.max(spring_effort(trap.spring_rate, trap.free_coordinate, lowest)))
    if rig.trap.family == "coil":
        lever = float(np.max(trap.lever_length))
        return effort / lever, frozen_in.coil_held(bond, lever, LEVER_WIDTH)
    return effort, leaf_held(rig, bond)


def leaf_held(rig: Rig, bond: Floats) -> Floats:
    """Force at the eye that frees a long-spring's leaf of a bed with this bond [Pa]: torn at once or peeled [N].

    On a wet floor ice fills the gap between the leaves, and the whole leaf must be torn off.
    """
    found = rig.trap.dimensions
    width, thickness, arm = (
        usual if value is None else float(np.max(value))
        for value, usual in ((found.leaf_width, 0.02), (found.leaf_thickness, 0.003), (found.leaf_arm, 0.15))
    )
    stiffness = LEAF_MODULUS * width * thickness**3 / 12.0
    contact = arm if rig.bedding.base == "wet" else LEAF_CONTACT
    return frozen_in.leaf_held(bond, width, arm, contact, stiffness, TOUGHNESS)


def governing(order: FrostOrder, free: Floats, hours: NDArray[np.bool_]) -> int:
    """Index in `TERMS` of what holds the trap in most of the hours that it is held; 0 where it is not held.

    A crust that only the foot cannot break counts as crust.
    """
    stuck = free[:, hours] < 0.5
    if order.loads is None or not bool(stuck.any()):
        return FREE
    terms = np.where(order.loads.governs[:, hours] > FREE, order.loads.governs[:, hours], CRUST)[stuck]
    return int(np.bincount(terms, minlength=len(TERMS)).argmax())


def worst(context: Context, rig: Rig, frozen: FrozenNight, hours: NDArray[np.bool_]) -> tuple[FrozenTrap, int] | None:
    """The three loads at the hour in which they are greatest, on the night as told, as numbers, and that hour."""
    if float(np.max(frozen.thickness[MIDDLE])) <= 0.0 and float(np.max(frozen.base[MIDDLE])) < LEAST_BASE:
        return None
    torque = np.asarray(np.median(torque_when_set(context, rig.trap)))
    loads = _loads(context, rig, frozen, np.asarray(1.0), np.array([MIDDLE]), torque)
    total = np.fmax(loads.crust + loads.jaw_bond, loads.spring_bond)[0]
    hour = int(np.argmax(np.where(hours, total, -1.0)))
    picked = {
        name: np.asarray(getattr(loads, name))[0, hour]
        for name in ("crust", "jaw_bond", "spring_bond", "fires", "governs")
    }
    return replace(loads, **picked), hour
