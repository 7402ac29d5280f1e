"""Beavers of counted colonies: a range, and no safe number."""

from __future__ import annotations

from dataclasses import dataclass

from setwright.basis.errors import BadInput

# Payne (1982), Journal of Wildlife Management 46:655-661: mean of 26 colonies fully removed, and of 13 families.
MEAN_ALL, MEAN_FAMILY = 3.5, 5.3
# Parker & Rosell (2014): 22 to 26 % of the spring population taken cut colonies by 46 % in three years.
CUT_LOW, CUT_HIGH = 0.22, 0.26
# Often quoted as bearable, of the autumn population (memory).
QUOTED_LOW, QUOTED_HIGH = 0.20, 0.30


@dataclass(frozen=True, slots=True)
class Colonies:
    """What so many colonies may hold, and what was taken of it.

    Parameters
    ----------
    colonies, taken : int
        Colonies counted, beavers taken.
    low, high : float [-]
        Beavers, by the mean of all colonies and by the mean of families.
    share_low, share_high : float [-]
        Share taken of the greater and of the lesser number; above 1 the colonies were more or larger than counted.
    cut_low, cut_high : float [-]
        Beavers at which a trial cut the number of colonies by about half within three years.
    quoted_low, quoted_high : float [-]
        Beavers of the shares that are often quoted as bearable: they lie on the same range.

    """

    colonies: int
    taken: int
    low: float
    high: float
    share_low: float
    share_high: float
    cut_low: float
    cut_high: float
    quoted_low: float
    quoted_high: float


def colony_range(colonies: int, taken: int) -> Colonies:
    """Range of beavers in counted colonies.

    Parameters
    ----------
    colonies, taken : int
        Colonies counted (1 or more), beavers taken from them.

    Raises
    ------
    BadInput
        When a number is impossible.

    References
    ----------
    Payne (1982), Journal of Wildlife Management 46:655-661 (secondary); Parker & Rosell (2014) (secondary).

    """
    if colonies < 1 or taken < 0:
        raise BadInput("colonies and beavers", field="colonies, taken", found=(colonies, taken))
    low, high = MEAN_ALL * colonies, MEAN_FAMILY * colonies
    return Colonies(
        colonies, taken, low, high, taken / high, taken / low, CUT_LOW * low, CUT_HIGH * high, QUOTED_LOW * low,
        QUOTED_HIGH * high,
    )  # fmt: skip
