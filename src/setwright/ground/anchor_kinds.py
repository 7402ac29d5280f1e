"""Anchors as they are driven or tied, what they hold, and what cannot be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import OutOfRange
from setwright.ground.soil import Layer

Floats = NDArray[np.float64]

KINDS = ("stake", "crossed", "plate", "tree", "root", "sapling", "drag", "weight")
# Kinds that the ground itself holds.
DRIVEN = ("stake", "crossed", "plate")


@dataclass(frozen=True, slots=True)
class Anchor:
    """An anchor as it is driven or tied.

    Parameters
    ----------
    kind : str
        `stake`, `crossed`, `plate`, `tree`, `root`, `sapling`, `drag` or `weight`.
    width, perimeter, length : float
        Width that faces the pull, outline of the section, driven length [m].
    yield_moment : float
        Plastic moment of the stake [N m]; inf when it does not bend.
    plate_width, plate_length, depth : float
        Plate and the depth to which it was driven [m].
    diameter : float
        Of a sapling or root where it is tied [m].
    mass, material_density : float
        Of a weight, dry [kg], [kg/m³].
    pull_height : float
        Height of the pull over the ground [m].
    beta : float
        Lean of each crossed stake from the vertical [rad].
    friction : float
        Of a weight on its bed [-].
    proof : float
        Pull that the fresh anchor held [N]; NaN when it was not pulled. Counts for a stake, a pair and a plate.
    proof_angle : float
        Of the proof pull above the ground [rad]; NaN when not noted, then it is credited at any angle as it stands.
        Noted, it is turned into the lunge by the ellipse of a stake or a pair; a plate turns with its cable.
    lean : float
        Of a single stake's head from the vertical, above zero away from the animal [rad].
    refusal : float
        Depth at which the ground refused the stake or the plate [m]; inf when it did not.
    alive : bool
        Of a tree, root or sapling: dead wood is credited with nothing.

    """

    kind: str
    width: float = 0.0127
    perimeter: float = 0.04
    length: float = 0.6
    yield_moment: float = float("inf")
    plate_width: float = 0.025
    plate_length: float = 0.064
    depth: float = 0.6
    diameter: float = 0.05
    mass: float = 0.0
    material_density: float = 2300.0
    pull_height: float = 0.02
    beta: float = 0.7
    friction: float = 0.4
    proof: float = float("nan")
    proof_angle: float = float("nan")
    lean: float = 0.0
    refusal: float = float("inf")
    alive: bool = True


@dataclass(frozen=True, eq=False)
class Capacity:
    """What an anchor holds.

    Parameters
    ----------
    force : ndarray
        Pull held [N]; NaN when the anchor holds by travelling (drag), or when the ground is unknown or frozen and no
        proof pull was logged.
    governs : str
        What gives way first: `pulls`, `bends`, `breaks out`, `slides`, `snaps`, `tackle`, `parts`, `dead wood`,
        `travels`; or why the model
        has no figure: `unknown ground`, `frozen ground`. The latter stay as a warning where a proof pull stands in.
    stiffness : ndarray
        At the ring [N/m].

    """

    force: Floats
    governs: str
    stiffness: Floats


def check(anchor: Anchor, layers: Sequence[Layer]) -> None:
    """Refuse an anchor or a ground that cannot be, by name: OutOfRange with field, found and allowed.

    Parameters
    ----------
    anchor : Anchor
        The anchor.
    layers : sequence of Layer
        Ground from the top down.

    """
    if anchor.kind == "plate" and anchor.plate_width > anchor.plate_length:
        raise OutOfRange(
            "a plate wider than long: its short side comes first",
            field="plate_width",
            found=f"{anchor.plate_width:.4g} m",
            allowed=f"0 to {anchor.plate_length:.4g} m, its length",
        )
    if anchor.kind in DRIVEN:
        name = "depth" if anchor.kind == "plate" else "length"
        driven = anchor.depth if anchor.kind == "plate" else anchor.length
        if driven > anchor.refusal:
            raise OutOfRange(
                "deeper than the ground let it: enter the depth that was reached",
                field=name,
                found=f"{driven:.4g} m",
                allowed=f"0 to {anchor.refusal:.4g} m",
            )
    for number, layer in enumerate(layers):
        if not layer.thickness >= 0.0:
            field = f"layers[{number}].thickness"
            raise OutOfRange("a layer without a thickness", field=field, found=layer.thickness, allowed="0 m or more")
