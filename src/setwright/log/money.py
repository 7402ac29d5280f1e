"""What a season brings in, with the chance that it is a loss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
DRAWS = 20_000


@dataclass(frozen=True, slots=True)
class Price:
    """Price of one animal of a kind in the user's money.

    Parameters
    ----------
    low, likely, high : float
        A triangle.

    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high or self.high > 1e6:
            raise BadInput(
                "a price", field="price", found=(self.low, self.likely, self.high), allowed="low ≤ likely ≤ high"
            )


@dataclass(frozen=True, slots=True)
class Margin:
    """What is left.

    Parameters
    ----------
    median, low, high : float
        Median and the 5 % and 95 % points, in the user's money.
    loss : float [-]
        Chance that it is below zero.
    break_even : float
        Mean price of an animal at which nothing is left; NaN without animals.

    """

    median: float
    low: float
    high: float
    loss: float
    break_even: float


def margin(
    count: Sequence[float],
    prices: Sequence[Price],
    costs: float,
    commission: float = 0.0,
    scatter: float | None = None,
    draws: int = DRAWS,
    seed: int = 20,
) -> Margin:
    """Margin of a season.

    Parameters
    ----------
    count : sequence of float [-]
        Animals of each kind: those sold, or those expected of another season.
    prices : sequence of Price
        Of each kind; prices of one season move together.
    costs : float
        Everything spent, own hours included.
    commission : float [-]
        Share of the price that the buyer keeps.
    scatter : float, optional [-]
        None when the animals are counted already; otherwise the dispersion of the catch (1: Poisson), which is then
        drawn: negative binomial of variance scatter · mean.
    draws, seed : int
        How often, and from where.

    Raises
    ------
    BadInput
        When numbers and prices do not go together.

    """
    if len(count) != len(prices) or any(not 0 <= k < 1e7 for k in count) or not 0 <= commission < 1:
        raise BadInput(
            "numbers, prices and commission", field="count, prices, commission", found=(len(count), commission)
        )
    dice = np.random.default_rng(seed)
    level = dice.random(draws)
    gross = np.zeros(draws)
    for number, price in zip(count, prices, strict=True):
        each = _triangle(price, level)
        if scatter is None:
            taken: Floats = np.full(draws, float(number))
        elif scatter <= 1.0 or number == 0:
            taken = dice.poisson(number, draws).astype(float)
        else:
            taken = dice.negative_binomial(number / (scatter - 1.0), 1.0 / scatter, draws).astype(float)
        gross += taken * each
    left = gross * (1.0 - commission) - costs
    middle, low, high = np.quantile(left, (0.5, 0.05, 0.95))
    total = float(sum(count))
    even = costs / (1.0 - commission) / total if total > 0 else float("nan")
    return Margin(float(middle), float(low), float(high), float((left < 0).mean()), even)


def _triangle(price: Price, level: Floats) -> Floats:
    width = price.high - price.low
    if width == 0:
        return np.full(level.shape, price.likely)
    knee = (price.likely - price.low) / width
    rising = price.low + np.sqrt(level * width * (price.likely - price.low))
    falling = price.high - np.sqrt((1.0 - level) * width * (price.high - price.likely))
    return np.asarray(np.where(level < knee, rising, falling))
