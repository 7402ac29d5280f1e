"""The ways in which rules measure a jaw spread, and what one way bounds of another."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from setwright.basis.errors import BadInput


@dataclass(frozen=True, slots=True)
class Jaws:
    """Widths of the bars of one jaw as the trap lies set, seen from above; None is unknown.

    Parameters
    ----------
    face_width : float or None
        Width of the jaw bar itself, which is the gripping face of the closed jaw [m].
    lamination_inside, lamination_outside : float or None
        Width added to the inner and to the outer edge of the bar by a strip; 0 without one [m].
    double_width : float or None
        Reach of a second bar inside the first; 0 without one [m].

    """

    face_width: float | None = None
    lamination_inside: float | None = 0.0
    lamination_outside: float | None = 0.0
    double_width: float | None = 0.0


def _known(value: float | None) -> tuple[float, float]:
    return (0.0, math.inf) if value is None else (value, value)


def _dog_across_pan(jaws: Jaws) -> tuple[float, float]:
    # The text names the inside of the jaw; whether a strip or second bar is part of the jaw is left open.
    return -2.0 * (_known(jaws.lamination_inside)[1] + _known(jaws.double_width)[1]), 0.0


def _gripping_faces(jaws: Jaws) -> tuple[float, float]:
    low, high = _known(jaws.lamination_inside)
    return -2.0 * high, -2.0 * low


def _widest(jaws: Jaws) -> tuple[float, float]:
    return _dog_across_pan(jaws)[0], math.inf


def _outside(jaws: Jaws) -> tuple[float, float]:
    face, strip = _known(jaws.face_width), _known(jaws.lamination_outside)
    return 2.0 * (face[0] + strip[0]), 2.0 * (face[1] + strip[1])


def _unstated(jaws: Jaws) -> tuple[float, float]:
    return _dog_across_pan(jaws)[0], math.inf


# What a way of measuring adds to the opening between the bare jaws at the dog: lowest and highest [m].
METHODS: dict[str, Callable[[Jaws], tuple[float, float]]] = {
    "inside_bare_jaws": lambda _jaws: (0.0, 0.0),
    "inside_dog_across_pan": _dog_across_pan,
    "inside_gripping_faces": _gripping_faces,
    "inside_widest": _widest,
    "outside_across_pan": _outside,
    "open": _unstated,
}


def added(jaws: Jaws, method: str) -> tuple[float, float]:
    """Lowest and highest of what a way of measuring adds to the bare inside opening across the pan [m]."""
    if method not in METHODS:
        raise BadInput("no way of measuring of this name", found=method, allowed=", ".join(METHODS))
    return METHODS[method](jaws)


def spread_by_method(
    spread_inside: float,
    face_width: float | None,
    method: str,
    *,
    lamination_inside: float | None = 0.0,
    lamination_outside: float | None = 0.0,
    double_width: float | None = 0.0,
) -> tuple[float, float]:
    """Bounds of the jaw spread as one way of measuring reads it, from the bare inside opening.

    What it does not answer: which way a jurisdiction uses; that stands in its rule.

    Parameters
    ----------
    spread_inside : float
        Opening of the set trap between the bare inner edges of the jaws, at the dog, across the pan [m].
    face_width : float or None
        Width of the jaw bar seen from above [m]; None when unknown.
    method : str
        Any of `METHODS`. `open` is an opening of which the way of measuring is not stated.
    lamination_inside, lamination_outside : float or None
        Width of a strip on the inner, on the outer edge [m]; 0 without, None when unknown.
    double_width : float or None
        Reach of a second bar inside the first [m]; 0 without, None when unknown.

    Returns
    -------
    tuple of float
        Low and high [m]; infinite where the geometry does not bound.

    Raises
    ------
    BadInput
        For a method that is not known here.

    Notes
    -----
    With s the bare opening, w the bar, l_i and l_o the strips, d the second bar: between gripping faces
    s − 2 l_i; at the dog s − 2 (l_i + d) to s, as the texts do not say whether strip and second bar count as jaw;
    outside s + 2 (w + l_o); the widest inside opening at least that at the dog, and not bounded above; unstated:
    any of these. Doubts: jaws are taken to lie flat, which they do only in a trap that is set level.

    References
    ----------
    Maine rules 09-137 ch. 17 s. 17.08(1)(A): inside centre of the jaw at the dog to inside centre of the opposite
    jaw (seen). New York furbearer guide, trap measuring page: inside, between laminations, outer of double jaws
    (seen). The sums are geometry (derived).

    """
    low, high = added(Jaws(face_width, lamination_inside, lamination_outside, double_width), method)
    return spread_inside + low, spread_inside + high


def convert_span(low: float, high: float, found: str | None, wanted: str, jaws: Jaws) -> tuple[float, float]:
    """Bounds of a spread in one way of measuring from its span in another, shape two floats [m].

    `found` None is a reading of which the way is not known. The same way gives the same span.
    """
    if found == wanted and wanted != "open":
        return low, high
    found_low, found_high = added(jaws, found or "open")
    wanted_low, wanted_high = added(jaws, wanted)
    return low - found_high + wanted_low, high - found_low + wanted_high
