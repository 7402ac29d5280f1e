"""What a frozen cover does to a trap: bonded crust, its strength, and what it asks of foot, jaws and springs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.ground.breakout import (
    breakout_torque,
    cover_pull,
    jaw_stuck,
    leaf_bonded,
    leaf_peel,
    lever_bonded,
    pan_plate_break,
)
from setwright.ground.frost import FrostRun

__all__ = [
    "CODE_WORDS", "DOUBTFUL", "OUT_OF_ORDER", "WORKS", "BondedCrust", "bonded_crust", "breakout_torque", "cover_pull",
    "crust_code", "jaw_stuck", "leaf_bonded", "leaf_peel", "lever_bonded", "pan_plate_break", "strength_frozen",
    "tensile_strength",
]  # fmt: skip

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

WORKS, DOUBTFUL, OUT_OF_ORDER = 0, 1, 2
CODE_WORDS = ("works", "doubtful", "out of order")
# Limits of the rule of thumb when no strength is known (common practice, assumed): ice by volume [-], thickness [m].
WEAK_ICE, STRONG_ICE = 0.04, 0.08
THIN_CRUST, THICK_CRUST = 0.002, 0.005


@dataclass(frozen=True, eq=False)
class BondedCrust:
    """Frozen and bonded cover at each hour, arrays (m, h).

    Parameters
    ----------
    thickness : array (m, h) [m]
        Of cover and soil down to the depth asked for that is frozen with at least 4 % ice by volume.
    strong : array (m, h) [m]
        The part of it with at least 8 % ice.
    ice : array (m, h) [-]
        Mean ice by volume of the frozen part; 0 where nothing is bonded.
    code : int array (m, h)
        0 works, 1 doubtful, 2 out of order (`CODE_WORDS`); -1 where the frost run is not valid.

    """

    thickness: Floats
    strong: Floats
    ice: Floats
    code: Codes


def bonded_crust(
    run: FrostRun,
    water_volume: ArrayLike,
    to_depth: float,
    *,
    ice_share: ArrayLike = 1.0,
    refrozen: ArrayLike = False,
    dissolved: ArrayLike = False,
) -> BondedCrust:
    """Thickness of crust that is glued by ice; cold but dry cover is loose and does not count.

    Parameters
    ----------
    run : FrostRun
        Temperatures and ice of the hours.
    water_volume : float, array (n,) or (m, n) [-]
        Water by volume of each cell; by layer it is `values[run.layer]`. Add rain and melt to it.
    to_depth : float [m]
        Depth of the pan, or of the jaws and levers: ice anywhere above it counts.
    ice_share : float, array (n,) or (m, n) [-]
        Part of the frozen cells' water that is ice; below 1 with salt or glycol.
    refrozen : bool or bool array (m, h)
        True where melt or rain stood in the hollow under the pan and froze: out of order whatever the cover.
    dissolved : bool, bool array (n,) or (m, n)
        True where the water of a cell freezes along its liquidus: throughout the cell, to a share.

    Returns
    -------
    BondedCrust

    Raises
    ------
    OutOfRange
        When a water content is not between 0 and 1.

    Notes
    -----
    A cell in the act of freezing holds a freezing front: its ice counts as a frozen part of the cell's height at
    full ice content. Out of order with 5 mm or more of at least 8 % ice; doubtful with 2 mm or more of at
    least 4 %; works otherwise. Doubts: these limits are common practice, no trial of trap covers is known.

    References
    ----------
    Limits: common practice and assumed. That strength goes with ice by volume: Sayles and Carbee 1981 (seen).

    """
    water = np.asarray(water_volume, dtype=np.float64)
    if not bool(np.all((water >= 0.0) & (water <= 1.0))):
        raise OutOfRange("water by volume is a share", field="water_volume", allowed="0 to 1")
    content = np.broadcast_to(water * np.asarray(ice_share, dtype=np.float64), run.ice_fraction[:, 0, :].shape)
    bottom = np.cumsum(run.size)
    inside = np.clip(to_depth - (bottom - run.size), 0.0, run.size)
    slush = np.broadcast_to(np.asarray(dissolved, dtype=np.bool_), content.shape)[:, None, :]
    frozen = np.where(slush, np.ceil(run.ice_fraction), run.ice_fraction) * inside
    held_ice = np.where(slush, run.ice_fraction, 1.0) * content[:, None, :]
    weak, strong = (held_ice >= limit for limit in (WEAK_ICE, STRONG_ICE))
    thickness = np.sum(frozen * weak, axis=-1)
    thick = np.sum(frozen * strong, axis=-1)
    held = np.sum(frozen * weak * held_ice, axis=-1)
    ice = np.where(thickness > 0.0, held / np.where(thickness > 0.0, thickness, 1.0), 0.0)
    code = np.asarray(crust_code(thick, thickness, refrozen))
    return BondedCrust(thickness, thick, np.where(np.isnan(thickness), np.nan, ice), code)


def crust_code(strong: ArrayLike, thickness: ArrayLike, refrozen: ArrayLike = False) -> Codes:
    """Rule of thumb on a crust: 0 works, 1 doubtful, 2 out of order, -1 not known.

    Parameters
    ----------
    strong : float or array [m]
        Thickness with at least 8 % ice by volume.
    thickness : float or array [m]
        Thickness with at least 4 % ice by volume.
    refrozen : bool or array
        Water froze in the hollow under the pan.

    References
    ----------
    Common practice and assumed; see `bonded_crust`.

    """
    thick, weak = np.asarray(strong, dtype=np.float64), np.asarray(thickness, dtype=np.float64)
    # A hair of slack, so that 5 mm made up of cells of 2.5 mm is 5 mm.
    slack = 1e-9
    code = np.where(
        (thick >= THICK_CRUST - slack) | np.asarray(refrozen, dtype=np.bool_),
        OUT_OF_ORDER,
        np.where(weak >= THIN_CRUST - slack, DOUBTFUL, WORKS),
    )
    return np.asarray(np.where(np.isnan(thick + weak), -1, code), dtype=np.int64)


def tensile_strength(temperature: ArrayLike, ice: ArrayLike, freezing_point: ArrayLike = 0.0) -> Floats:
    """Assumed tensile strength of a frozen cover by its ice content.

    Parameters
    ----------
    temperature : float or array [degC]
        Of the crust.
    ice : float or array [-]
        Ice by volume.
    freezing_point : float or array [degC]
        Of the cover's water.

    Returns
    -------
    float or array [Pa]
        s0 ice / 0.4 with s0 from 0.3 MPa at 1 K below freezing to 1 MPa at 10 K, log-log between, rising from
        zero at the freezing point and level below 10 K.

    Notes
    -----
    The weakest figure of the frost model: no trial on trap covers is known. Calibrate by a push test (force to
    break a crust of known thickness over a cup).

    References
    ----------
    Proportional to ice: Sayles and Carbee 1981 (seen); little rise with cold: Haynes and Karalius 1977 (seen);
    level assumed.

    """
    below = np.asarray(freezing_point, dtype=np.float64) - np.asarray(temperature, dtype=np.float64)
    cold = np.clip(below, 0.0, 10.0)
    power = np.log10(1.0 / 0.3)
    level = np.where(cold < 1.0, 0.3e6 * cold, 0.3e6 * np.maximum(cold, 1.0) ** power)
    return np.asarray(np.where(np.isnan(below), np.nan, level) * np.asarray(ice, dtype=np.float64) / 0.4)


def strength_frozen(
    temperature: ArrayLike, saturation: ArrayLike, reference: ArrayLike, freezing_point: ArrayLike = 0.0
) -> Floats:
    """Strength of frozen cover (shear, tension or bond to steel) from its value when saturated at -2 degC.

    Parameters
    ----------
    temperature : float or array [degC]
        Of the crust.
    saturation : float or array [-]
        Part of the pores that ice fills.
    reference : float or array [Pa]
        Strength when saturated, 2 K below freezing: bond to steel 150 to 400 kPa, for instance.
    freezing_point : float or array [degC]
        Of the cover's water.

    Returns
    -------
    float or array [Pa]
        reference x (|T| / 2)^0.7 x saturation^2; zero at and above the freezing point.

    Notes
    -----
    Short-term: under a lasting load frozen ground creeps at 5 to 10 % of it. Exponents assumed.

    References
    ----------
    Bond of silt to steel 150 to 350 kPa: Domaschuk 1982 (seen); rise with moisture: Kaplar 1971 (seen); creep:
    UFC 3-130-04 (seen).

    """
    below = np.asarray(freezing_point, dtype=np.float64) - np.asarray(temperature, dtype=np.float64)
    cold = np.maximum(below, 0.0) / 2.0
    pores = np.asarray(saturation, dtype=np.float64)
    return np.asarray(np.asarray(reference, dtype=np.float64) * cold**0.7 * pores**2)
