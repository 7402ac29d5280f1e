"""Closed forms of ground freezing: Stefan, Stefan with a film, Neumann, modified Berggren."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

_erf = np.frompyfunc(math.erf, 1, 1)
_erfc = np.frompyfunc(math.erfc, 1, 1)


def _number(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=np.float64)


def stefan(conductivity: ArrayLike, latent: ArrayLike, freezing_index: ArrayLike) -> Floats:
    """Frost depth when all heat drawn from the ground freezes water: an upper bound.

    Parameters
    ----------
    conductivity : float or array [W/(m K)]
        Of the frozen ground.
    latent : float or array [J/m3]
        Heat of freezing of the ground's water.
    freezing_index : float or array [K s]
        Sum of (freezing point - surface temperature) over the time; degree-days x 86400.

    Returns
    -------
    float or array [m]
        sqrt(2 k I / L); 0 for an index at or below 0, NaN where nothing can freeze (no latent heat).

    References
    ----------
    Stefan 1891, as in US Army TM 5-852-6 (memory).

    """
    heat, index = _number(latent), np.maximum(_number(freezing_index), 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        depth = np.sqrt(2.0 * _number(conductivity) * index / heat)
    return np.asarray(np.where(heat > 0.0, depth, np.nan))


def stefan_film(
    conductivity: ArrayLike, latent: ArrayLike, freezing_index: ArrayLike, resistance: ArrayLike
) -> Floats:
    """Frost depth by Stefan with a film of air or snow above the ground.

    Parameters
    ----------
    conductivity, latent : float or array [W/(m K)], [J/m3]
        As in `stefan`.
    freezing_index : float or array [K s]
        Sum of (freezing point - sky-corrected air) over the time.
    resistance : float or array [m2 K/W]
        1/h of the surface plus that of snow.

    Returns
    -------
    float or array [m]
        -k R + sqrt((k R)^2 + 2 k I / L); `stefan` for no resistance.

    Notes
    -----
    Leaves out the warmth of the ground: for one night over soil of 3 to 8 degC it is 1.6 to 6 times too deep.

    References
    ----------
    Follows from a steady heat flow through film and frozen layer (derived).

    """
    film = _number(conductivity) * _number(resistance)
    bare = stefan(conductivity, latent, freezing_index)
    return np.asarray(bare**2 / (film + np.sqrt(film**2 + bare**2) + np.finfo(float).tiny))


def neumann_root(
    k_frozen: ArrayLike,
    k_unfrozen: ArrayLike,
    c_frozen: ArrayLike,
    c_unfrozen: ArrayLike,
    latent: ArrayLike,
    above: ArrayLike,
    below: ArrayLike,
) -> Floats:
    """Root of the Neumann solution for ground of one temperature whose surface is suddenly held below freezing.

    Parameters
    ----------
    k_frozen, k_unfrozen : float or array [W/(m K)]
        Conductivities.
    c_frozen, c_unfrozen : float or array [J/(m3 K)]
        Heat capacities.
    latent : float or array [J/m3]
        Heat of freezing.
    above : float or array [K]
        Start temperature of the ground above its freezing point, at least 0.
    below : float or array [K]
        Surface temperature below the freezing point, above 0.

    Returns
    -------
    float or array [-]
        L in X = 2 L sqrt(a_f t); found by halving, within 1e-12.

    Raises
    ------
    OutOfRange
        When the surface is not below freezing or the ground not at or above it.

    References
    ----------
    Carslaw and Jaeger 1959; Crank 1984 (form seen).

    """
    arrays = np.broadcast_arrays(
        *(_number(x) for x in (k_frozen, k_unfrozen, c_frozen, c_unfrozen, latent, above, below))
    )
    kf, ku, cf, cu, heat, warm, cold = arrays
    if bool(np.any(cold <= 0.0)) or bool(np.any(warm < 0.0)) or bool(np.any(heat < 0.0)):
        raise OutOfRange("the surface must be below freezing and the ground not below it", field="above, below")
    slowness = np.sqrt((kf / cf) / (ku / cu))
    pull = ku / kf * slowness * warm / cold
    low, high = np.full(kf.shape, 1e-9), np.full(kf.shape, 6.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        erf = _number(_erf(middle))
        # Beyond 25 the complement underflows; its quotient with the Gaussian is then nearly x sqrt(pi).
        argument = np.minimum(middle * slowness, 25.0)
        erfc = _number(_erfc(argument))
        gap = (
            np.exp(-(middle**2)) / erf
            - pull * np.exp(-(argument**2)) / erfc
            - middle * heat * math.sqrt(math.pi) / (cf * cold)
        )
        low, high = np.where(gap > 0.0, middle, low), np.where(gap > 0.0, high, middle)
    return np.asarray(0.5 * (low + high))


def neumann_depth(root: ArrayLike, k_frozen: ArrayLike, c_frozen: ArrayLike, time: ArrayLike) -> Floats:
    """Frost depth of the Neumann solution.

    Parameters
    ----------
    root : float or array [-]
        From `neumann_root`.
    k_frozen, c_frozen : float or array [W/(m K)], [J/(m3 K)]
        Of the frozen ground.
    time : float or array [s]
        Since the surface was cooled.

    Returns
    -------
    float or array [m]
        2 root sqrt(k t / C).

    References
    ----------
    Carslaw and Jaeger 1959 (form seen).

    """
    return np.asarray(2.0 * _number(root) * np.sqrt(_number(k_frozen) / _number(c_frozen) * _number(time)))


def berggren_lambda(alpha: ArrayLike, mu: ArrayLike) -> Floats:
    """Correction of the modified Berggren formula, the Neumann solution with equal phases.

    Parameters
    ----------
    alpha : float or array [-]
        Thermal ratio v0/vs: mean annual temperature above freezing over mean surface temperature below it.
    mu : float or array [-]
        Fusion parameter C vs / L.

    Returns
    -------
    float or array [-]
        Lambda, at most 1.

    Notes
    -----
    The short form 1/sqrt(1 + mu (alpha + 0.5)) lies above it for alpha > 0.3: it makes autumn ground freeze
    too deep, so it is not used here.

    References
    ----------
    Aldrich and Paynter 1953; US Army TM 5-852-6 / UFC 3-130-06 (formulas seen on secondary pages).

    """
    ratio, fusion = np.broadcast_arrays(_number(alpha), _number(mu))
    root = neumann_root(1.0, 1.0, 1.0, 1.0, 1.0 / fusion, ratio, 1.0)
    return np.asarray(root * np.sqrt(2.0 / fusion))


def berggren_depth(
    conductivity: ArrayLike, latent: ArrayLike, freezing_index: ArrayLike, alpha: ArrayLike, mu: ArrayLike
) -> Floats:
    """Frost depth of a whole season by the modified Berggren formula.

    Parameters
    ----------
    conductivity : float or array [W/(m K)]
        Mean of frozen and thawed.
    latent, freezing_index : float or array [J/m3], [K s]
        Heat of freezing; surface freezing index (air index x n-factor). n-factors are seasonal: never for a night.
    alpha, mu : float or array [-]
        As in `berggren_lambda`.

    Returns
    -------
    float or array [m]

    References
    ----------
    US Army TM 5-852-6 / UFC 3-130-06 (formulas seen on secondary pages).

    """
    return np.asarray(berggren_lambda(alpha, mu) * stefan(conductivity, latent, freezing_index))


def brine_ice_share(share: ArrayLike, liquidus_share: ArrayLike) -> Floats:
    """Part of a solution's water that is ice at a temperature below its freezing point.

    Parameters
    ----------
    share : float or array [-]
        Mass of solute over mass of solution, unfrozen.
    liquidus_share : float or array [-]
        Share that just freezes at the temperature in question (from a table of freezing points).

    Returns
    -------
    float or array [-]
        1 - [x/(1 - x)] / [xl/(1 - xl)], 0 above the freezing point. Valid down to the eutectic.

    References
    ----------
    Mass balance: the ice is plain water, the rest lies on the liquidus (derived).

    """
    plain, rest = _number(share), _number(liquidus_share)
    with np.errstate(divide="ignore", invalid="ignore"):
        ice = 1.0 - plain / (1.0 - plain) * (1.0 - rest) / rest
    return np.asarray(np.where(rest > plain, ice, 0.0))
