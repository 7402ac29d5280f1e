"""Layers of soil under a set, and the stress in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
