"""How a pull is put on an anchor: lunge after lunge, in a jerk, or for hours."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.ground.soil import Layer, spans, stress
from setwright.ground.stake import TOP_LOOSE

Floats = NDArray[np.float64]


def worked_loose(lunges: ArrayLike, left: ArrayLike = 0.6, soon: ArrayLike = 5.0) -> Floats:
    """Share of a stake's strength left after a number of lunges [-], any shape.

    left + (1 − left) e^(−N / soon): an animal that circles opens a cone round the head, until the cone is as wide as
    the stake moves.

    Parameters
    ----------
    lunges : array_like
        Lunges so far [-].
    left : array_like
        Share that stays in the end, 0.4 to 0.8 (assumed) [-].
    soon : array_like
        Lunges in which most of it is lost (assumed) [-].

    """
    end = np.asarray(left, dtype=float)
    gone = np.exp(-np.asarray(lunges, dtype=float) / np.asarray(soon, dtype=float))
    return np.asarray(end + (1.0 - end) * gone)


def jerk_gain(duration: ArrayLike, slow: float = 100.0, per_decade: ArrayLike = 0.1) -> Floats:
    """Gain of the undrained strength at a quick pull [-]: 10 % for each tenth of the time; 1.3 at 0.1 s.

    Parameters
    ----------
    duration : array_like
        Of the pull [s].
    slow : float
        Of the test behind the figures of the table [s] (assumed).
    per_decade : array_like
        Gain for each tenfold speed [-] (from memory); below 1 for slower pulls than `slow`.

    """
    return np.asarray(1.0 + np.asarray(per_decade) * np.log10(slow / np.asarray(duration, dtype=float)))


def drainage_time(width: ArrayLike, consolidation: ArrayLike) -> Floats:
    """Time that a pull must last until the soil round a stake has drained [s], D² / c_v.

    A pull of less than a twentieth of it finds the undrained strength, a longer one the drained; between them neither
    formula holds (limits assumed).

    Parameters
    ----------
    width : array_like
        Of the stake [m].
    consolidation : array_like
        Coefficient of consolidation: clay about 1e-8 to 1e-7, silt and loam 1e-7 to 1e-6 [m²/s] (from memory).

    """
    return np.asarray(np.asarray(width, dtype=float) ** 2 / np.asarray(consolidation, dtype=float))


def axial_slow(layers: Sequence[Layer], *, perimeter: float, length: float, beta_drained: ArrayLike) -> Floats:
    """Straight pull on a stake by friction alone [N], once fine soil has drained under a lasting pull.

    Parameters
    ----------
    layers : sequence of Layer
        From the top down; only their weights count, frozen ones give NaN.
    perimeter, length : float
        As in `axial` [m].
    beta_drained : array_like
        K tanδ [-]: clay 0.15 to 0.35, silt 0.25 to 0.50, sand 0.30 to 0.90, gravel 0.35 to 0.80.

    Notes
    -----
    Suction of moist soil is left out, so the figure is a floor: for a pull that lasts (a spring pole, a hanging
    weight) and for soaked ground.

    References
    ----------
    FHWA GEC-12 Table 7-9 (secondary copy).

    """
    total: Floats = np.asarray(0.0)
    for layer, low, high in spans(layers, TOP_LOOSE, length):
        if layer.model == "adfreeze":
            return np.asarray(np.nan)
        # Stress runs straight within a layer, so its middle gives the mean.
        total = total + stress(layers, 0.5 * (low + high)) * (high - low)
    return np.asarray(np.asarray(beta_drained, dtype=float) * perimeter * total)
