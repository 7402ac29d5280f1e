"""Springs of a foothold trap: the wound wire under a lever and the bent leaf."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.model import STEEL_MODULUS, Floats

# Tensile strength of music wire, A / d**m with d in mm.
WIRE_STRENGTH = 2211.0e6
WIRE_EXPONENT = 0.145
# 10.2 is the bending of a round wire alone; the larger figure holds the rubbing of the turns.
RUBBING_TURNS = 10.8


def _array(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=float)


def active_turns(body_turns: ArrayLike, coil_diameter: ArrayLike, end_lengths: ArrayLike) -> Floats:
    """Turns that bend, the straight ends counted in.

    Parameters
    ----------
    body_turns : float or array [-]
        Turns of the coil.
    coil_diameter : float or array [m]
        Mean diameter D.
    end_lengths : float or array [m]
        Both straight ends together, l1 + l2.

    Returns
    -------
    array [-]
        N_a = N_b + (l1 + l2) / (3 π D).

    References
    ----------
    Budynas & Nisbett, *Shigley's Mechanical Engineering Design*, springs, torsion springs (memory).

    """
    return _array(body_turns) + _array(end_lengths) / (3.0 * np.pi * _array(coil_diameter))


def coil_rate(
    wire_diameter: ArrayLike,
    coil_diameter: ArrayLike,
    turns: ArrayLike,
    *,
    modulus: ArrayLike = STEEL_MODULUS,
    constant: float = RUBBING_TURNS,
) -> Floats:
    """Rate of a torsion coil per turn; divide by 2π for the rate per radian.

    Parameters
    ----------
    wire_diameter, coil_diameter : float or array [m]
        Wire d and mean coil diameter D.
    turns : float or array [-]
        Active turns N_a.
    modulus : float or array [Pa]
        Young's modulus.
    constant : float [-]
        10.8 with the rubbing of the turns, 10.2 without.

    Returns
    -------
    array [N m per turn]
        d⁴ E / (10.8 D N_a).

    Notes
    -----
    Elastic, round wire, closed turns that do not buckle. The constant 10.8 is a trial figure.

    References
    ----------
    Budynas & Nisbett, *Shigley's Mechanical Engineering Design*, springs, torsion springs (memory).

    """
    return (
        _array(wire_diameter) ** 4 * _array(modulus) / (constant * _array(coil_diameter) * _array(turns))
    )  # fmt: skip


def stress_factor(spring_index: ArrayLike) -> Floats:
    """Curvature factor of the inner fibre K_i = (4C² − C − 1)/(4C(C − 1)) for C = D/d [-]."""
    index = _array(spring_index)
    return (4.0 * index**2 - index - 1.0) / (4.0 * index * (index - 1.0))


def wire_strength(wire_diameter: ArrayLike) -> Floats:
    """Tensile strength of music wire [Pa]: A/d^m with d in mm, for wires of 0.1 to 6.5 mm.

    References
    ----------
    ASTM A228 constants as tabled in *Shigley's Mechanical Engineering Design*, springs (secondary).

    """
    return WIRE_STRENGTH / (_array(wire_diameter) * 1e3) ** WIRE_EXPONENT


def coil_stress(moment: ArrayLike, wire_diameter: ArrayLike, coil_diameter: ArrayLike) -> Floats:
    """Bending stress at the inner fibre of a torsion coil [Pa]: K_i 32 M/(π d³) under the moment M [N m]."""
    wire = _array(wire_diameter)
    return stress_factor(_array(coil_diameter) / wire) * 32.0 * _array(moment) / (np.pi * wire**3)


def coil_moment(stress: ArrayLike, wire_diameter: ArrayLike, coil_diameter: ArrayLike) -> Floats:
    """Moment [N m] at which the inner fibre of a torsion coil reaches `stress` [Pa]."""
    return _array(stress) / coil_stress(1.0, wire_diameter, coil_diameter)


def leaf_rate(
    width: ArrayLike,
    thickness: ArrayLike,
    arm: ArrayLike,
    bend: ArrayLike,
    *,
    taper: ArrayLike = 1.5,
    modulus: ArrayLike = STEEL_MODULUS,
) -> Floats:
    """Rate of a long-spring from eye to eye [N/m].

    Parameters
    ----------
    width, thickness : float or array [m]
        Section of the leaf at the bend.
    arm, bend : float or array [m]
        Length of one arm and radius of the bend.
    taper : float or array [-]
        1 for arms of even section, 1.5 when they taper to even stress.
    modulus : float or array [Pa]
        Young's modulus.

    Notes
    -----
    Castigliano's theorem over two arms and a half circle:
    δ/F = [κ 2ℓ³/3 + π R ℓ² + 4 R² ℓ + π R³/2]/(E I), I = b t³/12. Small deflections, thin leaf.

    """
    arm_, bend_ = _array(arm), _array(bend)
    inertia = _array(width) * _array(thickness) ** 3 / 12.0
    shape = (
        _array(taper) * 2.0 * arm_**3 / 3.0
        + np.pi * bend_ * arm_**2
        + 4.0 * bend_**2 * arm_
        + 0.5 * np.pi * bend_**3
    )  # fmt: skip
    return _array(modulus) * inertia / shape


def leaf_stress(force: ArrayLike, width: ArrayLike, thickness: ArrayLike, arm: ArrayLike, bend: ArrayLike) -> Floats:
    """Stress at the bend of a long-spring under the eye force F [N]: F (ℓ + R) 6/(b t²) [Pa]."""
    return _array(force) * (_array(arm) + _array(bend)) * 6.0 / (_array(width) * _array(thickness) ** 2)


def spring_effort(rate: ArrayLike, free_coordinate: ArrayLike, coordinate: ArrayLike) -> Floats:
    """Torque or force of the springs on one loop, k (q_free − q), never below zero."""
    return np.maximum(_array(rate) * (_array(free_coordinate) - _array(coordinate)), 0.0)


def wound_inside_diameter(
    coil_diameter: ArrayLike, wire_diameter: ArrayLike, body_turns: ArrayLike, turned: ArrayLike
) -> Floats:
    """Inside diameter of a torsion coil wound up by `turned` turns of its body [m].

    Notes
    -----
    D N_b/(N_b + turned) − d: the wire keeps its length while turns are added. The post must stay thinner.

    References
    ----------
    Budynas & Nisbett, *Shigley's Mechanical Engineering Design*, springs, torsion springs (memory).

    """
    body = _array(body_turns)
    return _array(coil_diameter) * body / (body + _array(turned)) - _array(wire_diameter)
