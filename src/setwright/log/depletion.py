"""How many there were, from catches that thin out: answered only when thinning out is seen."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
_DEVIANCE = 3.841458820694124
_SEARCH = 90


@dataclass(frozen=True, slots=True)
class Depletion:
    """Number at the start.

    Parameters
    ----------
    seen : bool
        False when the catches show no thinning out: there is then no answer.
    reason : str
        In a plain sentence.
    number, low, high : float
        Number at the start and its 95 % profile interval; NaN when not seen.
    catchability : float [-]
        Chance that an animal is taken by one unit of effort; NaN when not seen.
    caught : float
        How many were taken.

    """

    seen: bool
    reason: str
    number: float
    low: float
    high: float
    catchability: float
    caught: float


@dataclass(frozen=True, slots=True)
class Line:
    """Straight line of a depletion plot.

    Parameters
    ----------
    number, catchability : float
        Number at the start; share taken by one unit of effort.
    number_error, catchability_error : float
        Their standard errors; NaN where the method gives none.

    """

    number: float
    catchability: float
    number_error: float
    catchability_error: float


def _series(catches: ArrayLike, effort: ArrayLike) -> tuple[Floats, Floats]:
    c, f = np.broadcast_arrays(np.asarray(catches, dtype=float), np.asarray(effort, dtype=float))
    if c.ndim != 1 or c.size < 3 or np.any(c < 0) or np.any(f <= 0) or np.any(c != np.round(c)):
        raise BadInput(
            "catches of three or more spans",
            field="catches",
            found=c.tolist(),
            allowed="whole numbers, effort above 0",
        )
    return np.array(c), np.array(f)


def removal(catches: ArrayLike, effort: ArrayLike = 1.0) -> Depletion:
    """Number at the start by the likelihood of removals, with its profile interval.

    Parameters
    ----------
    catches : array (n,) [-]
        Animals taken in each span, in order.
    effort : array (n,) [night]
        Trap-nights of each, corrected for sprung traps.

    Notes
    -----
    Nobody comes or goes, every animal is as easily taken as another, and a night takes the same share throughout:
    weather, prices and shy animals break this. An interval without an upper end is no answer.

    """
    c, f = _series(catches, effort)
    caught = float(c.sum())

    def none(reason: str) -> Depletion:
        return Depletion(False, reason, math.nan, math.nan, math.nan, math.nan, caught)

    if caught == 0:
        return none("nothing was caught")
    mean = caught / f.sum()
    endless = float(np.sum(c * np.log(mean * f) - mean * f - special.gammaln(c + 1.0)))
    whole = np.unique(np.round(np.geomspace(caught, max(1e4 * caught, 1e5), 400)))
    for _ in range(12):
        found = _profile(whole, c, f)[0]
        at = int(np.argmax(found))
        low, high = whole[max(at - 1, 0)], whole[min(at + 1, whole.size - 1)]
        if high - low <= 2:
            break
        whole = np.unique(np.round(np.linspace(low, high, 200)))
    number = float(whole[at])
    best = float(found[at])
    if 2.0 * (best - endless) < _DEVIANCE:
        return none("no depletion seen: as many as you like would give these catches as well")

    def inside(value: float) -> bool:
        return bool(2.0 * (best - _profile(np.array([value]), c, f)[0][0]) <= _DEVIANCE)

    bottom = number if number == caught else _edge(inside, number, caught)
    reach = number + 1.0
    while inside(reach):
        reach = 2.0 * reach
        if reach > 1e9:
            return none("no depletion seen: the interval has no upper end")
    top = _edge(inside, number, reach)
    rate = float(_profile(np.array([number]), c, f)[1][0])
    share = -math.expm1(-rate) if math.isfinite(rate) else 1.0
    return Depletion(True, "the catches thin out", number, bottom, top, share, caught)


def _profile(number: Floats, c: Floats, f: Floats) -> tuple[Floats, Floats]:
    """Largest log likelihood over the rate of taking, for each number, and that rate."""
    before = np.concatenate([[0.0], np.cumsum(c)[:-1]])
    left = number[:, None] - before
    ways = (
        special.gammaln(left + 1.0) - special.gammaln(c + 1.0) - special.gammaln(np.maximum(left - c, 0.0) + 1.0)
    ).sum(axis=1)
    low = np.full(number.shape, math.log(1e-14 / f.max()))
    high = np.full(number.shape, math.log(60.0 / f.min()))
    # The slope in the rate falls throughout, so its zero is found by halving.
    for _ in range(_SEARCH):
        middle = 0.5 * (low + high)
        dose = np.exp(middle)[:, None] * f
        slope = (c * f / np.expm1(np.minimum(dose, 700.0)) - (left - c) * f).sum(axis=1)
        low, high = np.where(slope > 0, middle, low), np.where(slope > 0, high, middle)
    rate = np.exp(0.5 * (low + high))
    dose = rate[:, None] * f
    log = np.where(c > 0, c * np.log(-np.expm1(-dose)), 0.0) - (left - c) * dose
    return np.asarray(ways + log.sum(axis=1)), np.asarray(rate)


def _edge(inside: object, within: float, beyond: float) -> float:
    assert callable(inside)
    if inside(beyond):
        return beyond
    while abs(beyond - within) > 1:
        middle = float(round(0.5 * (within + beyond)))
        within, beyond = (middle, beyond) if inside(middle) else (within, middle)
    return within


def leslie(catches: ArrayLike, effort: ArrayLike = 1.0, half: bool = False) -> Line:
    """Line of catch per effort over earlier catch; for comparison with older reports.

    Parameters
    ----------
    catches : array (n,) [-]
        Animals taken in each span.
    effort : array (n,) [night]
        Trap-nights of each.
    half : bool
        True counts half of the span's own catch as taken before (Ricker).

    Returns
    -------
    Line
        NaN throughout when the line does not fall.

    References
    ----------
    Leslie & Davis (1939), Journal of Animal Ecology 8:94-113; Ricker (1975) (memory).

    """
    c, f = _series(catches, effort)
    taken = np.concatenate([[0.0], np.cumsum(c)[:-1]]) + (0.5 * c if half else 0.0)
    slope, start, error, centre, square = _straight(taken, c / f)
    if slope >= 0:
        return Line(*(math.nan,) * 4)
    number = start / -slope
    spread = error / -slope * math.sqrt(1.0 / c.size + (number - centre) ** 2 / square)
    return Line(number, -slope, spread, error / math.sqrt(square))


def delury(catches: ArrayLike, effort: ArrayLike = 1.0, half: bool = False) -> Line:
    """Line of the logarithm of catch per effort over earlier effort; for comparison with older reports.

    Parameters
    ----------
    catches : array (n,) [-]
        Animals taken in each span; NaN throughout when one is zero.
    effort : array (n,) [night]
        Trap-nights of each.
    half : bool
        True counts half of the span's own effort as done before (Ricker).

    References
    ----------
    DeLury (1947), Biometrics 3:145-167 (memory).

    """
    c, f = _series(catches, effort)
    if np.any(c == 0):
        return Line(*(math.nan,) * 4)
    done = np.concatenate([[0.0], np.cumsum(f)[:-1]]) + (0.5 * f if half else 0.0)
    slope, start, error, _, square = _straight(done, np.log(c / f))
    if slope >= 0:
        return Line(*(math.nan,) * 4)
    return Line(math.exp(start) / -slope, -slope, math.nan, error / math.sqrt(square))


def _straight(x: Floats, y: Floats) -> tuple[float, float, float, float, float]:
    centre = float(x.mean())
    square = float(np.sum((x - centre) ** 2))
    if square == 0:
        return 0.0, float(y.mean()), math.nan, centre, math.nan
    slope = float(np.sum((x - centre) * y)) / square
    start = float(y.mean()) - slope * centre
    error = math.sqrt(float(np.sum((y - start - slope * x) ** 2)) / (x.size - 2))
    return slope, start, error, centre, square
