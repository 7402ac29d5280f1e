"""How often a rise or fall is exceeded, with a band that knows that the hours of a flood are one event."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.basis.say import Say
from setwright.water.stage import WEEK, Floats

REPEATS = 400
_BAND = (0.05, 0.95)


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
    row, counts, events = _row(x, where, block)
    reason = _refused(min(q, 1.0 - q), events)
    if reason is not None:
        return _no_tail(events, reason)
    starts, _ = _drawn_blocks(row.size, block, seed)
    # The record is closed to a ring, so that its ends are drawn as often as its middle.
    windows = np.lib.stride_tricks.sliding_window_view(np.concatenate([row, row[: block - 1]]), block)
    kept = np.lib.stride_tricks.sliding_window_view(np.concatenate([counts, counts[: block - 1]]), block)
    every = bool(counts.all())
    found = np.full(REPEATS, np.nan)
    for repeat, begin in enumerate(starts):
        drawn = windows[begin].ravel()[: row.size]
        if not every:
            drawn = drawn[kept[begin].ravel()[: row.size]]
        if drawn.size:
            found[repeat] = np.quantile(drawn, q)
    low, high = np.nanquantile(found, _BAND)
    return Tail(float(np.quantile(row[counts], q)), float(low), float(high), events)


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
    row, counts, events = _row(array, where, block)
    reason = _refused(share, events)
    if reason is not None:
        return _no_tail(events, reason)
    starts, last = _drawn_blocks(row.size, block, seed)
    with np.errstate(invalid="ignore"):
        hits = _block_sums(counts & (row > y), starts, block, last)
        low, high = np.nanquantile(hits / _block_sums(counts, starts, block, last), _BAND)
    return Tail(share, float(low), float(high), events)


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


def _row(x: ArrayLike, where: NDArray[np.bool_] | None, block: int) -> tuple[Floats, NDArray[np.bool_], int]:
    """Row that blocks are drawn from, which of it counts, and how many events it can hold."""
    if block < 1:
        raise OutOfRange("a block has at least one hour", found=block)
    array = np.asarray(x, dtype=float).ravel()
    if where is None:
        row = _known(array)
        return row, np.ones(row.size, dtype=bool), row.size // block
    counts = np.asarray(where, dtype=bool) & np.isfinite(array)
    return array, counts, blocks_apart(counts, block)


def _refused(tail: float, events: int) -> Say | None:
    if events < 2:
        return Say("the record holds {events:count} blocks of its length: too short to tell", events=events)
    if tail < 1.0 / events:
        return Say(
            "one in {rare:count} is the rarest that {events:count} independent weeks can tell",
            rare=events,
            events=events,
        )
    return None


def _no_tail(events: int, reason: Say) -> Tail:
    nothing = float("nan")
    return Tail(nothing, nothing, nothing, events, reason)


def _drawn_blocks(size: int, block: int, seed: int) -> tuple[NDArray[np.int_], int]:
    """First hours of the blocks of each repeat, shape (repeats, blocks), and how much of the last block counts."""
    count = -(-size // block)
    starts = np.random.default_rng(seed).integers(0, size, size=(REPEATS, count))
    return starts, size - (count - 1) * block


def _block_sums(marks: NDArray[np.bool_], starts: NDArray[np.int_], block: int, last: int) -> Floats:
    """Marks in the blocks of each repeat, the row closed to a ring: its ends are drawn as often as its middle."""
    total = np.concatenate([[0], np.cumsum(np.concatenate([marks, marks[: block - 1]]))])
    sums = (total[starts[:, :-1] + block] - total[starts[:, :-1]]).sum(axis=1)
    return np.asarray(sums + total[starts[:, -1] + last] - total[starts[:, -1]], dtype=float)
