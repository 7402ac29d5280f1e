"""Any anchor of the outfit in the ground of a site: what pull it holds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput
from setwright.ground import proof, stake
from setwright.ground.anchor_kinds import KINDS, Anchor, Capacity, check
from setwright.ground.drag import root
from setwright.ground.plate import keyed_depth, uplift_drained, uplift_undrained
from setwright.ground.soil import Layer, at, spans, stress

__all__ = ["KINDS", "Anchor", "Capacity", "capacity", "check", "drag_travel", "fine_share"]

Floats = NDArray[np.float64]

GRAVITY = 9.80665
WATER_DENSITY = 1000.0
# Assumed [N]: a living tree or root outlasts the tackle; what matters then is the chain.
TREE = 20_000.0
# Bending strength of green wood [Pa], 40 to 60 MPa, from memory.
GREEN_WOOD = 50e6
# Assumed: modulus of loose to firm sand at a stake [Pa]; at the ring [N/m] of a plate, of a sapling and of what does
# not give. A body is far softer (4 kN/m for a coyote), so these hardly move the pull.
SAND_STIFFNESS = 2.0e6
PLATE_STIFFNESS = 1e5
SAPLING_STIFFNESS = 2e4
RIGID = 1e6


def capacity(
    anchor: Anchor, layers: Sequence[Layer], *, angle: ArrayLike = 0.0, cyclic: ArrayLike = 1.0, rate: ArrayLike = 1.0
) -> Capacity:
    """Pull that an anchor holds at an angle above the ground.

    Parameters
    ----------
    anchor : Anchor
        The anchor.
    layers : sequence of Layer
        Ground from the top down; may be empty for a tree or a weight.
    angle : array_like
        Pull above the ground line [rad].
    cyclic : array_like
        Share left when an animal circles a stake (0.4 to 0.8, assumed).
    rate : array_like
        Gain in clay and loam for a jerk (1.1 to 1.5); 1 in sand.

    Returns
    -------
    Capacity
        With a proof pull the strength is never below it: the pull was a load test of this very anchor. Frozen
        ground that the anchor reaches gives NaN, or the proof pull: its side pull and uplift are not known, and they
        vanish on a thaw; ask again with `soil.thawed` layers and no proof.

    Raises
    ------
    BadInput
        When the kind of anchor is none of `KINDS`.
    OutOfRange
        When a stake or plate is said to stand deeper than the ground let it, when a plate is wider than long, or when
        a layer has no thickness that can be.

    Notes
    -----
    A proof pull holds for the short term and in the ground as it was: not after rain, frost or thaw. It lifts the
    draws below it and fills those that the model cannot give. It does not narrow the draws above it: a coefficient of
    variation of 0.3 with a proof in place of 0.5 without (assumed) is not applied here. It was a steady pull in one
    direction: with `proof_angle` it is turned into the lunge, without it is credited at any angle. For what a proof
    teaches about the whole strength see `proof.updated`.

    In layered ground the side pull is a balance of forces and moments over all layers, see `stake.lateral_layered`;
    the stiffness of the head is each layer's own, weighted by the length in it (assumed).

    Trees, saplings and the stiffness of plates, trees, saplings and sand are assumed figures; the bending strength of
    green wood is from memory.

    """
    if anchor.kind not in KINDS:
        raise BadInput("no such kind of anchor", field="kind", found=anchor.kind, allowed=", ".join(KINDS))
    check(anchor, layers)
    if anchor.kind == "drag":
        return Capacity(np.asarray(np.nan), "travels", np.asarray(np.inf))
    if anchor.kind in ("tree", "root", "sapling") and not anchor.alive:
        return Capacity(np.asarray(0.0), "dead wood", np.asarray(RIGID))
    if anchor.kind == "tree":
        return Capacity(np.asarray(TREE), "tackle", np.asarray(RIGID))
    if anchor.kind == "root":
        parts = root(anchor.diameter)
        governs = "parts" if float(parts) < TREE else "tackle"
        return Capacity(np.minimum(parts, TREE), governs, np.asarray(SAPLING_STIFFNESS))
    if anchor.kind == "sapling":
        snap = GREEN_WOOD * np.pi * anchor.diameter**3 / 32.0 / max(anchor.pull_height, 0.05)
        return Capacity(np.asarray(snap), "snaps", np.asarray(SAPLING_STIFFNESS))
    if anchor.kind == "weight":
        weight = anchor.mass * GRAVITY * (1.0 - WATER_DENSITY / anchor.material_density)
        theta = np.asarray(angle, dtype=float)
        slide = anchor.friction * weight / (np.cos(theta) + anchor.friction * np.sin(theta))
        return Capacity(np.asarray(slide), "slides", np.asarray(RIGID))
    if not layers:
        return Capacity(np.asarray(anchor.proof), "unknown ground", np.asarray(np.nan))
    force, governs, stiffness = _plate(anchor, layers) if anchor.kind == "plate" else _stake(anchor, layers, angle)
    if _in_frost(anchor, layers):
        governs = "frozen ground"
    loose = 1.0 if anchor.kind == "plate" else np.asarray(cyclic, dtype=float)
    force = force * loose * np.asarray(rate, dtype=float)
    if np.isfinite(anchor.proof):
        force = np.fmax(force, _proved(anchor, layers, angle))
    return Capacity(np.asarray(force), governs, stiffness)


def fine_share(anchor: Anchor, layers: Sequence[Layer]) -> float:
    """Share of the ground that holds an anchor and gains strength at a jerk [-], 0 to 1.

    For a plate the layer in which it lies after keying, all or nothing; for a stake or a pair the share of the driven
    length that stands in clay, loam or muck. Other anchors: 0. The split by length is assumed: it gives too little
    where the clay is the stronger part and too much where it is the weaker one.

    Parameters
    ----------
    anchor : Anchor
        The anchor.
    layers : sequence of Layer
        Ground from the top down.

    """
    if not layers or anchor.kind not in ("stake", "crossed", "plate"):
        return 0.0
    if anchor.kind == "plate":
        return float(at(layers, float(keyed_depth(anchor.depth, anchor.plate_length))).model == "undrained")
    parts = spans(layers, 0.0, anchor.length)
    fine = sum(bottom - top for layer, top, bottom in parts if layer.model == "undrained")
    reached = sum(bottom - top for _, top, bottom in parts)
    return fine / reached if reached > 0.0 else 0.0


def _in_frost(anchor: Anchor, layers: Sequence[Layer]) -> bool:
    if anchor.kind == "plate":
        return at(layers, float(keyed_depth(anchor.depth, anchor.plate_length))).model == "adfreeze"
    return any(layer.model == "adfreeze" for layer, _, _ in spans(layers, 0.0, anchor.length))


def _plate(anchor: Anchor, layers: Sequence[Layer]) -> tuple[Floats, str, Floats]:
    deep = float(keyed_depth(anchor.depth, anchor.plate_length))
    layer = at(layers, deep)
    weight = stress(layers, deep) / max(deep, 1e-6)
    above = [part for part in spans(layers, 0.0, deep) if part[0] is not layer]
    embedded = deep
    for _, _, bottom in above:
        embedded = deep - bottom
    if layer.model == "undrained":
        over = above[-1][0] if above else layer
        cu_above = over.cu if over.model == "undrained" else 0.0
        force = uplift_undrained(layer.cu, weight, deep, anchor.plate_width, anchor.plate_length, embedded, cu_above)
    elif layer.model == "drained":
        for part, upper, _ in reversed(above):
            if part.model != "drained":
                break
            embedded = deep - upper
        force = uplift_drained(layer.phi, weight, deep, anchor.plate_width, anchor.plate_length, embedded)
    else:
        force = np.asarray(np.nan)
    return force, "breaks out", np.asarray(PLATE_STIFFNESS)


def _stake(anchor: Anchor, layers: Sequence[Layer], angle: ArrayLike) -> tuple[Floats, str, Floats]:
    stiffness = _head_stiffness(anchor, layers)
    side, straight, bends = _both_ways(anchor, layers)
    if anchor.kind == "crossed":
        up = stake.crossed(side, straight, anchor.beta)
        # Sideways both push the same soil as upwards, so the overlap counts there too.
        force = stake.oblique(2.0 * stake.OVERLAP * side, up, angle)
        stiffness = 2.0 * stiffness
    else:
        force = stake.leaning(side, straight, angle, anchor.lean)
    return force, "bends" if bool(np.mean(bends) > 0.5) else "pulls", stiffness


def _both_ways(anchor: Anchor, layers: Sequence[Layer]) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Side pull and straight pull of one stake [N], and where it bends."""
    # A leaning stake reaches less deep than it is long.
    deep = anchor.length * float(np.cos(anchor.lean)) if anchor.kind == "stake" else anchor.length
    straight = stake.axial(layers, perimeter=anchor.perimeter, length=deep)
    side, moment = stake.lateral_layered(layers, anchor.width, deep, anchor.pull_height)
    side, bends = stake.yield_limited(side, moment, anchor.yield_moment)
    return side, straight, bends


def _proved(anchor: Anchor, layers: Sequence[Layer], angle: ArrayLike) -> Floats:
    """What the proof pull is worth in the direction of the lunge [N]; as it stands where that is not known."""
    if anchor.kind == "plate" or not np.isfinite(anchor.proof_angle):
        return np.asarray(anchor.proof)
    if anchor.kind == "crossed":
        side, straight, _ = _both_ways(anchor, layers)
        straight, side = stake.crossed(side, straight, anchor.beta), 2.0 * stake.OVERLAP * side
        turned = proof.carried_over(anchor.proof, side, straight, anchor.proof_angle, angle)
    else:
        side, straight, _ = _both_ways(anchor, layers)
        turned = proof.carried_over(
            anchor.proof, side, straight, anchor.proof_angle - anchor.lean, np.asarray(angle) - anchor.lean
        )
    return np.asarray(turned)


def _head_stiffness(anchor: Anchor, layers: Sequence[Layer]) -> Floats:
    """Stiffness of the head [N/m]: each layer's own figure over the whole stake, weighted by the length in it."""
    total = np.asarray(0.0)
    for layer, top, bottom in spans(layers, 0.0, anchor.length):
        if layer.model == "undrained":
            stiffness = stake.head_stiffness(layer.cu, anchor.length)
        else:
            stiffness = np.asarray(SAND_STIFFNESS * anchor.length / 4.0 if layer.model == "drained" else np.nan)
        total = total + (bottom - top) / anchor.length * stiffness
    return np.asarray(total)


def drag_travel(tow_force: float, pull: ArrayLike, distance_to_cover: float) -> Floats:
    """How far an animal drags before it snags [m]: to the nearest brush if it can tow the drag, else 0."""
    return np.asarray(np.where(np.asarray(pull, dtype=float) > tow_force, distance_to_cover, 0.0))
