"""Which foot, if a foot: depth of water over the pan, pan against foot, pan against the jaws' level."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.step import foot_radius

Floats = NDArray[np.float64]
Words = NDArray[np.str_]

# Where the chest of a swimming beaver fires a pan on its line of travel: about 6 in (trade); the rest is assumed.
CHEST_DEPTH, CHEST_SPREAD, CHEST_PEAK, CHEST_HALF_WIDTH = 0.15, 0.03, 0.8, 0.06
LEVEL_SLACK = 0.003


class Part(StrEnum):
    """What comes down on a pan under water."""

    UNKNOWN = "cannot tell"
    BARE = "pan lies bare"
    FORE = "front foot"
    CHEST = "chest"
    BETWEEN = "no foot for sure"
    HIND = "hind foot"
    OVER = "swims over it"


class PanSize(StrEnum):
    """A pan against the pad that presses it."""

    UNKNOWN = "cannot tell"
    SMALL = "pan smaller than the pad"
    FITS = "pan takes the pad"


class Level(StrEnum):
    """A set pan against the plane of the jaws."""

    UNKNOWN = "cannot tell"
    LEVEL = "level"
    HIGH = "stands above the jaws"
    LOW = "hangs below the jaws"


# What a pan out of level does: common practice, nothing was measured.
LEVEL_WORDS: Mapping[Level, str] = MappingProxyType(
    {
        Level.UNKNOWN: "look along the jaws when it is set",
        Level.LEVEL: "fires when the foot is down and inside the jaws",
        Level.HIGH: "felt before the foot is down; fires early, toes are taken; a crust lifts off it",
        Level.LOW: "the cover over it sinks and shows; the foot meets the jaws first; soil packs under it",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthBands:
    """Depths of water over the pan at which a foot comes down on it; NaN where nobody knows.

    Parameters
    ----------
    fore_low, fore_high : float [m]
        Front foot.
    chest_low, chest_high : float [m]
        Chest of an animal that swims in over the pan.
    hind_low, hind_high : float [m]
        Hind foot.

    """

    fore_low: float = np.nan
    fore_high: float = np.nan
    chest_low: float = np.nan
    chest_high: float = np.nan
    hind_low: float = np.nan
    hind_high: float = np.nan


@dataclass(frozen=True, slots=True, eq=False)
class PanFoot:
    """Pan against foot.

    Parameters
    ----------
    ratio : array [-]
        Pan radius over pad radius.
    edge_only : array [-]
        Share of feet that touch the pan of which the pad is not on it: they touch and hardly load it.
    state : array of str
        Words of `PanSize`.

    """

    ratio: Floats
    edge_only: Floats
    state: Words


def part_at_depth(
    depth: ArrayLike, bands: DepthBands, off_centre: ArrayLike = 0.0, clear_of: float = CHEST_HALF_WIDTH
) -> Words:
    """What comes down on a pan under so much water.

    Parameters
    ----------
    depth : float or array [m]
        Water over the pan.
    bands : DepthBands
        Of the animal.
    off_centre : float or array [m]
        Distance of the pan from the line on which the animal comes in.
    clear_of : float [m]
        Distance from that line at which the chest passes the pan by (assumed).

    Returns
    -------
    array of str
        Words of `Part`. A front or hind foot inside its band; the chest in its own band unless the pan is far enough
        off the centre; *no foot for sure* between bands; *swims over it* below the deepest; *cannot tell* for an
        unknown depth or bands that nobody knows.

    Notes
    -----
    Where the bands of chest and foot overlap, the foot's counts. Doubt: bands are trade practice, no trial of depth
    against part was found.

    References
    ----------
    Common practice of beaver trappers: front foot 25 to 75 mm, chest at about 150 mm, hind foot 200 to 350 mm.

    """
    water, aside = np.broadcast_arrays(np.asarray(depth, dtype=float), np.abs(np.asarray(off_centre, dtype=float)))
    deepest = np.nanmax([bands.fore_high, bands.chest_high, bands.hind_high, -np.inf])

    def inside(low: float, high: float) -> NDArray[np.bool_]:
        return np.asarray((water >= low) & (water <= high))

    with np.errstate(invalid="ignore"):
        return np.asarray(
            np.select(
                [
                    np.isnan(water) | np.isinf(deepest),
                    water <= 0,
                    inside(bands.fore_low, bands.fore_high),
                    inside(bands.hind_low, bands.hind_high),
                    inside(bands.chest_low, bands.chest_high) & (aside < clear_of),
                    water > deepest,
                ],
                [Part.UNKNOWN, Part.BARE, Part.FORE, Part.HIND, Part.CHEST, Part.OVER],
                default=Part.BETWEEN,
            ),
            dtype=np.str_,
        )


def chest_chance(
    depth: ArrayLike,
    off_centre: ArrayLike = 0.0,
    *,
    chest_depth: ArrayLike = CHEST_DEPTH,
    depth_spread: ArrayLike = CHEST_SPREAD,
    peak: ArrayLike = CHEST_PEAK,
    half_width: ArrayLike = CHEST_HALF_WIDTH,
) -> Floats:
    """Chance that the chest of an animal that swims in fires the pan before a foot does.

    Parameters
    ----------
    depth : float or array [m]
        Water over the pan.
    off_centre : float or array [m]
        Distance of the pan from the line on which it comes in.
    chest_depth : float or array [m]
        Depth at which the chest grounds.
    depth_spread : float or array [m]
        Spread of that depth over animals and bottoms (assumed).
    peak : float or array [-]
        Chance on the centre at that depth (assumed).
    half_width : float or array [m]
        Spread of the chest to either side (assumed).

    Returns
    -------
    array [-]
        peak · exp(−½ ((d − d_c)/σ)²) · exp(−½ (x/w)²); 0 on bare ground; NaN where the depth is unknown.

    Notes
    -----
    Only the depth of the peak and its being on the centre are trade knowledge; the shape ranks places and promises no
    rate. A chest that fires a trap is a miss or a bad hold.

    References
    ----------
    Practitioner pages: the chest fires a pan that lies about 6 in deep on the centre. Shape assumed.

    """
    water = np.asarray(depth, dtype=float)
    down = (water - np.asarray(chest_depth, dtype=float)) / np.asarray(depth_spread, dtype=float)
    aside = np.asarray(off_centre, dtype=float) / np.asarray(half_width, dtype=float)
    chance = np.asarray(peak, dtype=float) * np.exp(-0.5 * (down**2 + aside**2))
    return np.asarray(np.where(water <= 0, 0.0, chance))


def pan_against_foot(
    pan_radius: ArrayLike, foot_width: ArrayLike, foot_length: ArrayLike, pad_share: float = 0.4
) -> PanFoot:
    """Size of the pan against the foot that is to press it.

    Parameters
    ----------
    pan_radius : float or array [m]
        Pan as a disc.
    foot_width, foot_length : float or array [m]
        Foot.
    pad_share : float [-]
        Radius of the pad that bears the load over the foot's (assumed 0.4).

    Returns
    -------
    PanFoot
        With r the foot's radius and q the pad share: R / (q r), and 1 − ((R + q r) / (R + r))² of all feet that touch
        the pan, spread evenly, touch it without their pad.

    Notes
    -----
    A larger pan is stepped on more often and fired from nearer its edge, where the jaws take less of the foot: both
    follow from the same two discs (`setwright.animal.step`, `setwright.animal.jawfit.pad_catch`).

    References
    ----------
    Own derivation (derived); pad share assumed.

    """
    pan, foot = np.asarray(pan_radius, dtype=float), foot_radius(foot_width, foot_length)
    pan, foot = np.broadcast_arrays(np.where(pan > 0, pan, np.nan), np.where(foot > 0, foot, np.nan))
    pad = pad_share * foot
    ratio = np.asarray(pan / pad)
    edge = np.asarray(1 - ((pan + pad) / (pan + foot)) ** 2)
    state = np.select([np.isnan(ratio), ratio < 1], [PanSize.UNKNOWN, PanSize.SMALL], default=PanSize.FITS)
    return PanFoot(ratio, edge, np.asarray(state, dtype=np.str_))


def pan_level(rise: ArrayLike, slack: float = LEVEL_SLACK) -> Words:
    """Whether a set pan lies level with the jaws.

    Parameters
    ----------
    rise : float or array [m]
        Middle of the pan above the plane of the set jaws; below zero it hangs.
    slack : float [m]
        What still counts as level (assumed 3 mm).

    Returns
    -------
    array of str
        Words of `Level`; `LEVEL_WORDS` has what the trade says of each.

    Notes
    -----
    What a pan out of level does to a catch is common practice; no trial was found, so no chance is computed from it.

    References
    ----------
    Common practice.

    """
    height = np.asarray(rise, dtype=float)
    with np.errstate(invalid="ignore"):
        found = np.select(
            [np.isnan(height), height > slack, height < -slack], [Level.UNKNOWN, Level.HIGH, Level.LOW], Level.LEVEL
        )
    return np.asarray(found, dtype=np.str_)
