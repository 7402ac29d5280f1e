"""Named, seeded draws: the same name gives the same draws for every rig compared."""

from __future__ import annotations

import math
import zlib
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.basis.source import Quantity

Floats = NDArray[np.float64]

Z95 = 1.6448536269514722
# Nearest that a share is taken to certainty.
EDGE = 0.001


@lru_cache(maxsize=8)
def _strata(n: int) -> tuple[Floats, Floats]:
    """Mid-points of n equal strata of (0, 1) and their normal scores."""
    uniform = (np.arange(n) + 0.5) / n
    normal = np.array([NormalDist().inv_cdf(float(u)) for u in uniform])
    return uniform, normal


class Draws:
    """Quasi-random draws by name: a Latin hypercube whose columns are made when asked for.

    Each name owns one column: the mid-points of n equal strata of (0, 1), ordered by a permutation
    that depends on the seed and the name alone. Every margin is thus spread exactly evenly, and a
    draw does not depend on which other names were asked for or in which order. (Sobol points would
    fill pairs of columns more evenly, but tie a draw to the place of its column in a fixed list.)

    Parameters
    ----------
    n : int
        Number of draws [-].
    seed : int
        Same seed, same draws.
    scope : str
        Prefix of every name, so that two sites have draws of their own.

    References
    ----------
    McKay, Beckman & Conover (1979), Technometrics 21:239-245 (from memory).

    """

    def __init__(self, n: int = 1000, seed: int = 20, scope: str = "") -> None:
        if n < 2:
            raise ValueError("at least two draws are needed")
        self.n = n
        self.seed = seed
        self.scope = scope
        self._ranks: dict[str, NDArray[np.intp]] = {}

    def scoped(self, scope: str) -> Draws:
        """Draws of the same size and seed under another prefix."""
        return Draws(self.n, self.seed, scope)

    def _rank(self, name: str) -> NDArray[np.intp]:
        found = self._ranks.get(name)
        if found is None:
            key = zlib.crc32(f"{self.scope}/{name}".encode())
            found = np.random.default_rng([self.seed, key]).permutation(self.n)
            self._ranks[name] = found
        return found

    def uniform(self, name: str) -> Floats:
        """Draws from (0, 1), shape (n,)."""
        return _strata(self.n)[0][self._rank(name)]

    def normal(self, name: str) -> Floats:
        """Standard normal draws, shape (n,)."""
        return _strata(self.n)[1][self._rank(name)]

    def between(self, name: str, low: ArrayLike, high: ArrayLike) -> Floats:
        """Draws spread evenly from `low` to `high`, shape (n,)."""
        low_array = np.asarray(low, dtype=float)
        return np.asarray(low_array + (np.asarray(high, dtype=float) - low_array) * self.uniform(name))

    def quantity(self, name: str, quantity: Quantity) -> Floats:
        """Draws of a quantity, shape (n,); NaN throughout when it is unknown.

        The value is the median, `low` and `high` the 5 % and 95 % points of a two-piece normal;
        where all three are positive the two-piece law holds for the logarithm. A missing side
        has no spread.
        """
        if quantity.value is None:
            return np.full(self.n, np.nan)
        middle = quantity.value
        low = middle if quantity.low is None else quantity.low
        high = middle if quantity.high is None else quantity.high
        if low == middle == high:
            return np.full(self.n, middle)
        z = self.normal(name) / Z95
        if low > 0:
            below, above = np.log(middle / low), np.log(high / middle)
            return np.asarray(middle * np.exp(np.where(z < 0, z * below, z * above)))
        return np.asarray(middle + np.where(z < 0, z * (middle - low), z * (high - middle)))

    def share(self, name: str, quantity: Quantity) -> Floats:
        """Draws of a share or chance, all between 0 and 1, shape (n,); NaN throughout when it is unknown.

        As `quantity`, with the two-piece normal for the logarithm of the odds. An end of 0 or 1 stands as 0.001 or
        0.999: odds know no certainty.
        """
        if quantity.value is None:
            return np.full(self.n, np.nan)
        ends = (quantity.low, quantity.value, quantity.high)
        if quantity.low in (None, quantity.value) and quantity.high in (None, quantity.value):
            return np.full(self.n, quantity.value)
        if any(end is not None and not 0.0 <= end <= 1.0 for end in ends):
            raise OutOfRange("a share lies between 0 and 1", field=name, found=ends, allowed="0 to 1")
        low, middle, high = (
            math.log(near / (1.0 - near))
            for near in (min(max(quantity.value if end is None else end, EDGE), 1.0 - EDGE) for end in ends)
        )
        z = self.normal(name) / Z95
        odds = middle + np.where(z < 0, z * (middle - low), z * (high - middle))
        return np.asarray(1.0 / (1.0 + np.exp(-odds)))


_REACH, _PER_UNIT = 8.0, 500.0


@lru_cache(maxsize=1)
def _normal_table() -> Floats:
    grid = np.linspace(-_REACH, _REACH, round(2 * _REACH * _PER_UNIT) + 1)
    return np.array([NormalDist().cdf(float(x)) for x in grid])


def normal_cdf(x: ArrayLike) -> Floats:
    """Standard normal distribution function, any shape; from a fine table, error below 2e-7."""
    table = _normal_table()
    # The grid is even, so the place is found by arithmetic, several times faster than by search.
    place = np.clip((np.asarray(x, dtype=float) + _REACH) * _PER_UNIT, 0.0, table.size - 1.0)
    low = np.minimum(np.nan_to_num(place).astype(np.intp), table.size - 2)
    part = place - low
    return np.asarray((1.0 - part) * table[low] + part * table[low + 1])


def points(values: Floats) -> tuple[float, float, float]:
    """5 % point, median and 95 % point of draws without NaN, shape (n,) -> three floats.

    Between two draws the points are interpolated; where a draw is infinite the nearest draw stands for them.
    """
    bounded = bool(np.isfinite(values).all())
    low, middle, high = np.quantile(values, (0.05, 0.5, 0.95), method="linear" if bounded else "closest_observation")
    return float(low), float(middle), float(high)


def band(values: ArrayLike) -> tuple[float, float, float]:
    """Median, 5 % and 95 % point of draws, shape (n,) -> three floats; NaN when a draw is NaN."""
    array = np.asarray(values, dtype=float)
    if bool(np.isnan(array).any()):
        return (float("nan"),) * 3
    low, middle, high = points(array)
    return middle, low, high
