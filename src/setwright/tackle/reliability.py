"""Chance that a row of parts gives way under one common load, and which part it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]
# Scatters that the grid reaches to each side, and its step in the narrowest scatter.
REACH, STEP = 6.0, 0.8
LEAST_SPREAD = 0.02
BLOCK, LADDER = 100_000, 16


@dataclass(frozen=True, slots=True, eq=False)
class SeriesLoss:
    """Chance of loss of rigs, shape (...), and of parts, shape (..., parts).

    Parameters
    ----------
    loss : array [-]
        Chance that a part gives way; NaN where a part is not rated: cannot tell.
    least : array [-]
        The same for the rated parts alone: the loss is no less. NaN where none is rated.
    share : array [-]
        Chance that this part is the one that gives way, over `least`; the rated parts sum to 1. NaN for parts
        that are not rated and where nothing gives way.
    weakest : array of int
        Part with the greatest share; −1 where none is rated.

    """

    loss: Floats
    least: Floats
    share: Floats
    weakest: NDArray[np.int64]


def series_loss(
    median: ArrayLike,
    spread: ArrayLike,
    pull: ArrayLike,
    pull_spread: ArrayLike,
    *,
    lunges: ArrayLike = 1.0,
    count: ArrayLike = 1.0,
) -> SeriesLoss:
    """Chance that a row of parts gives way under the hardest of N lunges.

    Parameters
    ----------
    median, spread : array_like
        Strength [N] and its log-normal scatter [-], shape (..., parts). NaN where nobody rates the part.
    pull, pull_spread : array_like
        Median of one lunge [N] and its scatter [-], shape (...).
    lunges : array_like
        Lunges of the fight [-], shape (...). All meet the same parts.
    count : array_like
        Like parts in a row, links of a chain [-], shape (..., parts).

    Returns
    -------
    SeriesLoss
        Exact by integral over the force, to about 2e-6.

    Raises
    ------
    BadInput
        When a scatter is below 0.02 or not a number: no part is known better than that.

    Notes
    -----
    All parts carry the same load, so their failures hang together; multiplying chances of the parts would count
    one hard lunge many times. With G_i = 1 − F_i the chance to hold of part i (to its count) and Q the chance
    that the hardest lunge exceeds a force, part i is the one that gives way with chance ∫ h_i Π G_j Q dx, h_i its
    rate of failure; the parts sum to the whole.

    References
    ----------
    Weakest of a series under a common load (derived).

    """
    middle, scatter, number = np.broadcast_arrays(
        *(np.asarray(part, dtype=float) for part in (median, spread, count))
    )
    load, load_scatter, fights = np.broadcast_arrays(
        *(np.asarray(part, dtype=float) for part in (pull, pull_spread, lunges))
    )
    if not (scatter >= LEAST_SPREAD).all():
        raise BadInput("scatter of a part", field="spread", found=np.min(scatter), allowed=f"{LEAST_SPREAD} or more")
    if not (load_scatter > 0.0).all():
        raise BadInput("scatter of the lunges", field="pull_spread", found=np.min(load_scatter), allowed="above 0")
    parts = middle.shape[-1]
    shape = np.broadcast_shapes(middle.shape[:-1], load.shape)
    wide = (*shape, parts)
    strength, sigma, many = (np.broadcast_to(part, wide).reshape(-1, parts) for part in (middle, scatter, number))
    pulled, pulled_scatter, times = (
        np.broadcast_to(part, shape).reshape(-1) for part in (load, load_scatter, fights)
    )
    rated = strength > 0.0
    log = np.log(np.where(rated, strength, np.nan))
    low, high = _span(log, sigma, many)
    nodes = _nodes(high - low, sigma, many, pulled_scatter, times)
    each = np.zeros(strength.shape)
    # Rigs of one fineness are worked together, so that no rig's answer depends on its neighbours.
    for fine in np.unique(nodes):
        alike, size = np.flatnonzero(nodes == fine), max(1, BLOCK // (parts * int(fine)))
        grid = np.linspace(0.0, 1.0, int(fine))
        for start in range(0, alike.size, size):
            part = alike[start : start + size]
            each[part] = _each(
                low[part, None] + (high - low)[part, None] * grid,
                log[part], sigma[part], many[part], pulled[part], pulled_scatter[part], times[part],
            )  # fmt: skip
    least = each.sum(axis=-1)
    some = rated.any(axis=-1)
    sound = rated & (least > 0.0)[:, None]
    share = np.where(sound, each / np.where(least > 0.0, least, 1.0)[:, None], np.nan)
    weakest = np.where(some, np.argmax(np.where(rated, each, -1.0), axis=-1), -1)
    return SeriesLoss(
        loss=np.where(rated.all(axis=-1), least, np.nan).reshape(shape),
        least=np.where(some, least, np.nan).reshape(shape),
        share=share.reshape(wide),
        weakest=weakest.reshape(shape).astype(np.int64),
    )


def _span(log: Floats, sigma: Floats, many: Floats) -> tuple[Floats, Floats]:
    """Logarithms of force between which the weakest part of each rig gives way; 0 to 1 where none is rated."""
    known = ~np.isnan(log)
    reach = REACH + np.sqrt(2.0 * np.log(np.maximum(many, 1.0)))
    low = np.min(np.where(known, log - reach * sigma, np.inf), axis=-1)
    high = np.min(np.where(known, log + REACH * sigma, np.inf), axis=-1)
    none = ~np.isfinite(low)
    return np.where(none, 0.0, low), np.where(none, 1.0, high)


def _nodes(width: Floats, sigma: Floats, many: Floats, load_scatter: Floats, fights: Floats) -> NDArray[np.int64]:
    """Points of the grid of each rig: the trapezoid is exact to 1e-6 when its step is below the narrowest scatter.

    The least of n like parts, and the hardest of n lunges, scatter less than one: about 1 over √(1 + 2 ln n).
    """
    parts = np.min(sigma / np.sqrt(1.0 + 2.0 * np.log(np.maximum(many, 1.0))), axis=-1)
    loads = load_scatter / np.sqrt(1.0 + 2.0 * np.log(np.maximum(fights, 1.0)))
    return np.asarray(LADDER * np.ceil((width / (STEP * np.minimum(parts, loads)) + 8.0) / LADDER), dtype=np.int64)


def _each(
    x: Floats, log: Floats, sigma: Floats, many: Floats, load: Floats, load_scatter: Floats, fights: Floats
) -> Floats:
    """Chance of every part to be the one that gives way, shape (rigs, parts); `x` has shape (rigs, points)."""
    known = ~np.isnan(log)
    z = (x[:, None, :] - np.where(known, log, 0.0)[:, :, None]) / sigma[:, :, None]
    holds = np.maximum(normal_cdf(-z), 1e-12)
    rate = np.exp(-0.5 * z**2) / holds * (many / (np.sqrt(2.0 * np.pi) * sigma) * known)[:, :, None]
    exponent = many * known
    powers = np.flatnonzero((exponent != 1.0).any(axis=0))
    holds[:, powers] = holds[:, powers] ** exponent[:, powers, None]
    every = holds.prod(axis=1)
    pulled = 1.0 - normal_cdf((x - np.log(load)[:, None]) / load_scatter[:, None]) ** fights[:, None]
    step = x[:, 1] - x[:, 0]
    return np.asarray(np.matmul(rate, (every * pulled)[:, :, None])[:, :, 0] * step[:, None])


@dataclass(frozen=True, slots=True)
class PartReport:
    """One part in words and figures.

    Parameters
    ----------
    name : str
        Of the part.
    share : float
        Chance that it is the one that gives way [-]; NaN when it is not rated or nothing gives way.
    rated : bool
        Whether a strength is known.
    reading : str
        What to measure when it is not rated; empty otherwise.

    """

    name: str
    share: float
    rated: bool
    reading: str


READINGS = {
    "chain": "gauge the wire of the most worn link",
    "cable": "gauge the cable over all and count the wires of a strand",
    "end": "bench-pull one end of each batch, behind a cover and with the eyes covered",
    "connector": "bench-pull three samples to failure, behind a cover and with the eyes covered",
}


def report(
    names: Sequence[str], kinds: Sequence[str], median: ArrayLike, found: SeriesLoss
) -> tuple[PartReport, ...]:
    """Parts of one rig, the likeliest to give way first, then those that nobody rates with the reading to take.

    Parameters
    ----------
    names, kinds : sequence of str
        Of the parts in the order of `found`; kinds are chain, cable, end or connector.
    median : array_like
        Strengths [N], shape (parts,), as they were handed to `series_loss`.
    found : SeriesLoss
        Of one rig, shapes () and (parts,).

    """
    share, strength = np.asarray(found.share), np.asarray(median, dtype=float)
    if not len(names) == len(kinds) == strength.size or share.shape != strength.shape:
        raise BadInput("names, kinds and shares are not of one rig", field="names", found=len(names))
    for kind in kinds:
        if kind not in READINGS:
            raise BadInput("no such kind of part", field="kinds", found=kind, allowed=", ".join(READINGS))
    rated, asked = [], []
    for name, kind, force, one in zip(names, kinds, strength, share, strict=True):
        if force > 0.0:
            rated.append(PartReport(name, float(one), True, ""))
        else:
            asked.append(PartReport(name, float("nan"), False, READINGS[kind]))
    return (*sorted(rated, key=lambda part: (-part.share, part.name)), *asked)
