"""What is not known of one trap, each with a prior, and the designs that follow from normal scores."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from setwright.basis.errors import OutOfRange
from setwright.basis.source import Quantity
from setwright.basis.spread import Z95
from setwright.trap.build import BAR_SHARE, LAMINATION_SHARE, PAD_DENSITY, build
from setwright.trap.model import COIL, STEEL_DENSITY, Dimensions, Floats, Number, Trap

# How sharply the two halves of an uneven spread go over into each other, in standard scores.
_BLEND = 0.5
# A stated value at the very edge of its own band still leaves that side this share of the other.
_LEAST_SIDE = 0.2

# In logarithms, except for angles and places that may be zero or negative.
_BOTH = (
    "spread", "height_share", "face_width", "leg_thickness", "eye_half_opening", "edge_radius", "hinge_play",
    "bevel", "set_angle", "spring_health", "jaw_mass_share", "inertia_share", "rest_mass", "friction", "trip_force",
    "time_factor",
)  # fmt: skip
_COIL = ("wire_diameter", "coil_diameter", "coil_turns", "coil_leg", "set_stress_share", "lever_length",
         "pivot_drop", "lever_mass")  # fmt: skip
_LONG = ("leaf_width", "leaf_thickness", "leaf_arm", "leaf_bend", "leaf_lift", "arm_taper", "ring_mass")
_LINEAR = ("bevel", "set_angle", "pivot_drop", "arm_taper")
# Unknowns that are fields of `Dimensions` under the same name.
_PLAIN = (
    "face_width", "leg_thickness", "eye_half_opening", "bevel", "set_angle", "spring_health", *_COIL, *_LONG,
)  # fmt: skip


@dataclass(frozen=True)
class Unknown:
    """One unknown with its prior: a smooth two-piece normal in the value or in its logarithm.

    Parameters
    ----------
    name : str
        Field of `Dimensions`, or one of the shares and factors that `design_of` knows.
    middle, low, high : float
        Median, 5 % and 95 % point in SI; equal when the value is exact.
    logarithmic : bool
        Whether the spread is that of the logarithm.

    """

    name: str
    middle: float
    low: float
    high: float
    logarithmic: bool

    def value(self, score: Floats) -> Floats:
        """Value at standard normal scores, any shape; increasing, middle at 0, low and high at ∓1.645.

        y = m + s u + r (√(u² + k²) − k), s and r from both sides; lines far out, smooth at the middle.
        """
        low, middle, high = (np.log(x) if self.logarithmic else x for x in (self.low, self.middle, self.high))
        below, above = float(middle - low), float(high - middle)
        below, above = max(below, _LEAST_SIDE * above), max(above, _LEAST_SIDE * below)
        even = 0.5 * (below + above) / Z95
        skew = 0.5 * (above - below) / (np.hypot(Z95, _BLEND) - _BLEND)
        y = middle + even * score + skew * (np.hypot(score, _BLEND) - _BLEND)
        return np.asarray(np.exp(y) if self.logarithmic else y)


@dataclass(frozen=True)
class Unknowns:
    """All unknowns of one trap, and what is exact about it.

    Parameters
    ----------
    base : Dimensions
        The trap by its pattern and jaws; holds what is not uncertain.
    free : tuple of Unknown
        In the order of the columns of scores.
    fixed : mapping of str to float
        Exact values of the other names.

    """

    base: Dimensions
    free: tuple[Unknown, ...]
    fixed: Mapping[str, float]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the unknowns, in the order of the columns of scores."""
        return tuple(one.name for one in self.free)

    @property
    def size(self) -> int:
        """Number of unknowns."""
        return len(self.free)


@dataclass(frozen=True)
class Design:
    """n designs of one trap, each number of shape (n,).

    Parameters
    ----------
    dimensions : Dimensions
        With the spread that fits the height of the jaws, so that `build` gives the same trap but for the
        two shares on the jaws.
    friction, trip_force, time_factor : array [-], [N], [-]
        Loop on jaw; pan trip force; factor on closing time for what the motion leaves out.
    spread, jaw_mass : array [m], [kg]
        Inside the set jaws as a trapper reads it; one jaw.
    trap : Trap
        Parameters of the closing.

    """

    dimensions: Dimensions
    friction: Floats
    trip_force: Floats
    time_factor: Floats
    spread: Floats
    jaw_mass: Floats
    trap: Trap

    @cached_property
    def rate_at_eye(self) -> Floats:
        """Rate of one spring felt at its eye [N/m]."""
        if self.dimensions.family != COIL:
            return np.asarray(self.trap.spring_rate)
        return np.asarray(self.trap.spring_rate / (self.dimensions.springs // 2) / np.square(self.trap.lever_length))


def unknowns_of(base: Dimensions, priors: Mapping[str, Quantity]) -> Unknowns:
    """Unknowns of a trap from its pattern's figures and the priors of what no pattern holds.

    Parameters
    ----------
    base : Dimensions
        The trap by its pattern, with its jaws and springs.
    priors : mapping of str to Quantity
        By name, in SI, with 5 % and 95 % points; without them a figure is exact.

    Raises
    ------
    OutOfRange
        When a prior is missing or its value is not known.

    Notes
    -----
    The edge of the eye, r = c − t/2, is drawn in place of the loop clearance c, so that a reading of the
    leg tells of c too; the mass of the trap is drawn as what is left without the jaws.

    """
    known = dict(priors)
    known["edge_radius"] = _edge_radius(known)
    known["rest_mass"] = _rest_mass(base, known)
    if "hinge_half_distance" in known:
        known["hinge_play"] = _hinge_play(known)
    free, fixed = [], {}
    for name in (*_BOTH, *(_COIL if base.family == COIL else _LONG)):
        middle, low, high = _points(known, name)
        if low == middle == high:
            fixed[name] = middle
        else:
            free.append(Unknown(name, middle, low, high, name not in _LINEAR))
    return Unknowns(base, tuple(free), fixed)


def _points(priors: Mapping[str, Quantity], name: str) -> tuple[float, float, float]:
    found = priors.get(name)
    if found is None or found.value is None:
        raise OutOfRange("this unknown needs a prior", field=name)
    middle = found.value
    return (
        middle,
        middle if found.low is None else found.low,
        middle if found.high is None else found.high,
    )


def _edge_radius(priors: Mapping[str, Quantity]) -> Quantity:
    """Prior of the edge of the eye, from those of clearance and leg; never less than a tenth either way."""
    leg, leg_low, leg_high = _points(priors, "leg_thickness")
    clear, low, high = _points(priors, "loop_clearance")
    middle = max(clear - 0.5 * leg, 1e-4)
    half = np.sqrt(max(0.25 * (high - low) ** 2 - 0.0625 * (leg_high - leg_low) ** 2, 0.0))
    share = 1.0 + max(0.1, float(half) / middle)
    return Quantity(middle, "m", priors["loop_clearance"].source, middle / share, middle * share)


def _hinge_play(priors: Mapping[str, Quantity]) -> Quantity:
    a, low, high = _points(priors, "hinge_half_distance")
    play = max(a - 0.5 * _points(priors, "leg_thickness")[0], 1e-4)
    share = 1.0 + max(high - a, a - low) / play
    return Quantity(play, "m", priors["hinge_half_distance"].source, play / share, play * share)


def _rest_mass(base: Dimensions, priors: Mapping[str, Quantity]) -> Quantity:
    mass, low, high = _points(priors, "mass")
    jaws = 2.0 * float(np.asarray(_jaw_mass(base)))
    rest = max(mass - jaws, 0.1 * mass)
    return Quantity(rest, "kg", priors["mass"].source, rest * low / mass, rest * high / mass)


def _jaw_mass(dimensions: Dimensions) -> Number:
    """Mass of one jaw [kg], two legs and a bar of even section with what is added to the bar."""
    half = 0.5 * dimensions.leg_thickness + 5e-4
    a = half if dimensions.hinge_half_distance is None else dimensions.hinge_half_distance
    height, bar = 0.5 * dimensions.spread - a, BAR_SHARE * dimensions.spread
    bars = 2.0 if dimensions.jaw_kind == "double" else 1.0
    steel = STEEL_DENSITY * dimensions.face_width * dimensions.leg_thickness * (2.0 * height + bars * bar)
    strip = STEEL_DENSITY * dimensions.lamination_width * dimensions.lamination_thickness * LAMINATION_SHARE
    return steel + (strip + PAD_DENSITY * dimensions.pad_width * dimensions.pad_thickness) * bar


def design_of(unknowns: Unknowns, scores: Floats) -> Design:
    """Designs at standard normal scores of the unknowns.

    Parameters
    ----------
    unknowns : Unknowns
        Of one trap.
    scores : array, shape (n, size) [-]
        One row a design, 0 at the prior's median.

    Notes
    -----
    Height H = (S/2 − a) f with the hinge axes at a = t/2 + play; the inertia of a jaw is that of even
    bars times the share of mass and the share of shape.

    """
    rows = np.asarray(scores, dtype=float)
    if rows.ndim != 2 or rows.shape[1] != unknowns.size:
        raise OutOfRange(
            "one column a name is needed", field="scores", found=rows.shape, allowed=f"(n, {unknowns.size})"
        )
    n = rows.shape[0]
    at: dict[str, Floats] = {name: np.full(n, value) for name, value in unknowns.fixed.items()}
    at |= {one.name: one.value(rows[:, i]) for i, one in enumerate(unknowns.free)}
    half = 0.5 * at["leg_thickness"] + at["hinge_play"]
    height = (0.5 * at["spread"] - half) * at["height_share"]
    figures: dict[str, Any] = {name: at[name] for name in _PLAIN if name in at}
    shaped = replace(
        unknowns.base, **figures, spring_rate=None, spread=2.0 * (height + half), hinge_half_distance=half,
        loop_clearance=0.5 * at["leg_thickness"] + at["edge_radius"],
    )  # fmt: skip
    jaw = _jaw_mass(shaped) * at["jaw_mass_share"]
    shaped = replace(shaped, mass=at["rest_mass"] + 2.0 * jaw)
    plain = build(shaped)
    trap = replace(
        plain,
        jaw_inertia=plain.jaw_inertia * at["jaw_mass_share"] * at["inertia_share"],
        weight_moment=plain.weight_moment * at["jaw_mass_share"],
    )
    return Design(
        shaped, at["friction"], at["trip_force"], at["time_factor"], at["spread"], np.asarray(jaw), trap
    )  # fmt: skip
