"""Layers of soil under a set, and the stress in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Layer:
    """One layer of soil; strengths are numbers or draws of shape (n,).

    Parameters
    ----------
    name : str
        Name for people.
    model : str
        `undrained` (clay, loam, muck), `drained` (sand, gravel) or `adfreeze` (frozen).
    thickness : float
        Thickness [m]; inf for the last one.
    phi, cu : array_like
        Friction angle [rad], undrained strength [Pa]; NaN where the model has none.
    unit_weight : array_like
        Weight that counts for effective stress [N/m³].
    delta : array_like
        Friction angle of steel on the soil [rad].

    """

    name: str
    model: str
    thickness: float
    phi: ArrayLike
    cu: ArrayLike
    unit_weight: ArrayLike
    delta: ArrayLike


def spans(layers: Sequence[Layer], top: float, bottom: float) -> list[tuple[Layer, float, float]]:
    """Cut the layers to the depths between `top` and `bottom` [m]: (layer, from, to) from the top down."""
    found = []
    start = 0.0
    for layer in layers:
        end = start + layer.thickness
        low, high = max(start, top), min(end, bottom)
        if high > low:
            found.append((layer, low, high))
        start = end
    return found


def stress(layers: Sequence[Layer], depth: float) -> Floats:
    """Vertical effective stress at a depth [Pa], shape of the unit weights."""
    total: Floats = np.asarray(0.0)
    for layer, low, high in spans(layers, 0.0, depth):
        total = total + np.asarray(layer.unit_weight, dtype=float) * (high - low)
    return np.asarray(total)


def at(layers: Sequence[Layer], depth: float) -> Layer:
    """The layer at a depth [m]; the last one below all of them."""
    start = 0.0
    for layer in layers:
        start += layer.thickness
        if depth < start:
            return layer
    return layers[-1]


def thawed(layers: Sequence[Layer], soft: Layer) -> tuple[Layer, ...]:
    """The same ground after a thaw: each frozen layer keeps its thickness and takes the strength of `soft`.

    Parameters
    ----------
    layers : sequence of Layer
        From the top down.
    soft : Layer
        What the frozen soil is when it has thawed, wet and loosened.

    """
    return tuple(replace(soft, thickness=one.thickness) if one.model == "adfreeze" else one for one in layers)


def profile(cuts: Sequence[tuple[float, float]], soils: Sequence[Layer]) -> tuple[Layer, ...]:
    """Layers from the depths at which a rod or a spade found them.

    Parameters
    ----------
    cuts : sequence of (float, float)
        Upper and lower end of each layer below the surface [m], from the top down; inf for the last lower end.
    soils : sequence of Layer
        The soil of each; its own thickness is not used.

    Raises
    ------
    OutOfRange
        When there are not as many soils as cuts, a layer has no thickness, the first does not begin at the surface,
        or a gap or an overlap lies between two.

    """
    if len(cuts) != len(soils) or not soils:
        raise OutOfRange("each layer needs its two depths", field="cuts", found=len(cuts), allowed=str(len(soils)))
    bottom = 0.0
    for number, (upper, lower) in enumerate(cuts):
        if not abs(upper - bottom) < 1e-6:
            fault = "a gap above a layer" if upper > bottom else "two layers overlap"
            raise OutOfRange(fault, field=f"cuts[{number}]", found=f"{upper:.4g} m", allowed=f"{bottom:.4g} m")
        if not lower > upper:
            fault = f"above {upper:.4g} m"
            raise OutOfRange(
                "a layer without thickness", field=f"cuts[{number}]", found=f"{lower:.4g} m", allowed=fault
            )
        bottom = lower
    return tuple(replace(soil, thickness=lower - upper) for (upper, lower), soil in zip(cuts, soils, strict=True))


def moistened(layer: Layer, factor: ArrayLike, unit_weight: ArrayLike | None = None) -> Layer:
    """The same soil in another state of moisture.

    Parameters
    ----------
    layer : Layer
        As described by hand, moist.
    factor : array_like
        On its undrained strength [-]; nothing else of clay, loam and muck changes, and no strength of sand.
    unit_weight : array_like, optional
        Weight that now counts for effective stress, the submerged one in soaked ground [N/m³].

    """
    weight = layer.unit_weight if unit_weight is None else unit_weight
    return replace(layer, cu=np.asarray(layer.cu, dtype=float) * np.asarray(factor, dtype=float), unit_weight=weight)
