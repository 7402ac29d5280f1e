"""How much of the body weight is on the feet of a wading animal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

# Height of the elbow over the ground is a factor times the cube root of the mass [m / kg^(1/3)]: assumed, ± 30 %.
LEG_FACTOR: Mapping[str, float] = MappingProxyType(
    {
        "canid": 0.115,
        "felid": 0.105,
        "procyonid": 0.070,
        "mephitid": 0.050,
        "didelphid": 0.055,
        "rodent": 0.045,
        "mustelid": 0.050,
        "lagomorph": 0.060,
        "bird": 0.110,
        "ungulate": 0.130,
    }
)

# Depth over elbow height at which the chest is under, and the share of weight left there and at the elbow.
CHEST = 1.5
AT_ELBOW = 0.85
AT_CHEST = 0.5


class Footing(StrEnum):
    """How an animal stands in water."""

    UNKNOWN = "cannot tell"
    DRY = "on dry ground"
    WADES = "wades"
    AFLOAT = "afloat"


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """Weight on the feet, with the state behind it.

    Parameters
    ----------
    carried : array [-]
        Share of the body weight on the feet; NaN afloat and where it cannot be told.
    state : array of str
        Words of `Footing`.

    """

    carried: Floats
    state: NDArray[np.str_]


def leg_length(mass: ArrayLike, class_: str) -> Floats:
    """Height of a standing animal's elbow over the ground.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    class_ : str
        Build, a key of `LEG_FACTOR`.

    Returns
    -------
    array [m]
        Factor of the build times m^(1/3).

    Raises
    ------
    OutOfRange
        When the build is not known.

    Notes
    -----
    Assumed throughout, ± 30 %: bodies of one build taken as similar. Measure one where the depth matters.

    """
    if class_ not in LEG_FACTOR:
        raise OutOfRange("no such build", field="class_", found=class_, allowed=", ".join(LEG_FACTOR))
    return np.asarray(LEG_FACTOR[class_] * np.cbrt(np.asarray(mass, dtype=float)))


def carried_share(depth: ArrayLike, leg_length: ArrayLike) -> Floats:
    """Share of the body weight that rests on the feet of an animal in water.

    Parameters
    ----------
    depth : float or array [m]
        Water over the ground on which it stands; below zero the ground is dry.
    leg_length : float or array [m]
        Height of the elbow.

    Returns
    -------
    array [-]
        1 on dry ground, falling to 0.85 at the elbow and 0.5 at the chest (1.5 elbow heights); NaN deeper: the
        animal floats, and no figure that rests on its weight may be shown.

    Notes
    -----
    W = m g (1 − V_sub ρ_w / m) with about 0.15 of the volume under at the elbow and half at the chest, and a
    body in fur of 950 to 1000 kg/m³: 1 − 0.15 / 0.975 = 0.85 and 1 − 0.5 / 0.975 = 0.49, straight lines between.
    Only a kick or a foot that reaches down fires a pan under a floating animal, and no force of either has been
    published.

    References
    ----------
    Own derivation; submerged volumes and density assumed.

    """
    reach = np.asarray(leg_length, dtype=float)
    ratio = np.asarray(depth, dtype=float) / np.where(reach > 0, reach, np.nan)
    share = np.interp(ratio, (0.0, 1.0, CHEST), (1.0, AT_ELBOW, AT_CHEST))
    return np.asarray(np.where(ratio <= CHEST * (1 + 1e-9), share, np.nan))


def stand(depth: ArrayLike, leg_length: ArrayLike) -> Stand:
    """How an animal stands in water, and what of its weight is on its feet.

    Parameters
    ----------
    depth : float or array [m]
        Water over the ground on which it stands; NaN when nobody measured it.
    leg_length : float or array [m]
        Height of the elbow.

    Returns
    -------
    Stand
        `carried_share` with its state. Afloat there is no figure that rests on weight, and none may be shown: only a
        kick or a foot that reaches down fires a pan there.

    References
    ----------
    As `carried_share`.

    """
    water, leg = np.broadcast_arrays(np.asarray(depth, dtype=float), np.asarray(leg_length, dtype=float))
    carried = carried_share(water, leg)
    with np.errstate(invalid="ignore"):
        unknown = np.isnan(water) | ~(leg > 0)
        state = np.select(
            [unknown, np.isnan(carried), water <= 0],
            [Footing.UNKNOWN, Footing.AFLOAT, Footing.DRY],
            default=Footing.WADES,
        )
    return Stand(carried, np.asarray(state, dtype=np.str_))
