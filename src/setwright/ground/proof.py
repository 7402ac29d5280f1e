"""What a proof pull teaches about the anchor that was pulled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.spread import Z95, normal_cdf
from setwright.ground.stake import oblique

Floats = NDArray[np.float64]

KINDS = ("held", "moved")
# Assumed: a spring scale or a lever read by eye in the field, as a share of the reading.
READING_ERROR = 0.1
# Assumed: what a quarter turn between proof and lunge adds to the error of the logarithm.
TURNED = 0.3
STEPS = 801


@dataclass(frozen=True, eq=False)
class Updated:
    """Strength of an anchor after its proof pull, any shape.

    Parameters
    ----------
    median, low, high : ndarray
        Middle, 5 % and 95 % point [N].
    scatter : ndarray
        Standard deviation of the logarithm [-].
    expected : ndarray
        Chance before the pull that it would hold that much [-]; for a pull that moved it, chance of moving by then.
        A very small one says that ground or anchor are not what was thought.

    """

    median: Floats
    low: Floats
    high: Floats
    scatter: Floats
    expected: Floats


def carried_over(
    proof: ArrayLike, side: ArrayLike, straight: ArrayLike, proof_angle: ArrayLike, angle: ArrayLike
) -> Floats:
    """The proof pull turned into the direction of the lunge [N] by the ellipse of oblique pulls.

    Parameters
    ----------
    proof : array_like
        Pull that it held [N].
    side, straight : array_like
        What the model gives for a side pull and a straight one [N]; only their ratio counts.
    proof_angle, angle : array_like
        Of the proof and of the lunge above the ground [rad].

    Notes
    -----
    A stake holds far more sideways than straight up, so that a straight proof is worth more against a low lunge, and
    a side proof less against a steep one.

    """
    turned = oblique(side, straight, angle) / oblique(side, straight, proof_angle)
    return np.asarray(np.asarray(proof, dtype=float) * turned)


def turning_error(proof_angle: ArrayLike, angle: ArrayLike, reading_error: ArrayLike = READING_ERROR) -> Floats:
    """Error of the logarithm of a proof pull that was turned [-]: reading, and 0.3 for a quarter turn (assumed)."""
    turn = np.abs(np.asarray(angle, dtype=float) - np.asarray(proof_angle, dtype=float)) / (0.5 * np.pi)
    return np.asarray(np.hypot(np.asarray(reading_error, dtype=float), TURNED * turn))


def updated(
    median: ArrayLike, scatter: ArrayLike, proof: ArrayLike, *, kind: str = "held", error: ArrayLike = READING_ERROR
) -> Updated:
    """Strength after a proof pull: the log-normal of the model, weighed with what the pull showed.

    Parameters
    ----------
    median, scatter : array_like
        Of the strength before [N], [-] (standard deviation of the logarithm).
    proof : array_like
        Pull [N] in the direction that is asked about, see `carried_over`.
    kind : str
        `held`: it stood that pull and may stand more. `moved`: it began to move at that pull.
    error : array_like
        Standard deviation of the logarithm of the reading [-], above 0.

    Returns
    -------
    Updated
        NaN where the prior or the pull is not known.

    Raises
    ------
    BadInput
        When the kind is none of `KINDS`.
    OutOfRange
        When an error or a scatter is not above 0.

    Notes
    -----
    Weight of a strength r: Φ(ln(r/P)/σ) when it held; a normal of ln(r/P) with σ when it moved, which gives a
    log-normal again, the two middles weighed by 1/σ². Same question, same answer: sums over even steps, no draws.
    Short term only, and only for the ground as it was: void after rain, frost and thaw.

    References
    ----------
    Bayes' rule on a log-normal strength (derived).

    """
    if kind not in KINDS:
        raise BadInput("no such outcome of a proof pull", field="kind", found=kind, allowed=", ".join(KINDS))
    middle, spread, pull, doubt = _checked(median, scatter, proof, error)
    if kind == "moved":
        shrunk = spread**2 / (spread**2 + doubt**2)
        log_median = np.log(middle) + shrunk * np.log(pull / middle)
        left = np.sqrt(shrunk) * doubt
        low, high = (np.exp(log_median + side * Z95 * left) for side in (-1.0, 1.0))
        expected = normal_cdf(np.log(pull / middle) / np.hypot(spread, doubt))
        return Updated(np.asarray(np.exp(log_median)), np.asarray(low), np.asarray(high), np.asarray(left), expected)
    logs, weights = _weighed(middle, spread, pull, doubt)
    running = np.cumsum(weights, axis=-1) - 0.5 * weights
    points = [np.exp(_quantile(logs, running, share)) for share in (0.5, 0.05, 0.95)]
    mean = np.sum(weights * logs, axis=-1)
    left = np.sqrt(np.sum(weights * (logs - mean[..., None]) ** 2, axis=-1))
    expected = normal_cdf(np.log(middle / pull) / np.hypot(spread, doubt))
    return Updated(points[0], points[1], points[2], np.asarray(left), expected)


def redrawn(
    median: ArrayLike,
    scatter: ArrayLike,
    proof: ArrayLike,
    score: ArrayLike,
    *,
    kind: str = "held",
    error: ArrayLike = READING_ERROR,
) -> Floats:
    """Draws of the strength after a proof pull, each in the place in the order that it had before [N].

    Parameters
    ----------
    median, scatter, proof, kind, error : array_like
        As in `updated`, of one anchor: numbers.
    score : array_like
        Normal scores of the draws before, ln(r / median) over scatter, shape (n,).

    Notes
    -----
    Each draw goes to the same share of the strengths after the pull: the weak stay the weak, so that rigs compared on
    the same draws stay paired.

    """
    if kind not in KINDS:
        raise BadInput("no such outcome of a proof pull", field="kind", found=kind, allowed=", ".join(KINDS))
    middle, spread, pull, doubt = _checked(median, scatter, proof, error)
    z = np.asarray(score, dtype=float)
    if kind == "moved":
        shrunk = spread**2 / (spread**2 + doubt**2)
        log_median = np.log(middle) + shrunk * np.log(pull / middle)
        return np.asarray(np.exp(log_median + np.sqrt(shrunk) * doubt * z))
    logs, weights = _weighed(middle, spread, pull, doubt)
    running = np.cumsum(weights) - 0.5 * weights
    return np.asarray(np.exp(np.interp(normal_cdf(z), running, logs)))


def failure_proved(
    median: ArrayLike,
    scatter: ArrayLike,
    proof: ArrayLike,
    pull: ArrayLike,
    pull_scatter: ArrayLike,
    lunges: ArrayLike,
    *,
    error: ArrayLike = READING_ERROR,
) -> Floats:
    """Chance that one of N pulls draws an anchor that held its proof pull [-], any shape.

    Parameters
    ----------
    median, scatter, proof, error : array_like
        As in `updated`.
    pull, pull_scatter : array_like
        Median of the animal's pulls [N] and standard deviation of their logarithm [-].
    lunges : array_like
        Number of pulls [-].

    Notes
    -----
    ∫ f(r | held) [1 − F_S(r)^N] dr over the whole strength after the proof, not over a log-normal fitted to it: the
    proof cuts away just the weak end, and that is where anchors are lost.

    """
    logs, weights = _weighed(*_checked(median, scatter, proof, error))
    score = (logs - np.log(np.asarray(pull, dtype=float))[..., None]) / np.asarray(pull_scatter, dtype=float)[
        ..., None
    ]
    survives = normal_cdf(score) ** np.asarray(lunges, dtype=float)[..., None]
    return np.asarray(np.sum(weights * (1.0 - survives), axis=-1))


def proof_needed(
    median: ArrayLike,
    scatter: ArrayLike,
    pull: ArrayLike,
    pull_scatter: ArrayLike,
    lunges: ArrayLike,
    chance: ArrayLike,
    *,
    error: ArrayLike = READING_ERROR,
) -> Floats:
    """Proof pull to aim for [N], so that N lunges draw the anchor with no more than a chance; any shape.

    Parameters
    ----------
    median, scatter, pull, pull_scatter, lunges, error : array_like
        As in `failure_proved`.
    chance : array_like
        Chance of losing the anchor that is accepted [-].

    Returns
    -------
    ndarray
        0 where no proof is needed; NaN where no pull up to a hundred times the animal's would do.

    """
    wanted, base = np.asarray(chance, dtype=float), np.log(np.asarray(pull, dtype=float))
    given = (median, scatter, pull, pull_scatter, lunges, chance, error)
    shape = np.broadcast_shapes(*(np.shape(part) for part in given))

    def lost(log_proof: Floats) -> Floats:
        return failure_proved(median, scatter, np.exp(log_proof), pull, pull_scatter, lunges, error=error)

    low, high = np.broadcast_to(base - 4.6, shape), np.broadcast_to(base + 4.6, shape)
    none, never = lost(low) <= wanted, lost(high) > wanted
    for _ in range(40):
        half = 0.5 * (low + high)
        enough = lost(half) <= wanted
        low, high = np.where(enough, low, half), np.where(enough, half, high)
    return np.asarray(np.where(none, 0.0, np.where(never, np.nan, np.exp(high))))


def _checked(median: ArrayLike, scatter: ArrayLike, proof: ArrayLike, error: ArrayLike) -> tuple[Floats, ...]:
    for name, value in (("scatter", scatter), ("error", error)):
        if bool(np.any(np.asarray(value, dtype=float) <= 0.0)):
            raise OutOfRange("a proof pull cannot be weighed", field=name, found=value, allowed="above 0")
    parts = (np.asarray(part, dtype=float) for part in (median, scatter, proof, error))
    middle, spread, pull, doubt = np.broadcast_arrays(*parts)
    known = (middle > 0.0) & (pull > 0.0)
    return np.where(known, middle, np.nan), spread, np.where(known, pull, np.nan), doubt


def _weighed(middle: Floats, spread: Floats, pull: Floats, doubt: Floats) -> tuple[Floats, Floats]:
    """Logarithms of strengths in even steps and the weight of each after the pull held, shape (..., STEPS)."""
    at = np.log(pull / middle) / spread
    # A pull that the model held to be impossible moves all weight up to it: the steps follow.
    top = np.maximum(at, 0.0) + 8.0
    bottom = np.clip(at - 8.0 * doubt / spread, -8.0, 8.0)
    steps = bottom[..., None] + (top - bottom)[..., None] * np.linspace(0.0, 1.0, STEPS)
    held = np.maximum(normal_cdf((steps - at[..., None]) * (spread / doubt)[..., None]), 1e-300)
    weight = -0.5 * steps**2 + np.log(held)
    weights = np.exp(weight - np.max(weight, axis=-1, keepdims=True))
    return np.log(middle)[..., None] + spread[..., None] * steps, weights / np.sum(weights, axis=-1, keepdims=True)


def _quantile(values: Floats, running: Floats, share: float) -> Floats:
    below = np.clip(np.sum(running < share, axis=-1) - 1, 0, values.shape[-1] - 2)[..., None]
    low, high = (np.take_along_axis(running, below + step, -1)[..., 0] for step in (0, 1))
    first, last = (np.take_along_axis(values, below + step, -1)[..., 0] for step in (0, 1))
    return np.asarray(first + (last - first) * (share - low) / (high - low))
