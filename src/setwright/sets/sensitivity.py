"""Which unknown moves a result most: first-order shares of variance from the draws that are there already."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Draws
from setwright.sets.context import Context, Floats, Kept
from setwright.sets.designer_combine import HUNDRED, firings_of
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.mechanics import SHARE, few, normals_of, posterior_of_trap, spread_out
from setwright.sets.model import Rig

# Draws in a bin: fewer make steeper steps visible, more make their means sure.
IN_BIN, LEAST_BINS = 30, 8
RESAMPLES = 200
# Chance that any of all inputs without effect on a result reaches the noise.
CHANCE = 0.01
# The column that only says which draw of the closing goes with which draw of the set.
POINTER = "mechanics"


@dataclass(frozen=True)
class Share:
    """Share of the variance of one result that goes with one input.

    `low` and `high` are the 5 % and 95 % points of resampling, NaN where the share is within the noise; `noise` is
    what chance alone would reach; `rank` is the rank correlation: above zero the result rises with the input.
    """

    name: str
    share: float
    low: float
    high: float
    noise: float
    rank: float

    @property
    def told(self) -> bool:
        """Whether the share stands above what chance would reach."""
        return self.share > self.noise


@dataclass(frozen=True)
class Sensitivity:
    """One result with the inputs that move it, greatest share first; `rest` is what none of them alone accounts for.

    `shares` has only inputs above the noise.
    """

    result: str
    shares: tuple[Share, ...]
    rest: float


class Heard(Draws):
    """The same draws by name, with a list of the names that were asked for."""

    def __init__(self, draws: Draws, n: int | None = None) -> None:
        super().__init__(draws.n if n is None else n, draws.seed, draws.scope)
        self.asked: dict[str, None] = {}

    def uniform(self, name: str) -> Floats:
        """Draws from (0, 1), shape (n,)."""
        self.asked[name] = None
        return super().uniform(name)

    def normal(self, name: str) -> Floats:
        """Standard normal draws, shape (n,)."""
        self.asked[name] = None
        return super().normal(name)


def first_order(
    columns: Mapping[str, ArrayLike], result: ArrayLike, *, seed: int = 20, bins: int | None = None
) -> list[Share]:
    """First-order shares of variance of a result by each of its inputs, from given draws.

    What it does not answer: effects that inputs have only together, and whether the spread of an input is right.

    Parameters
    ----------
    columns : mapping of str to (n,) array
        Draws of each input, any unit; only their order counts.
    result : (n,) array
        Result of each draw, any unit.
    seed : int
        Of shuffling and resampling; same seed, same answer.
    bins : int, optional
        Bins of equal probability, 2 to n / 2; about one for 30 draws when not given.

    Returns
    -------
    list of Share
        In the order of the columns, NaN shares where the result does not vary or is not a number.

    Raises
    ------
    OutOfRange
        When a column has another length than the result, or the bins do not fit.

    Notes
    -----
    S = Var(E[y | x]) / Var(y). The draws are sorted by x and cut into m bins of equal probability; the variance of
    the bin means over the whole would be too great by the scatter within, so (m − 1) times the mean square within
    is taken off: S = (SSB − (m − 1) MSW) / SST. A smooth effect loses about 1/m² of itself within the bins. The band
    is resampled, shifted back by the bias of resampling. Noise is the share that the greatest of as many inputs
    without effect would reach in one of a hundred trials.

    References
    ----------
    Sobol' (1993), Mathematical Modelling and Computational Experiments 1:407-414, first-order indices; Plischke,
    Borgonovo & Smith (2013), European Journal of Operational Research 226:536-550, estimates from given data
    (both from memory). Kelley (1935), the corrected correlation ratio (memory).

    """
    y = np.asarray(result, dtype=float)
    n = y.size
    count = _bins(n) if bins is None else bins
    if not 2 <= count <= n // 2:
        raise OutOfRange("the bins do not fit the draws", field="bins", found=count, allowed=f"2 to {n // 2}")
    for name, column in columns.items():
        if np.shape(column) != y.shape:
            raise OutOfRange(
                "a column has another length than the result",
                field=name,
                found=np.shape(column),
                allowed=str(y.shape),
            )
    return _shares(tuple(columns), _orders(columns), y, count, seed, CHANCE / max(len(columns), 1))


def _orders(columns: Mapping[str, ArrayLike]) -> NDArray[np.intp]:
    return np.stack([np.argsort(np.asarray(column, dtype=float), kind="stable") for column in columns.values()])


def _shares(
    names: Sequence[str], orders: NDArray[np.intp], y: Floats, bins: int, seed: int, chance: float
) -> list[Share]:
    """Shares of one result by inputs whose draws are sorted by `orders`, shape (k, n)."""
    nothing, n = float("nan"), y.size
    if not np.isfinite(y).all() or float(np.ptp(y)) <= 1e-12 * max(float(np.abs(y).max()), 1e-300):
        return [Share(name, nothing, nothing, nothing, nothing, nothing) for name in names]
    edges = _edges(n, bins)
    noise = noise_level(n, bins, chance)
    shares = _corrected(y[orders], np.ones(orders.shape), edges)
    rank_y = _ranks(y) - 0.5 * (n + 1)
    rank_x = np.arange(1.0, n + 1.0) - 0.5 * (n + 1)
    ranks = rank_y[orders] @ rank_x / np.sqrt((rank_y @ rank_y) * (rank_x @ rank_x))
    weights = np.random.default_rng([seed, n]).multinomial(n, np.full(n, 1.0 / n), size=RESAMPLES).astype(float)
    found = []
    for name, order, share, rank in zip(names, orders, shares, ranks, strict=True):
        low = high = nothing
        if share > noise:
            again = _corrected(np.broadcast_to(y[order], weights.shape), weights[:, order], edges)
            low, high = (float(x + share - again.mean()) for x in np.quantile(again, (0.05, 0.95)))
        found.append(Share(name, float(share), low, high, noise, float(rank)))
    return found


def noise_level(n: int, bins: int, chance: float) -> float:
    """Share of variance that an input without effect reaches with a chance of `chance`, from n draws in so many bins.

    The ratio of the mean squares between and within bins follows F; its point by Paulson's normal approximation
    (Paulson 1942, Annals of Mathematical Statistics 13:233-235, from memory).
    """
    first, second = bins - 1.0, float(n - bins)
    z = NormalDist().inv_cdf(1.0 - chance)
    a, b = 1.0 - 2.0 / (9.0 * second), 1.0 - 2.0 / (9.0 * first)
    u, v = 2.0 / (9.0 * second), 2.0 / (9.0 * first)
    # (a t - b)² = z² (u t² + v) for the cube root t of the ratio, the greater root.
    p, q, r = a * a - z * z * u, -2.0 * a * b, b * b - z * z * v
    ratio = float((-q + np.sqrt(q * q - 4.0 * p * r)) / (2.0 * p)) ** 3
    return first * (ratio - 1.0) / (first * ratio + second)


def _edges(n: int, bins: int) -> NDArray[np.intp]:
    return np.floor(np.arange(bins) * n / bins).astype(np.intp)


def _corrected(values: Floats, weights: Floats, edges: NDArray[np.intp]) -> Floats:
    """Corrected share of the variance between bins, rows of values already in the order of the input, shape (r,)."""
    total = weights.sum(axis=1)
    centred = values - ((values * weights).sum(axis=1) / total)[:, None]
    squares = (weights * centred**2).sum(axis=1)
    number = np.add.reduceat(weights, edges, axis=1)
    sums = np.add.reduceat(weights * centred, edges, axis=1)
    between = np.divide(sums**2, number, out=np.zeros_like(sums), where=number > 0).sum(axis=1)
    bins = edges.size
    within = (squares - between) / (total - bins)
    return np.asarray((between - (bins - 1) * within) / squares)


def _ranks(values: Floats) -> Floats:
    """Ranks with ties at their mean, shape (n,)."""
    _, place, count = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    return np.asarray((last - 0.5 * (count - 1))[place], dtype=float)


def sensitivity(context: Context, rig: Rig, person: Person, *, n: int | None = None) -> list[Sensitivity]:
    """What moves the targets held and the firings by others in 100 nights, and the margin of every check of a rig.

    Parameters
    ----------
    context : Context
        The site; its draws are taken anew under the same names, so that the columns are those of every other answer.
    rig : Rig
        What is set there.
    person : Person
        Packs that bind.
    n : int, optional
        Number of draws; those of the site when not given.

    Returns
    -------
    list of Sensitivity
        `catch`, `others`, then `link: check` in the order of the chain; results that do not vary are left out.

    """
    own, shared = Heard(context.draws, n), Heard(context.shared, n)
    anew = replace(context, draws=own, shared=shared, kept=Kept(), line_kept=Kept())
    result = evaluate(anew, rig, person)
    columns, closing = _columns(own, shared), _scores(anew, rig)
    columns |= closing
    # The closing runs on a fifth of the trap's draws, in another order than the grip: what it shows of them is
    # looked for among the means of the draws that share one.
    pick = spread_out(anew, np.arange(float(few(anew)))).astype(int)
    rows = slice(SHARE // 2, SHARE * few(anew), SHARE)
    orders = _orders(columns)
    fewer = _orders({name: column[rows] for name, column in closing.items()}) if closing else None
    chance, seed = CHANCE / (len(columns) + len(closing)), context.draws.seed
    found = []
    for name, values in _results(anew, result, person).items():
        shares = _shares(tuple(columns), orders, values, _bins(anew.n), seed, chance)
        if np.isnan(shares[0].share):
            continue
        if fewer is not None:
            means, part = _means(values, pick)
            shares += [
                _scaled(share, part)
                for share in _shares(tuple(closing), fewer, means, _bins(means.size), seed, chance)
                if share.told
            ]
        told = sorted((share for share in _together(shares) if share.told), key=lambda share: -share.share)
        found.append(Sensitivity(name, tuple(told), max(1.0 - sum(share.share for share in told), 0.0)))
    return found


def _bins(n: int) -> int:
    return min(max(LEAST_BINS, n // IN_BIN), n // 2)


def _means(values: Floats, pick: NDArray[np.intp]) -> tuple[Floats, float]:
    """Means of the draws that share a draw of the closing, and their variance over the whole."""
    count = np.bincount(pick)
    means = np.bincount(pick, weights=values)[count > 0] / count[count > 0]
    return means, float(np.var(means) / np.var(values))


def _scaled(share: Share, part: float) -> Share:
    return replace(
        share, share=part * share.share, low=part * share.low, high=part * share.high, noise=part * share.noise
    )


def _results(context: Context, result: SetResult, person: Person) -> dict[str, Floats]:
    per_night = HUNDRED / context.check.nights
    firsts = {key: outcome.first for key, outcome in result.outcome.items()}
    found = {
        "catch": per_night * result.held,
        "others": per_night * firings_of(context, firsts, person.closed)[0],
    }
    for link in result.links[1:]:
        for check in link.checks:
            if check.margin is not None and not np.isnan(check.margin).any():
                found[f"{link.link}: {check.name}"] = np.asarray(check.margin, dtype=float)
    return found


def _columns(own: Heard, shared: Heard) -> dict[str, Floats]:
    """Every input of site and line that was asked for, by name."""
    found = {name: own.uniform(name) for name in list(own.asked)}
    for name in list(shared.asked):
        if name != POINTER and not name.startswith("trap."):
            found.setdefault(name, shared.uniform(name))
    return found


def _scores(context: Context, rig: Rig) -> dict[str, Floats]:
    """What is not known of the trap, as it follows from its readings; readings may tie one to another."""
    posterior = posterior_of_trap(rig.trap.knowledge)
    scores = posterior.scores(normals_of(context.shared, posterior.unknowns))
    names = posterior.unknowns.names
    return {f"trap.{name}": scores[:, place] for place, name in enumerate(names) if np.ptp(scores[:, place]) > 0}


def _together(shares: Sequence[Share]) -> list[Share]:
    """Shares of the same name as one; what is within the noise adds nothing."""
    found: dict[str, Share] = {}
    for share in shares:
        before = found.get(share.name)
        if before is None or not before.told:
            found[share.name] = share
        elif share.told:
            found[share.name] = replace(
                before,
                share=before.share + share.share,
                low=before.low + share.low,
                high=before.high + share.high,
                rank=before.rank if before.share >= share.share else share.rank,
            )
    return list(found.values())
