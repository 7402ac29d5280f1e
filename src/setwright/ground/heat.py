"""Conductivity, heat capacity and heat of freezing of soil, cover and snow from density and water."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRAIN_DENSITY = 2700.0
HEAT_OF_FUSION = 333_600.0
_WATER, _ICE, _GRAINS, _QUARTZ = 0.57, 2.2, 2.0, 7.7
_CAPACITY_GRAINS, _CAPACITY_ICE, _CAPACITY_WATER = 840.0, 2100.0, 4186.0
_POUND_FOOT = 16.018463
_BTU_INCH = 0.1442279


def _number(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=np.float64)


def latent_heat(dry_density: ArrayLike, water_content: ArrayLike) -> Floats:
    """Heat of freezing of the ground's water [J/m3]; `dry_density` [kg/m3], `water_content` [-] of the dry mass.

    References
    ----------
    333,600 J/kg, handbook value (memory).

    """
    return np.asarray(HEAT_OF_FUSION * _number(dry_density) * _number(water_content))


def heat_capacity(dry_density: ArrayLike, water_content: ArrayLike, frozen: ArrayLike) -> Floats:
    """Heat capacity by volume of mineral ground.

    Parameters
    ----------
    dry_density : float or array [kg/m3]
        Dry mass by volume.
    water_content : float or array [-]
        Water or ice over dry mass.
    frozen : bool or array
        True for ice instead of water.

    Returns
    -------
    float or array [J/(m3 K)]
        Sum of 840 J/(kg K) of grains, 2100 of ice or 4186 of water.

    References
    ----------
    Handbook values (memory); Farouki 1981, CRREL Monograph 81-1 p. 3 has 0.18 + w times water (seen as quoted).

    """
    liquid = np.where(np.asarray(frozen, dtype=np.bool_), _CAPACITY_ICE, _CAPACITY_WATER)
    return np.asarray(_number(dry_density) * (_CAPACITY_GRAINS + liquid * _number(water_content)))


def johansen(
    dry_density: ArrayLike, water_content: ArrayLike, quartz: ArrayLike, frozen: ArrayLike, coarse: ArrayLike = False
) -> Floats:
    """Conductivity of mineral ground by Johansen.

    Parameters
    ----------
    dry_density : float or array [kg/m3]
        Below the density of grains, 2700.
    water_content : float or array [-]
        Water or ice over dry mass.
    quartz : float or array [-]
        Share of quartz in the grains.
    frozen : bool or array
        True for ice in the pores.
    coarse : bool or array
        True for sand and gravel.

    Returns
    -------
    float or array [W/(m K)]
        k_dry + (k_sat - k_dry) K_e.

    Notes
    -----
    K_e = log10 S + 1 (fine), 0.7 log10 S + 1 (coarse), S when frozen; S pores filled, at most 1; thawed ground
    drier than S = 0.1 (fine) or 0.05 (coarse) keeps the K_e of that limit at most. Scatter 25 % either way.

    References
    ----------
    Johansen 1975, as used in the Noah and CLM land-surface models (relation seen in their public source).

    """
    density, water, share = _number(dry_density), _number(water_content), _number(quartz)
    pores = 1.0 - density / GRAIN_DENSITY
    filled = np.clip(density * water / 1000.0 / pores, 0.0, 1.0)
    ice, sand = np.asarray(frozen, dtype=np.bool_), np.asarray(coarse, dtype=np.bool_)
    dry = (0.135 * density + 64.7) / (GRAIN_DENSITY - 0.947 * density)
    solid = _QUARTZ**share * np.where(share > 0.2, _GRAINS, 3.0) ** (1.0 - share)
    full = solid ** (1.0 - pores) * np.where(ice, _ICE, _WATER) ** pores
    wet = np.log10(np.maximum(filled, np.where(sand, 0.05, 0.1)))
    kersten_number = np.where(ice, filled, np.where(sand, 0.7 * wet + 1.0, wet + 1.0))
    return np.asarray(dry + (full - dry) * np.maximum(kersten_number, 0.0))


def kersten(dry_density: ArrayLike, water_content: ArrayLike, frozen: ArrayLike, coarse: ArrayLike = False) -> Floats:
    """Conductivity of mineral ground by Kersten's equations, the second opinion beside `johansen`.

    Parameters
    ----------
    dry_density, water_content, frozen, coarse
        As in `johansen`.

    Returns
    -------
    float or array [W/(m K)]
        NaN for thawed ground drier than the equations allow (7 % for silt and clay, 1 % for sand).

    Notes
    -----
    In BTU in/(ft2 h degF), g in pcf and w in percent. Silt and clay: thawed (0.9 log w - 0.2) 10^(0.01 g),
    frozen 0.01 x 10^(0.022 g) + 0.085 x 10^(0.008 g) w. Sand: thawed (0.7 log w + 0.4) 10^(0.01 g), frozen
    0.076 x 10^(0.013 g) + 0.032 x 10^(0.0146 g) w.

    References
    ----------
    Kersten 1949, University of Minnesota; thawed forms as in Farouki 1981 p. 103 (seen as quoted), frozen (memory).

    """
    weight, percent = _number(dry_density) / _POUND_FOOT, 100.0 * _number(water_content)
    ice, sand = np.asarray(frozen, dtype=np.bool_), np.asarray(coarse, dtype=np.bool_)
    valid = ice | (percent >= np.where(sand, 1.0, 7.0))
    log = np.log10(np.where(valid & (percent > 0.0), percent, 1.0))
    thawed = np.where(sand, 0.7 * log + 0.4, 0.9 * log - 0.2) * 10.0 ** (0.01 * weight)
    silt = 0.01 * 10.0 ** (0.022 * weight) + 0.085 * 10.0 ** (0.008 * weight) * percent
    gravel = 0.076 * 10.0 ** (0.013 * weight) + 0.032 * 10.0 ** (0.0146 * weight) * percent
    value = _BTU_INCH * np.where(ice, np.where(sand, gravel, silt), thawed)
    return np.asarray(np.where(valid, value, np.nan))


def snow_conductivity(density: ArrayLike) -> Floats:
    """Conductivity of snow.

    Parameters
    ----------
    density : float or array [kg/m3]
        100 fresh, 250 settled, 400 wind-packed.

    Returns
    -------
    float or array [W/(m K)]
        With r in g/cm3: 0.023 + 0.234 r below 0.156, else 0.138 - 1.01 r + 3.233 r^2; NaN above 600 kg/m3.

    References
    ----------
    Sturm et al. 1997, Journal of Glaciology 43, 26-41 (regression seen in public snow models).

    """
    r = _number(density) / 1000.0
    value = np.where(r < 0.156, 0.023 + 0.234 * r, 0.138 - 1.01 * r + 3.233 * r**2)
    return np.asarray(np.where((r > 0.0) & (r <= 0.6), value, np.nan))


def snow_resistance(depth: ArrayLike, density: ArrayLike) -> Floats:
    """Resistance of a snow cover [m2 K/W]: `depth` [m] over `snow_conductivity` of `density` [kg/m3]."""
    return np.asarray(_number(depth) / snow_conductivity(density))
