"""Driven stakes: straight pull, side pull, bending, oblique pull, crossed pairs."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.ground.soil import Layer, spans, stress

Floats = NDArray[np.float64]

TOP_LOOSE = 0.05
EARTH_PRESSURE = 0.8
OVERLAP = 0.75
SLICES = 24
SIDE_SLICES = 48


def adhesion(cu: ArrayLike, effective_stress: ArrayLike) -> Floats:
    """Shaft adhesion factor of a driven shaft in clay [-], any shape.

    0.5 ψ^−½ for ψ ≤ 1, 0.5 ψ^−¼ above, ψ = cu/σ'_v, at most 1.

    References
    ----------
    API RP 2GEO, UFC 3-220-20 Eq. 6-16 and 6-17 (secondary copy).

    """
    with np.errstate(divide="ignore", invalid="ignore"):
        psi = np.asarray(cu, dtype=float) / np.asarray(effective_stress, dtype=float)
        factor = np.where(psi <= 1.0, 0.5 * psi**-0.5, 0.5 * psi**-0.25)
    return np.asarray(np.minimum(factor, 1.0))


def axial(
    layers: Sequence[Layer],
    *,
    perimeter: float,
    length: float,
    top_loose: float = TOP_LOOSE,
    earth_pressure: ArrayLike = EARTH_PRESSURE,
    adfreeze: ArrayLike = 250e3,
) -> Floats:
    """Straight pull that draws a driven stake [N], shape of the strengths.

    Parameters
    ----------
    layers : sequence of Layer
        From the top down.
    perimeter, length : float
        Outline of the convex hull of the section and embedded length [m].
    top_loose : float
        Length at the top that was worked loose [m].
    earth_pressure : array_like
        K of the beta method in sand and gravel [-], assumed 0.8 (0.5 to 1.0).
    adfreeze : array_like
        Bond of a frozen layer [Pa].

    Notes
    -----
    V = ∫ f P dz, f = α cu (undrained), K tanδ σ'_v (drained). No suction at the tip, no weight of the stake.

    References
    ----------
    API RP 2GEO; UFC 3-220-20 Eq. 6-6, 6-7, 6-16, 6-17 (secondary copies); K assumed.

    """
    total: Floats = np.asarray(0.0)
    for layer, low, high in spans(layers, top_loose, length):
        slices = (np.arange(SLICES) + 0.5) * (high - low) / SLICES
        over, weight, _ = np.broadcast_arrays(stress(layers, low), layer.unit_weight, layer.cu)
        pressure = over + np.multiply.outer(slices, weight)
        if layer.model == "undrained":
            friction = (adhesion(layer.cu, pressure) * np.asarray(layer.cu, dtype=float)).mean(axis=0)
        elif layer.model == "drained":
            held = np.asarray(earth_pressure, dtype=float) * np.tan(np.asarray(layer.delta))
            friction = held * pressure.mean(axis=0)
        else:
            friction = np.asarray(adfreeze, dtype=float)
        total = total + friction * perimeter * (high - low)
    return np.asarray(total)


def lateral_undrained(cu: ArrayLike, width: float, length: float, height: float) -> tuple[Floats, Floats]:
    """Side pull that turns a short rigid stake in clay [N], and the greatest moment in it [N m].

    Parameters
    ----------
    cu : array_like
        Undrained strength [Pa].
    width, length, height : float
        Width facing the pull, embedded length, height of the pull over the ground [m].

    Notes
    -----
    H with 1.5 D + f + g = L, f = H / (9 cu D), g = √[H (e + 1.5 D + f/2) / (2.25 cu D)]. With a = L − 1.5 D and
    h = e + 1.5 D that is (a − f)² = 4 f h + 2 f², so f = √[(a + 2h)² + a²] − (a + 2h). Greatest moment H (h + f/2).
    Nothing is counted in the top 1.5 D. A stake shorter than that holds nothing.

    References
    ----------
    Broms 1964 in UFC 3-220-20 Eq. 6-59 to 6-61 (secondary copy); an open textbook prints the same (seen).

    """
    strength = np.asarray(cu, dtype=float)
    reach, arm = max(length - 1.5 * width, 0.0), height + 1.5 * width
    whole = reach + 2.0 * arm
    # As a quotient: a difference of two near numbers would lose the digits of a short stake under a high pull.
    f = reach**2 / (whole + np.hypot(whole, reach)) if reach > 0.0 else 0.0
    force = 9.0 * strength * width * f
    return np.asarray(force), np.asarray(force * (arm + 0.5 * f))


def lateral_drained(
    phi: ArrayLike, unit_weight: ArrayLike, width: float, length: float, height: float
) -> tuple[Floats, Floats]:
    """Side pull that turns a short rigid stake in sand [N], and the greatest moment in it [N m].

    Notes
    -----
    H = ½ γ D L³ K_p / (e + L); M at f = √(2H / 3γDK_p), M = H (e + 2f/3).

    References
    ----------
    Broms 1964 in UFC 3-220-20 Eq. 6-62 to 6-65 (secondary copy).

    """
    gamma = np.asarray(unit_weight, dtype=float)
    passive = np.tan(np.pi / 4 + 0.5 * np.asarray(phi, dtype=float)) ** 2
    force = 0.5 * gamma * width * length**3 * passive / (height + length)
    f = np.sqrt(2.0 * force / (3.0 * gamma * width * passive))
    return np.asarray(force), np.asarray(force * (height + 2.0 * f / 3.0))


def lateral(layer: Layer, width: float, length: float, height: float) -> tuple[Floats, Floats]:
    """Side pull [N] and greatest moment [N m] of a short rigid stake in one soil all the way down; NaN in frost."""
    if layer.model == "undrained":
        return lateral_undrained(layer.cu, width, length, height)
    if layer.model == "drained":
        return lateral_drained(layer.phi, layer.unit_weight, width, length, height)
    return np.asarray(np.nan), np.asarray(np.nan)


def lateral_layered(layers: Sequence[Layer], width: float, length: float, height: float) -> tuple[Floats, Floats]:
    """Side pull that turns a short rigid stake in layered ground [N], and the greatest moment in it [N m].

    Parameters
    ----------
    layers : sequence of Layer
        From the top down; strengths of shape (n,) or numbers.
    width, length, height : float
        Width facing the pull, embedded length, height of the pull over the ground [m].

    Notes
    -----
    Each slice of the stake pushes with 9 cu D (clay, none in the top 1.5 D of the ground) or 3 K_p σ'_v D (sand); the
    slices above the point of turning push one way, those below it the other, and forces and moments balance. In one
    clay that is Broms' figure. In one sand Broms gathers the push below the turning point at the tip and finds about
    a quarter more; so the balance is scaled by what it misses in each soil alone, weighted by the length in it, and
    one layer gives Broms' figure exactly. Doubt: the scaling and the limit pressures next to a boundary are assumed.

    References
    ----------
    Broms 1964 in UFC 3-220-20 Eq. 6-59 to 6-65 (secondary copy) for the pressures; own balance (derived).

    """
    parts = spans(layers, 0.0, length)
    if len(parts) == 1:
        return lateral(parts[0][0], width, length, height)
    force, moment = _balance(layers, width, length, height)
    more_force, more_moment = np.asarray(0.0), np.asarray(0.0)
    for layer, top, bottom in parts:
        alone = lateral(layer, width, length, height)
        balanced = _balance([replace(layer, thickness=np.inf)], width, length, height)
        share = (bottom - top) / length
        with np.errstate(divide="ignore", invalid="ignore"):
            # A soil too weak or a stake too short to push at all adds nothing and needs no scale.
            more_force = more_force + share * np.where(balanced[0] > 0, alone[0] / balanced[0], 1.0)
            more_moment = more_moment + share * np.where(balanced[1] > 0, alone[1] / balanced[1], 1.0)
    return np.asarray(force * more_force), np.asarray(moment * more_moment)


def _balance(layers: Sequence[Layer], width: float, length: float, height: float) -> tuple[Floats, Floats]:
    """Side pull and greatest moment from the balance of all slices; NaN where a layer is frozen."""
    middles, steps, pushes = [], [], []
    for layer, top, bottom in spans(layers, 0.0, length):
        cuts = np.linspace(top, bottom, SIDE_SLICES + 1)
        if layer.model == "undrained" and top < 1.5 * width < bottom:
            cuts = np.sort(np.append(cuts, 1.5 * width))
        base = stress(layers, top)
        for upper, lower in itertools.pairwise(cuts):
            middle = 0.5 * (upper + lower)
            if layer.model == "undrained":
                push = 9.0 * width * np.asarray(layer.cu, dtype=float) * float(middle > 1.5 * width)
            elif layer.model == "drained":
                passive = np.tan(np.pi / 4 + 0.5 * np.asarray(layer.phi, dtype=float)) ** 2
                push = 3.0 * passive * width * (base + np.asarray(layer.unit_weight, dtype=float) * (middle - top))
            else:
                push = np.asarray(np.nan)
            middles.append(middle)
            steps.append(lower - upper)
            pushes.append(push)
    push = np.array(np.broadcast_arrays(*pushes))
    one_each = (-1,) + (1,) * (push.ndim - 1)
    middle, force = np.reshape(middles, one_each), push * np.reshape(steps, one_each)
    pushed, about_ground = _summed(force), _summed(force * middle)
    about_pull = about_ground + height * pushed
    turning = _read(about_pull, pushed, 0.5 * about_pull[-1])
    pull = 2.0 * turning - pushed[-1]
    return np.asarray(pull), np.asarray(pull * height + _read(pushed, about_ground, pull))


def _summed(parts: Floats) -> Floats:
    """Running sum over the slices with a zero before the first, shape (m + 1, ...)."""
    return np.concatenate([np.zeros_like(parts[:1]), np.cumsum(parts, axis=0)])


def _read(rising: Floats, other: Floats, at: Floats) -> Floats:
    """What `other` is where `rising` reaches `at`, draw by draw; both run down the first axis."""
    below = np.clip(np.sum(rising < at, axis=0) - 1, 0, rising.shape[0] - 2)[None]
    low, high = np.take_along_axis(rising, below, 0)[0], np.take_along_axis(rising, below + 1, 0)[0]
    first, last = np.take_along_axis(other, below, 0)[0], np.take_along_axis(other, below + 1, 0)[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(high > low, (at - low) / (high - low), 0.0)
    return np.asarray(first + part * (last - first))


def yield_limited(force: ArrayLike, moment: ArrayLike, yield_moment: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Side pull limited by the bending of the stake [N], and where it bends.

    The moment is taken to grow in proportion to the pull, which is on the safe side.
    """
    pull, bending = np.asarray(force, dtype=float), np.asarray(moment, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        bends = bending > yield_moment
        held = np.where(bends, pull * yield_moment / bending, pull)
    return np.asarray(held), np.asarray(bends)


def head_stiffness(cu: ArrayLike, length: float, ratio: float = 67.0) -> Floats:
    """Stiffness of the head of a rigid stake [N/m], E_s L / 4 with E_s = ratio · cu (from memory)."""
    return np.asarray(ratio * np.asarray(cu, dtype=float) * length / 4.0)


def oblique(side: ArrayLike, straight: ArrayLike, angle: ArrayLike) -> Floats:
    """Pull at an angle above the ground [N], between side pull (0) and straight pull (π/2).

    R = [(cosθ/H)² + (sinθ/V)²]^−½, an ellipse after Meyerhof (from memory).
    """
    theta = np.asarray(angle, dtype=float)
    with np.errstate(divide="ignore"):
        square = (np.cos(theta) / np.asarray(side, dtype=float)) ** 2
        square = square + (np.sin(theta) / np.asarray(straight, dtype=float)) ** 2
        return np.asarray(1.0 / np.sqrt(square))


def leaning(side: ArrayLike, straight: ArrayLike, angle: ArrayLike, lean: ArrayLike) -> Floats:
    """Pull that a leaning stake holds at an angle above the ground [N].

    Parameters
    ----------
    side, straight : array_like
        Pull across and along the axis of the stake [N].
    angle : array_like
        Of the pull above the ground [rad].
    lean : array_like
        Of the head from the vertical, above zero when it leans away from the animal [rad].

    Notes
    -----
    The ellipse of `oblique`, turned with the stake: a stake that leans away from the pull is pulled across, where it
    holds most; one that leans towards it is drawn out. A pull that pushes the stake in is credited like one that
    draws it, which is on the safe side. Side and straight pull themselves are those of an upright stake of the depth
    that it reaches (assumed).

    """
    return oblique(side, straight, np.asarray(angle, dtype=float) - np.asarray(lean, dtype=float))


def crossed(side: ArrayLike, straight: ArrayLike, beta: ArrayLike, overlap: ArrayLike = OVERLAP) -> Floats:
    """Upward pull on two stakes crossed through one ring [N].

    V_x = η · 2 (V cosβ + H sinβ): the pull cannot slide both along their axes at once (virtual work); the overlap
    of their soil is assumed 0.75. Credit one stake only when it can turn inside the ring.
    """
    b = np.asarray(beta, dtype=float)
    both = np.asarray(straight, dtype=float) * np.cos(b) + np.asarray(side, dtype=float) * np.sin(b)
    return np.asarray(np.asarray(overlap, dtype=float) * 2.0 * both)
