"""Which chain is it: a trade number means nothing until the wire is gauged; strength by grade and by wire."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
# A gauge reading may lie this far from the printed wire, for plating, wear and the gauge.
GAUGE = 0.06


@dataclass(frozen=True, slots=True)
class ChainReading:
    """One chain that a trade number can mean.

    Parameters
    ----------
    key, label, number : str
        Row of the table, name for people, trade number as on the reel.
    wire : float
        Wire diameter [m].
    breaking : float
        Breaking force when new [N].

    """

    key: str
    label: str
    number: str
    wire: float
    breaking: float


def which_chain(number: str, wire: float | None, readings: Sequence[ChainReading]) -> ChainReading:
    """The chain that a number and a gauged wire mean.

    Parameters
    ----------
    number : str
        Trade number, such as "2" or "2/0".
    wire : float or None
        Gauged wire diameter [m]; None when nobody gauged it.
    readings : sequence of ChainReading
        All chains of the table.

    Raises
    ------
    BadInput
        Without a wire where the number means more than one chain, with an unknown number, and with a wire that is
        none of them; the message says what it could mean.

    """
    wanted = number.strip().removeprefix("No.").strip()
    named = [reading for reading in readings if reading.number == wanted]
    if not named:
        known = ", ".join(dict.fromkeys(reading.number for reading in readings))
        raise BadInput("no chain of this number is known", field="number", found=number, allowed=known)
    meanings = "; ".join(f"{r.label}, wire {r.wire * 1e3:.2f} mm, breaks at {r.breaking:.0f} N" for r in named)
    if wire is None:
        if len(named) == 1:
            return named[0]
        raise BadInput(
            "the number means chains of different strength: gauge the wire",
            field="wire",
            found=f"No. {wanted} without a wire",
            allowed=meanings,
        )
    require_positive(wire, "wire")
    best = min(named, key=lambda reading: abs(reading.wire - wire))
    if abs(best.wire - wire) > GAUGE * best.wire:
        raise BadInput(
            "the wire is none of the chains of this number; gauge a worn chain at an unworn place",
            field="wire",
            found=f"{wire * 1e3:.2f} mm",
            allowed=meanings,
        )
    return best


def require_positive(value: float, field: str) -> None:
    """Raise BadInput with the field's name unless a reading is a positive number."""
    if not (np.isfinite(value) and value > 0.0):
        raise BadInput("a reading must be a positive number", field=field, found=value, allowed="above 0")


def graded_breaking(wire: ArrayLike, grade: ArrayLike) -> Floats:
    """Least breaking force of welded chain by its grade.

    Parameters
    ----------
    wire : array_like
        Diameter of the material [m], not the trade size.
    grade : array_like
        30, 43, 70, 80 … [-]: a tenth of the mean stress of both legs at the least breaking force, in N/mm².

    Returns
    -------
    array [N]
        10 g N/mm² over two legs of π d²/4.

    Notes
    -----
    Proof force is half of it and working load a quarter for grades 30, 70, 80; a third for grade 43.

    References
    ----------
    ASTM A413/A413M, scope, note on the grade (read in the standard's public abstract).

    """
    legs = 2.0 * np.pi / 4.0 * np.asarray(wire, dtype=float) ** 2
    return np.asarray(10.0e6 * np.asarray(grade, dtype=float) * legs)


def link_stiffness(wire: ArrayLike, width: ArrayLike, straight: ArrayLike, modulus: ArrayLike = 200e9) -> Floats:
    """Stiffness of one welded link pulled along its length.

    Parameters
    ----------
    wire : array_like
        Diameter d [m].
    width : array_like
        Between the middles of both legs, twice the mean radius R of the ends [m].
    straight : array_like
        Length s of the straight legs [m]; 0 is a ring.
    modulus : array_like
        Young's modulus E [Pa].

    Returns
    -------
    array [N/m]
        P over δ, δ = 2 R²/(E I) [P R/2 (3π/4 − 2) − M₀ (π/2 − 1)] + P s/(2 A E) with the moment of the legs
        M₀ = P R² (π/2 − 1)/(s + π R).

    Notes
    -----
    Thin curved beam, point loads at the crowns; the ends of real links sit in each other over an arc, which makes
    them stiffer by a half and more. For s = 0 it is the thin ring, 0.149 P R³/(E I).

    References
    ----------
    Energy of bending (derived); thin ring under two opposite loads, handbook of stress and strain (memory).

    """
    d, s, e = (np.asarray(part, dtype=float) for part in (wire, straight, modulus))
    r = 0.5 * np.asarray(width, dtype=float)
    bending, area = e * np.pi * d**4 / 64.0, np.pi * d**2 / 4.0
    half = np.pi / 2.0 - 1.0
    leg = r**2 * half / (s + np.pi * r)
    give = 2.0 * r**2 / bending * (0.5 * r * (0.75 * np.pi - 2.0) - leg * half) + s / (2.0 * area * e)
    return np.asarray(1.0 / give)


def chain_stiffness(link: ArrayLike, length: ArrayLike, pitch: ArrayLike) -> Floats:
    """Stiffness of a chain [N/m], its links one after the other.

    Parameters
    ----------
    link : array_like
        Stiffness of one link [N/m].
    length, pitch : array_like
        Of the chain, and inside length of one link [m].

    """
    links = np.asarray(length, dtype=float) / np.asarray(pitch, dtype=float)
    with np.errstate(divide="ignore"):
        return np.asarray(np.asarray(link, dtype=float) / links)
