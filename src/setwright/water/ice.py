"""Ice on the water: how thick it may have grown, and what a guideline says of a measured thickness.

No function here calls ice safe. A computed thickness never counts as measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.basis.say import Say

Floats = NDArray[np.float64]

DAY = 86400.0
CONDUCTIVITY = 2.2
DENSITY = 917.0
FUSION = 333600.0


class Standing(StrEnum):
    """The three answers to a guideline."""

    BELOW = "below guideline"
    MET = "guideline met at the point measured - measure again every few steps"
    UNKNOWN = "cannot tell"


@dataclass(frozen=True, slots=True)
class Use:
    """What someone means to do on the ice.

    Parameters
    ----------
    name : str
        In words, as "on foot".
    least : float
        Thickness of new clear ice that the guideline asks for [m].

    """

    name: str
    least: float


@dataclass(frozen=True, slots=True)
class IceVerdict:
    """Answer of a guideline to measured ice.

    Parameters
    ----------
    standing : Standing
        Below, met at the point measured, or cannot tell.
    effective : float
        Thinnest measured ice with its white part counted half [m].
    required : float
        What the guideline asks for, doubled after warm hours [m].
    say : Say
        The answer as a sentence.

    """

    standing: Standing
    effective: float
    required: float
    say: Say


def freezing_degree_days(mean_temperature: ArrayLike) -> Floats:
    """Freezing degree-days since the freeze-up.

    Parameters
    ----------
    mean_temperature : array_like
        Daily mean air temperature from the freeze-up on [°C], shape (d,).

    Returns
    -------
    ndarray
        Running sum of −T [°C d], shape (d,), never below zero: a thaw takes back, down to nothing.

    """
    total = 0.0
    found = []
    for day in np.asarray(mean_temperature, dtype=float).ravel():
        total = max(total - float(day), 0.0) if np.isfinite(day) and np.isfinite(total) else float("nan")
        found.append(total)
    return np.array(found)


def stefan_ice(fdd: ArrayLike, alpha: ArrayLike) -> Floats:
    """Thickness that ice may have grown to by a degree-day rule.

    Parameters
    ----------
    fdd : array_like
        Freezing degree-days since the freeze-up [°C d], any shape.
    alpha : array_like
        Growth factor [m/(°C d)^½]: low for "can it carry", high for "does the set freeze in".

    Returns
    -------
    ndarray
        h = α √FDD [m]; NaN where the degree-days are negative.

    Notes
    -----
    Range: sheet ice over still or slow water, some centimetres thick or more. Doubt: the factor is a statistic of
    lakes and rivers, not of this one; current, inlets, springs, lodges and channels keep ice thin.

    References
    ----------
    Michel (1971), Winter regime of rivers and lakes, U.S. Army CRREL, growth factors as tabulated in a public
    degree-day script (seen); U.S. Army EM 1110-2-1612 was not opened.

    """
    days = np.asarray(fdd, dtype=float)
    return np.asarray(np.asarray(alpha, dtype=float) * np.sqrt(np.where(days >= 0, days, np.nan)))


def thin_ice(fdd: ArrayLike, Ha: ArrayLike) -> Floats:
    """Thickness of young ice, whose surface is held back by the air above it.

    Parameters
    ----------
    fdd : array_like
        Freezing degree-days since the freeze-up [°C d], any shape.
    Ha : array_like
        Conductance from ice to air [W/(m² K)], about 10 to 20.

    Returns
    -------
    ndarray
        h = −k/H_a + √((k/H_a)² + 2 k·FDD·86400/(ρ_i L_f)) [m]; NaN where an input is out of its domain.

    Notes
    -----
    Doubt: one conductance stands for wind, sky and snow.

    References
    ----------
    Ashton (1989), thin ice growth, Water Resources Research 25 (memory).

    """
    days = np.asarray(fdd, dtype=float)
    conductance = np.asarray(Ha, dtype=float)
    film = CONDUCTIVITY / np.where(conductance > 0, conductance, np.nan)
    grown = 2.0 * CONDUCTIVITY * np.where(days >= 0, days, np.nan) * DAY / (DENSITY * FUSION)
    return np.asarray(-film + np.sqrt(film**2 + grown))


def ice_over_pan(pan_depth: ArrayLike, fdd: ArrayLike, alpha: ArrayLike) -> Floats:
    """Water left between the ice and a shallow pan.

    Parameters
    ----------
    pan_depth : array_like
        Water over the pan before the frost [m].
    fdd : array_like
        Freezing degree-days until the check [°C d].
    alpha : array_like
        Growth factor, the high end [m/(°C d)^½].

    Returns
    -------
    ndarray
        Pan depth less ice [m]; zero or less: the set freezes in.

    """
    return np.asarray(np.asarray(pan_depth, dtype=float) - stefan_ice(fdd, alpha))


def cooling_time(depth: ArrayLike, over_freezing: ArrayLike, Ha: ArrayLike, below_freezing: ArrayLike) -> Floats:
    """Time in which still shallow water cools to 0 °C.

    Parameters
    ----------
    depth : array_like
        Depth of the water [m].
    over_freezing : array_like
        Water temperature over 0 °C [K].
    Ha : array_like
        Conductance from water to air [W/(m² K)].
    below_freezing : array_like
        Air temperature below 0 °C [K].

    Returns
    -------
    ndarray
        ρ c d ΔT/(h ΔT_air) [s]; infinite when the air is not below freezing.

    Notes
    -----
    Doubt: a mixed layer with no inflow and no heat from the bed; springs and current lengthen it without end.

    """
    loss = np.asarray(Ha, dtype=float) * np.maximum(np.asarray(below_freezing, dtype=float), 0.0)
    heat = 1000.0 * 4186.0 * np.asarray(depth, dtype=float) * np.asarray(over_freezing, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(loss > 0, heat / loss, np.inf))


def effective_thickness(thickness: ArrayLike, white_share: ArrayLike) -> Floats:
    """Thickness with white ice counted half.

    Parameters
    ----------
    thickness : array_like
        Whole ice [m].
    white_share : array_like
        Share of it that is white, snow or refrozen ice [-], 0 to 1.

    Returns
    -------
    ndarray
        h_e = clear + ½ white [m]; NaN outside the domain.

    References
    ----------
    Minnesota Department of Natural Resources ice thickness notes: white ice has half the strength (seen).

    """
    share = np.asarray(white_share, dtype=float)
    ice = np.asarray(thickness, dtype=float)
    valid = (share >= 0) & (share <= 1) & (ice >= 0)
    return np.asarray(np.where(valid, ice * (1.0 - 0.5 * share), np.nan))


def bearing_load(thickness: ArrayLike, white_share: ArrayLike = 0.0, strength: ArrayLike = 343232.75) -> Floats:
    """Moving load in Gold's rule, for comparison with printed tables; it is no permission.

    Parameters
    ----------
    thickness : array_like
        Measured ice [m].
    white_share : array_like
        Share of it that is white [-].
    strength : array_like
        Factor A [Pa]: 3.5 kg/cm² as the low end of the published 3.5 to 7.

    Returns
    -------
    ndarray
        A h_e² [N].

    Notes
    -----
    Range: sound floating ice, load moving. Not for current, cracks, shore edges, loads that stand for hours, warm
    days. For a person the guideline in `guideline` governs, never this.

    References
    ----------
    Gold (1971), Use of ice covers for transportation, Canadian Geotechnical Journal 8:170-181, as used in the
    weight table of the Minnesota Department of Natural Resources (seen).

    """
    return np.asarray(np.asarray(strength, dtype=float) * effective_thickness(thickness, white_share) ** 2)


def guideline(
    thickness_measured: ArrayLike,
    white_share: float,
    use: Use,
    *,
    warm_hours: float = 0.0,
    predicted: bool = False,
) -> IceVerdict:
    """What an agency's guideline says of ice that was measured.

    Parameters
    ----------
    thickness_measured : array_like
        Ice in one or more test holes [m], shape (k,); the thinnest counts.
    white_share : float
        Share of the ice that is white or snow-covered [-].
    use : Use
        What is meant to be done on it and the thickness asked for [m].
    warm_hours : float
        Hours of the last 24 with the air above 0 °C [h]: from 6 on the figure doubles, at 24 one stays off.
    predicted : bool
        True when the thickness was computed or guessed: the answer is then "cannot tell" or "below", never "met".

    Returns
    -------
    IceVerdict
        Never "safe". Holds at the point measured only.

    Notes
    -----
    Doubt: guidelines are for still water. Current, inlets, springs, beaver channels, lodge edges, slush under snow,
    water dropped from under the ice and cracks are where sets go and where ice is thin.

    References
    ----------
    Minnesota Department of Natural Resources ice guideline and notice of 2013 on warm hours, as reported by news
    pages (seen); Canadian Red Cross, as reported (seen).

    """
    if not use.least > 0:
        raise OutOfRange("a guideline asks for a thickness above zero", found=use.least)
    holes = np.atleast_1d(effective_thickness(thickness_measured, white_share))
    needed = use.least * (2.0 if warm_hours >= 6.0 else 1.0)
    if holes.size == 0 or bool(np.isnan(holes).any()) or np.isnan(warm_hours):
        return IceVerdict(
            Standing.UNKNOWN,
            float("nan"),
            needed,
            Say("cannot tell: the ice was not measured in every hole; {use:word} asks for {needed:length}",
                use=use.name, needed=needed),
        )  # fmt: skip
    thin = float(holes.min())
    if warm_hours >= 24.0:
        return IceVerdict(
            Standing.BELOW, thin, float("inf"), Say("stay off: the air was above freezing for 24 hours or more")
        )
    words = {"thin": thin, "needed": needed, "use": use.name}
    if thin < needed:
        template = "below guideline: {thin:length} counts here, {use:word} asks for {needed:length}"
        return IceVerdict(Standing.BELOW, thin, needed, Say(template, **words))
    if predicted:
        template = "cannot tell: {thin:length} was computed, not measured; {use:word} asks for {needed:length}"
        return IceVerdict(Standing.UNKNOWN, thin, needed, Say(template, **words))
    template = "guideline met at the point measured - measure again every few steps ({thin:length} counts)"
    return IceVerdict(Standing.MET, thin, needed, Say(template, **words))
