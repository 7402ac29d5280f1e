"""Rust by seasons: zinc first, then steel, in places that eat at different rates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
ZINC_FIRST_YEARS = 2.0


@dataclass(frozen=True, slots=True)
class Stay:
    """Time that a part lay in one place.

    Parameters
    ----------
    years : float
        Time there [a]; a season of 90 days is 0.25.
    rate : float
        Loss of bare steel there, per side [m/a].
    place : str
        For people.

    """

    years: float
    rate: float
    place: str = ""


def zinc_life(zinc: ArrayLike, first_rate: ArrayLike = 15e-6, later_rate: ArrayLike = 4e-6) -> Floats:
    """Years until a zinc coat is gone [a].

    Parameters
    ----------
    zinc : array_like
        Thickness per side [m]; 0 is bare.
    first_rate, later_rate : array_like
        Loss per side in the first two years and after [m/a].

    References
    ----------
    FHWA GEC-11, table 3-8, mild fill of pH 5-10 (secondary).

    """
    coat, first, later = (np.asarray(part, dtype=float) for part in (zinc, first_rate, later_rate))
    if np.any(coat < 0.0):
        raise BadInput("a coat cannot be thinner than nothing", field="zinc", found=np.min(coat), allowed="0 or more")
    early = first * ZINC_FIRST_YEARS
    return np.asarray(np.where(coat <= early, coat / first, ZINC_FIRST_YEARS + (coat - early) / later))


def rusted_wire(wire: ArrayLike, stays: Sequence[Stay], zinc: ArrayLike = 0.0) -> Floats:
    """Wire left after stays in order [m]; 0 when rusted through.

    Parameters
    ----------
    wire : array_like
        Diameter of the steel when new [m].
    stays : sequence of Stay
        In the order in which they happened.
    zinc : array_like
        Thickness of its coat per side [m].

    Raises
    ------
    BadInput
        When a stay has a negative time or rate.

    Notes
    -----
    Zinc ages by time whatever the place, from rates for mild fill; in splash and acid peat it goes sooner, so
    enter 0 there. Even loss; pits go deeper, so gauge the thinnest link.

    """
    left = zinc_life(zinc)
    lost: Floats = np.zeros_like(left)
    for stay in stays:
        for field, value in (("years", stay.years), ("rate", stay.rate)):
            if not value >= 0.0:
                raise BadInput("rust runs forward only", field=field, found=value, allowed="0 or more")
        bare = np.maximum(stay.years - left, 0.0)
        left = np.maximum(left - stay.years, 0.0)
        lost = lost + stay.rate * bare
    remains = np.asarray(wire, dtype=float) - 2.0 * lost
    return np.asarray(np.where(remains > 0.0, remains, 0.0))
