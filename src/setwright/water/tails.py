"""How often a rise or fall is exceeded, with a band that knows that the hours of a flood are one event."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.basis.say import Say
from setwright.water.stage import WEEK, Floats

REPEATS = 400


@dataclass(frozen=True)
class Tail:
    """A quantile or a share read from a record, with its band.

    Parameters
    ----------
    value : float
        The figure [unit of the record, or -]; NaN when it is refused.
    low, high : float
        5 % and 95 % points of the block bootstrap [same unit].
    events : int
        Blocks of the record that can count as independent [-].
    reason : Say or None
        Why the figure is refused; None when it stands.

    """

    value: float
    low: float
    high: float
    events: int
    reason: Say | None = None


def exceedance(x: ArrayLike, y: ArrayLike) -> Floats:
    """Share of a record's starts whose rise or fall is above a limit.

    Parameters
    ----------
    x : array_like
        Rises or falls [m], shape (s,); NaN is left out.
    y : array_like
        Limits [m], any shape.

    Returns
    -------
    ndarray
        P(x > y) [-], shape of `y`; NaN when nothing is left to count.

    """
    known = np.sort(_known(x))
    limit = np.asarray(y, dtype=float)
    if known.size == 0:
        return np.full(limit.shape, np.nan)
    above = 1.0 - np.searchsorted(known, limit, side="right") / known.size
    return np.asarray(np.where(np.isnan(limit), np.nan, above))


def independent_events(x: ArrayLike, threshold: float, separation: int = WEEK) -> int:
    """Count runs above a threshold that are at least `separation` hours apart.

    Parameters
    ----------
    x : array_like
        Hourly rises, falls or levels in their order [m], shape (s,).
    threshold : float
        What counts as an event [m].
    separation : int
        Hours below the threshold that part one event from the next [h].

    Returns
    -------
    int
        Number of events [-].

    """
    array = np.asarray(x, dtype=float)
    with np.errstate(invalid="ignore"):
        above = np.flatnonzero(array > threshold)
    if above.size == 0:
        return 0
    return 1 + int(np.sum(np.diff(above) > separation))


def quantile_with_band(
    x: ArrayLike, q: float, block: int = WEEK, seed: int = 20, where: NDArray[np.bool_] | None = None
) -> Tail:
    """Quantile of rises or falls with a block-bootstrap band.

    Parameters
    ----------
    x : array_like
        Rises or falls by start hour in their order [m], shape (s,); NaN is left out.
    q : float
        Which quantile [-], inside (0, 1).
    block : int
        Hours that are drawn together [h]; at least a week, because windows overlap and a flood lasts.
    seed : int
        Same seed, same band [-].
    where : ndarray of bool, optional
        Mask of the starts that count, shape (s,), as for a present trend. Blocks are still drawn from the whole row,
        so that neighbours stay together.

    Returns
    -------
    Tail
        NaN with a reason when the tail 1 - q (or q) is rarer than one in the number of blocks.

    Notes
    -----
    Doubt: a week's block does not hold the weather of a whole winter together; the band between winters is wider
    than the band within one.

    References
    ----------
    Künsch (1989), Annals of Statistics 17:1217-1241, for the moving-block bootstrap (memory).

    """
    if not 0.0 < q < 1.0:
        raise OutOfRange("a quantile lies between 0 and 1", found=q)
    return _tail(x, where, block, seed, min(q, 1.0 - q), lambda drawn: float(np.quantile(drawn, q)))


def exceedance_with_band(
    x: ArrayLike, y: float, block: int = WEEK, seed: int = 20, where: NDArray[np.bool_] | None = None
) -> Tail:
    """Share of starts above one limit with a block-bootstrap band.

    Parameters
    ----------
    x : array_like
        Rises or falls by start hour in their order [m], shape (s,).
    y : float
        The limit [m].
    block : int
        Hours that are drawn together [h].
    seed : int
        Same seed, same band [-].
    where : ndarray of bool, optional
        Mask of the starts that count, shape (s,), as for `quantile_with_band`.

    Returns
    -------
    Tail
        NaN with a reason when the share found is below one in the number of blocks: then all that the record says
        is that it is rarer than that.

    """
    array = np.asarray(x, dtype=float).ravel()
    share = float(exceedance(array if where is None else array[np.asarray(where, dtype=bool)], y))
    return _tail(array, where, block, seed, share, lambda drawn: float(np.mean(drawn > y)))


def blocks_apart(where: ArrayLike, block: int = WEEK) -> int:
    """Count how many of the starts that count lie at least a block apart: no more of them are independent.

    Parameters
    ----------
    where : array_like
        Mask of the starts that count, shape (s,).
    block : int
        Hours that are drawn together [h].

    Returns
    -------
    int
        Number [-]: whole blocks of a row that counts throughout, and one for each short spell that stands alone.

    """
    places = np.flatnonzero(np.asarray(where, dtype=bool))
    if places.size == 0:
        return 0
    count, first = 0, int(places[0])
    while True:
        count += 1
        at = int(np.searchsorted(places, first + block))
        if at >= places.size:
            break
        first = int(places[at])
    # A last block cut short is no event of its own in a row that counts throughout.
    throughout = places.size == places[-1] - places[0] + 1
    return places.size // block if throughout and places.size >= block else count


def _known(x: ArrayLike) -> Floats:
    array = np.asarray(x, dtype=float).ravel()
    return np.asarray(array[np.isfinite(array)])


def _tail(
    x: ArrayLike, where: NDArray[np.bool_] | None, block: int, seed: int, tail: float,
    statistic: Callable[[Floats], float],
) -> Tail:  # fmt: skip
    if block < 1:
        raise OutOfRange("a block has at least one hour", found=block)
    array = np.asarray(x, dtype=float).ravel()
    if where is None:
        row = _known(array)
        counts = np.ones(row.size, dtype=bool)
        events = row.size // block
    else:
        row = array
        counts = np.asarray(where, dtype=bool) & np.isfinite(array)
        events = blocks_apart(counts, block)
    nothing = float("nan")
    if events < 2:
        reason = Say("the record holds {events:count} blocks of its length: too short to tell", events=events)
        return Tail(nothing, nothing, nothing, events, reason)
    if tail < 1.0 / events:
        reason = Say(
            "one in {rare:count} is the rarest that {events:count} independent weeks can tell",
            rare=events,
            events=events,
        )
        return Tail(nothing, nothing, nothing, events, reason)
    random = np.random.default_rng(seed)
    starts = random.integers(0, row.size, size=(REPEATS, -(-row.size // block)))
    offsets = np.arange(block)
    found = np.full(REPEATS, np.nan)
    for repeat in range(REPEATS):
        # The record is closed to a ring, so that its ends are drawn as often as its middle.
        index = (starts[repeat][:, None] + offsets[None, :]).ravel()[: row.size] % row.size
        drawn = row[index] if where is None else row[index[counts[index]]]
        if drawn.size:
            found[repeat] = statistic(drawn)
    low, high = np.nanquantile(found, (0.05, 0.95))
    return Tail(statistic(row[counts]), float(low), float(high), events)
