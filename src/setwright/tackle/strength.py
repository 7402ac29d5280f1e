"""Strength of tackle: open hooks, worn and rusted chain, cable with ends, the weakest of a series."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Part:
    """One part between trap and anchor.

    Parameters
    ----------
    name : str
        For people.
    median : array_like
        Breaking force [N], a number or draws (n,); NaN when it is not rated.
    spread : float
        Log-normal scatter of the part [-]; carried for reports.
    rated : bool
        Whether a strength is known at all.
    factor : array_like
        Share of the slow breaking force that a jerk may use [-].

    """

    name: str
    median: ArrayLike
    spread: float = 0.0
    rated: bool = True
    factor: ArrayLike = 1.0


@dataclass(frozen=True, eq=False)
class WeakestLink:
    """Weakest rated part by name, its force [N], and the names of parts that nobody rates."""

    name: str
    force: Floats
    unrated: tuple[str, ...]


def series(parts: Sequence[Part]) -> WeakestLink:
    """The weakest of parts under one common load; NaN and no name when none is rated."""
    rated = [part for part in parts if part.rated]
    unrated = tuple(dict.fromkeys(part.name for part in parts if not part.rated))
    if not rated:
        return WeakestLink("", np.asarray(np.nan), unrated)
    forces = np.stack(
        np.broadcast_arrays(*(np.asarray(p.median, dtype=float) * np.asarray(p.factor, dtype=float) for p in rated))
    )
    medians = np.median(forces.reshape(len(rated), -1), axis=1)
    return WeakestLink(rated[int(np.argmin(medians))].name, np.asarray(forces.min(axis=0)), unrated)


def hook_open(wire: ArrayLike, radius: ArrayLike, yield_strength: ArrayLike) -> tuple[Floats, Floats]:
    """Pull that opens a bent hook [N]: at first yield, and fully plastic.

    Parameters
    ----------
    wire, radius : array_like
        Wire diameter and mean radius of the bend [m].
    yield_strength : array_like
        Of the wire [Pa].

    Notes
    -----
    First yield f_y A / (1 + 8 r/d), fully plastic f_y d³ / (6 r): straight-beam bending plus tension (derived).

    """
    d, r, f = (np.asarray(value, dtype=float) for value in (wire, radius, yield_strength))
    return np.asarray(f * np.pi * d**2 / 4.0 / (1.0 + 8.0 * r / d)), np.asarray(f * d**3 / (6.0 * r))


def _not_below(value: ArrayLike, field: str) -> None:
    found = np.asarray(value, dtype=float)
    if np.any(found < 0.0):
        raise BadInput("wear and rust cannot be negative", field=field, found=np.min(found), allowed="0 or more")


def worn(measured: ArrayLike, new: ArrayLike) -> Floats:
    """Share of strength left in a worn link [-]: (measured over new wire diameter)².

    A negative reading is refused; a reading above the new wire stays above 1, as gauges and plating make it.
    """
    _not_below(measured, "measured")
    _not_below(new, "new")
    return np.asarray((np.asarray(measured, dtype=float) / np.asarray(new, dtype=float)) ** 2)


def corroded(wire: ArrayLike, rate: ArrayLike, years: ArrayLike) -> Floats:
    """Share of strength left after rust [-]: (1 − 2 r t / d)², rate r per side [m/year]; 0 when rusted through."""
    _not_below(rate, "rate")
    _not_below(years, "years")
    d = np.asarray(wire, dtype=float)
    left = 1.0 - 2.0 * np.asarray(rate, dtype=float) * np.asarray(years, dtype=float) / d
    return np.asarray(np.where(left > 0.0, left, 0.0) ** 2)


def cable(strength: ArrayLike, end: ArrayLike, kink: ArrayLike = 1.0) -> Floats:
    """Strength of a cable with its worse end and its worst kink [N]."""
    return np.asarray(
        np.asarray(strength, dtype=float) * np.asarray(end, dtype=float) * np.asarray(kink, dtype=float)
    )


def working_load_machine(wire: ArrayLike) -> Floats:
    """Working load of welded machine chain by its wire [N]: 14 800 d² lbf, d in inches (derived from its table)."""
    inches = np.asarray(wire, dtype=float) / 0.0254
    return np.asarray(14_800.0 * inches**2 * 4.4482216152605)
