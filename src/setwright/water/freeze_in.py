"""When a shallow set freezes in, hour by hour, and how thick the ice may have grown until then.

What is computed here is never measured ice, and no figure of it is a permission to walk.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.errors import OutOfRange
from setwright.water.ice import Floats, IceVerdict, Use, guideline, stefan_ice, thin_ice

HEAT = 1000.0 * 4186.0
HOUR = 3600.0


@dataclass(frozen=True, eq=False)
class IceCourse:
    """Water and ice over the coming hours, each row shape (..., h); NaN from the first unknown hour on.

    Parameters
    ----------
    water_temperature : ndarray
        Temperature of the shallow water at the end of each hour [°C], 0 from when ice can form.
    fdd : ndarray
        Freezing degree-days since the water came to 0 °C [°C d].
    least, likely, most : ndarray
        Ice that may have grown [m]: the lesser of both rules at their low ends, the young-ice rule at its middle, and
        the greater of both at their high ends.

    """

    water_temperature: Floats
    fdd: Floats
    least: Floats
    likely: Floats
    most: Floats


@dataclass(frozen=True, eq=False)
class FreezeIn:
    """Hour at which the ice reaches the pan, counted from the set-out [h], shape (...).

    Parameters
    ----------
    first : ndarray
        At the high ends: from here on do not count on the set [h].
    likely : ndarray
        At the middle of the young-ice rule [h].
    last : ndarray
        At the low ends: by then it is frozen in for certain, as far as the rules go [h].

    All are infinite when it does not happen within the hours given, NaN when an unknown hour comes before it.

    """

    first: Floats
    likely: Floats
    last: Floats


def ice_course(
    air_temperature: ArrayLike,
    *,
    depth: ArrayLike,
    water_temperature: ArrayLike,
    growth_low: float,
    growth_high: float,
    film_low: float = 10.0,
    film: float = 14.0,
    film_high: float = 20.0,
    fdd_now: float = 0.0,
) -> IceCourse:
    """Cooling of shallow water to 0 °C and growth of ice on it.

    Parameters
    ----------
    air_temperature : array_like
        Hourly mean air temperature from the set-out on [°C], shape (..., h).
    depth : array_like
        Depth of the water that cools through [m], shape (...), positive; over a pan on a shelf, that of the shelf.
    water_temperature : array_like
        Water temperature at the set-out [°C], shape (...).
    growth_low, growth_high : float
        Ends of the growth factor [m/(°C d)^½].
    film_low, film, film_high : float
        Conductance from water or ice to the air: low end, middle, high end [W/(m² K)].
    fdd_now : float
        Degree-days that ice already there has seen [°C d].

    Returns
    -------
    IceCourse
        A thaw takes degree-days back, down to none.

    Raises
    ------
    OutOfRange
        When ends stand the wrong way round.

    Notes
    -----
    The water relaxes to the air, exactly over each hour: dT_w/dτ = −H (T_w − T_a)/(ρ c d), at the middle conductance,
    down to 0 °C; the hour's frost left over then counts as degree-days. Doubt: one mixed layer without inflow,
    spring, sun, or heat from the bed, all of which keep it open longer; under a clear sky the surface loses more than
    the air tells.

    References
    ----------
    Own heat balance (derived); growth rules as in `stefan_ice` and `thin_ice`.

    """
    if not (0 < growth_low <= growth_high and 0 < film_low <= film <= film_high):
        raise OutOfRange("low ends are positive and not above high ends", found=(growth_low, growth_high))
    air = np.asarray(air_temperature, dtype=float)
    layer = np.asarray(depth, dtype=float)
    layer = np.where(layer > 0, layer, np.nan)
    shape = np.broadcast_shapes(air.shape[:-1], layer.shape, np.shape(water_temperature))
    water = np.array(np.broadcast_to(np.asarray(water_temperature, dtype=float), shape))
    frost = np.full(shape, float(fdd_now)) + 0.0 * water
    rate = film / (HEAT * layer)
    temperatures, degree_days = [], []
    for hour in range(air.shape[-1]):
        now = np.broadcast_to(air[..., hour], shape)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            open_water = frost <= 0
            relaxed = now + (water - now) * np.exp(-rate * HOUR)
            # Share of the hour after the water has come to 0 °C.
            used = np.log((water - now) / (0.0 - now)) / rate
            rest = np.where(relaxed < 0, 1.0 - np.clip(used / HOUR, 0.0, 1.0), 0.0)
            frost = np.where(open_water, rest * -now / 24.0, np.maximum(frost - now / 24.0, 0.0))
            water = np.where(open_water, np.maximum(relaxed, 0.0), 0.0)
        unknown = np.isnan(now) | np.isnan(water)
        frost, water = np.where(unknown, np.nan, frost), np.where(unknown, np.nan, water)
        temperatures.append(water)
        degree_days.append(frost)
    days = np.stack(degree_days, axis=-1)
    return IceCourse(
        np.stack(temperatures, axis=-1),
        days,
        np.minimum(stefan_ice(days, growth_low), thin_ice(days, film_low)),
        np.asarray(thin_ice(days, film)),
        np.maximum(stefan_ice(days, growth_high), thin_ice(days, film_high)),
    )


def freezes_in(course: IceCourse, pan_depth: ArrayLike) -> FreezeIn:
    """First hour at which the ice is as thick as the water over the pan is deep.

    Parameters
    ----------
    course : IceCourse
        Ice over the coming hours.
    pan_depth : array_like
        Water over the pan [m], shape (...).

    Returns
    -------
    FreezeIn
        The high ends come first: for this question they are the cautious ones.

    """
    depth = np.asarray(pan_depth, dtype=float)[..., None]

    def first(ice: Floats) -> Floats:
        known = ~np.isnan(ice) & ~np.isnan(depth)
        with np.errstate(invalid="ignore"):
            reached = known & (ice > 0) & (ice >= depth)
        hour = np.argmax(reached, axis=-1) + 1.0
        gap = np.argmax(~known, axis=-1) + 1.0
        never = np.where(known.all(axis=-1), np.inf, np.nan)
        met = reached.any(axis=-1) & (known.all(axis=-1) | (hour < gap))
        return np.asarray(np.where(met, hour, never))

    return FreezeIn(first(course.most), first(course.likely), first(course.least))


def predicted_guideline(course: IceCourse, white_share: float, use: Use, *, warm_hours: float = 0.0) -> IceVerdict:
    """What a guideline says of computed ice at the last hour: below it, or cannot tell, and never that it is met.

    Parameters
    ----------
    course : IceCourse
        Ice over the coming hours of one place, rows of shape (h,).
    white_share : float
        Share of the ice taken as white [-]; 1 for the cautious side after snow.
    use : Use
        What is meant to be done on it.
    warm_hours : float
        Hours of the last 24 with the air above 0 °C [h].

    Returns
    -------
    IceVerdict
        From the least that may have grown: the low ends are the cautious ones here.

    """
    return guideline(course.least[..., -1], white_share, use, warm_hours=warm_hours, predicted=True)
