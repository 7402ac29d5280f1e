"""Do the jaws take the foot across the pad, and is the foot still there?"""

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

_OFFSETS = 24
# Jaw spread over the size of the foot, √(width · length), where no band is known: from the trade's bands (assumed).
RATIO_LOW, RATIO_HIGH = 1.5, 4.0


class Fit(StrEnum):
    """A jaw spread against a foot."""

    UNKNOWN = "cannot tell"
    SMALL = "too small"
    FITS = "fits"
    WIDE = "too wide"


# What follows: common practice, no rates were found.
FIT_WORDS: Mapping[Fit, str] = MappingProxyType(
    {
        Fit.UNKNOWN: "measure the jaws between their inner faces when set, and the foot",
        Fit.SMALL: "toes are taken or the foot is thrown; toe holds pull out",
        Fit.FITS: "meets the foot across the pad",
        Fit.WIDE: "takes the limb higher up; a raccoon, mink or muskrat can reach its foot and chew or wring it",
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class JawFit:
    """Jaw spread against the band in use for an animal.

    Parameters
    ----------
    margin : array [m]
        Distance to the nearer end of the band; below zero outside it, NaN when no band is known.
    small, large : array of bool
        True where the spread is below or above the band.

    """

    margin: Floats
    small: NDArray[np.bool_]
    large: NDArray[np.bool_]


def jaw_fit(spread: ArrayLike, jaw_low: ArrayLike, jaw_high: ArrayLike) -> JawFit:
    """How a jaw spread lies in the band of spreads in use for an animal.

    Parameters
    ----------
    spread : float or array [m]
        Jaw spread, measured as the band is.
    jaw_low, jaw_high : float or array [m]
        Band; NaN when unknown.

    Returns
    -------
    JawFit
        Margin [m] and on which side it fails.

    Notes
    -----
    Doubt: bands are trade practice, and a trap number fixes no spread.

    """
    wide = np.asarray(spread, dtype=float)
    low, high = np.asarray(jaw_low, dtype=float), np.asarray(jaw_high, dtype=float)
    return JawFit(np.asarray(np.minimum(wide - low, high - wide)), np.asarray(wide < low), np.asarray(wide > high))


def fit_state(
    spread: ArrayLike,
    jaw_low: ArrayLike,
    jaw_high: ArrayLike,
    foot_width: ArrayLike = np.nan,
    foot_length: ArrayLike = np.nan,
) -> Words:
    """Whether a jaw spread suits a foot, in words.

    Parameters
    ----------
    spread : float or array [m]
        Jaw spread, measured as the band is.
    jaw_low, jaw_high : float or array [m]
        Band of spreads in use for the animal; NaN when unknown.
    foot_width, foot_length : float or array [m]
        Foot, used where no band is known; NaN when unknown.

    Returns
    -------
    array of str
        Words of `Fit`; `FIT_WORDS` has what follows. Without a band the spread fits from 1.5 to 4 times
        √(width · length) of the foot (assumed); without a foot either, *cannot tell*.

    Notes
    -----
    Doubt: bands are trade practice; the rule by the foot is what those bands have in common, from wolf (1.5) to mink
    and muskrat (4), and is coarse. Nothing of it says how badly an animal is hurt.

    References
    ----------
    Common practice; ratio assumed.

    """
    wide = np.asarray(spread, dtype=float)
    foot = 2 * foot_radius(foot_width, foot_length)
    low = np.where(np.isnan(jaw_low), RATIO_LOW * foot, jaw_low)
    high = np.where(np.isnan(jaw_high), RATIO_HIGH * foot, jaw_high)
    with np.errstate(invalid="ignore"):
        unknown = np.isnan(wide) | np.isnan(low) | np.isnan(high) | ~(wide > 0)
        found = np.select([unknown, wide < low, wide > high], [Fit.UNKNOWN, Fit.SMALL, Fit.WIDE], default=Fit.FITS)
    return np.asarray(found, dtype=np.str_)


def pad_catch(
    spread: ArrayLike,
    pan_radius: ArrayLike,
    foot_width: ArrayLike,
    foot_length: ArrayLike,
    offset_sd: ArrayLike = 0.0,
    pad_share: ArrayLike = 0.4,
) -> Floats:
    """Chance that the jaws meet a foot that has fired the pan across its pad.

    A foot whose pad stands on a jaw is thrown or taken by the toes; one whose pad is inside the open jaws is met
    across the pad, if the jaws are up in time.

    Parameters
    ----------
    spread : float or array [m]
        Inside spread of the set jaws.
    pan_radius : float or array [m]
        Pan as a disc in the middle of the jaws.
    foot_width, foot_length : float or array [m]
        Foot, taken as a disc of the same area, radius r_f.
    offset_sd : float or array [m]
        How far the middle of the footfalls lies off the pan, standard deviation in each direction: a bed that is
        off the line of travel, a guide that leads beside it. Zero when feet scatter evenly about the pan.
    pad_share : float or array [-]
        Radius of the pad that bears the load over r_f (assumed 0.4).

    Returns
    -------
    array [-]
        A fired pan was pressed by the pad, so the foot's middle is spread evenly over the disc of radius
        b = R + q r_f, q the pad share. The result is the share of that disc within a = D/2 − q r_f of the middle of
        the jaws, averaged over the offset; with no offset min(1, (a/b)²). 0 when the pad is wider than the
        jaws; NaN when an input is NaN.

    Notes
    -----
    Assumed geometry: open jaws as a circle of the inside spread. Square jaws take a little more. A foot that only
    touches the pan with its edge hardly loads it, which is why the pad and not the whole foot sets the landing disc.
    Prints are not feet: 30 % between pages. The overlap of the two discs is exact; the offset is averaged over 24
    equal strata of its length. A cover that bridges, or a foot that comes down sloping, is not in it.

    References
    ----------
    Own derivation (derived); pad share assumed. Turkowski, Armistead & Linhart (1984), abstract seen: of coyotes that
    stepped on standard pans 98 % were captured, so the figure for a well matched trap must be near one.

    """
    pad = np.asarray(pad_share, dtype=float) * foot_radius(foot_width, foot_length)
    reach = np.asarray(np.asarray(pan_radius, dtype=float) + pad)
    inner = np.asarray(0.5 * np.asarray(spread, dtype=float) - pad)
    strata = (np.arange(_OFFSETS) + 0.5) / _OFFSETS
    away = np.asarray(offset_sd, dtype=float)[..., None] * np.sqrt(-2 * np.log1p(-strata))
    return np.asarray(_overlap(away, reach[..., None], inner[..., None]).mean(axis=-1))


def _overlap(distance: Floats, reach: Floats, inner: Floats) -> Floats:
    """Share of a disc of radius `reach` that a disc of radius `inner` at `distance` covers."""
    d, big, small = np.broadcast_arrays(distance, reach, np.where(inner > 0, inner, 0.0))
    unknown = np.isnan(d) | np.isnan(big) | np.isnan(np.broadcast_to(inner, d.shape))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        first = np.arccos(np.clip((d**2 + small**2 - big**2) / (2 * d * small), -1, 1))
        second = np.arccos(np.clip((d**2 + big**2 - small**2) / (2 * d * big), -1, 1))
        kite = (small + big - d) * (d + small - big) * (d - small + big) * (d + small + big)
        lens = small**2 * first + big**2 * second - 0.5 * np.sqrt(np.maximum(kite, 0.0))
        share = lens / (np.pi * big**2)
        whole = np.minimum(1.0, (small / big) ** 2)
    share = np.where(d <= np.abs(big - small), whole, np.where(d >= big + small, 0.0, share))
    return np.asarray(np.where(unknown, np.nan, np.where(small > 0, share, 0.0)))


def time_available(reaction: ArrayLike, lift_acceleration: ArrayLike, height: ArrayLike) -> Floats:
    """Time from the pan's drop until the foot has risen by a height.

    Parameters
    ----------
    reaction : float or array [s]
        Until the foot begins to lift (assumed 0.030 to 0.080, median 0.045).
    lift_acceleration : float or array [m/s²]
        Mean over the lift (assumed 15 to 40).
    height : float or array [m]
        Height above the pan at which the jaws meet: once the sole is above it, they meet under the foot.

    Returns
    -------
    array [s]
        t = t_r + √(2 h / a); NaN for a height below zero or an acceleration that is not above zero.

    Notes
    -----
    Doubt: no measurement of a foot on a fired pan was found; both inputs are modelling choices, so the result ranks
    traps. Slow-motion film would settle it.

    References
    ----------
    Constant acceleration from rest (derived); inputs assumed.

    """
    rise, lift = np.asarray(height, dtype=float), np.asarray(lift_acceleration, dtype=float)
    ratio = np.where(rise >= 0, rise, np.nan) / np.where(lift > 0, lift, np.nan)
    return np.asarray(np.asarray(reaction, dtype=float) + np.sqrt(2 * ratio))
