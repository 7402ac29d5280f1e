"""Wind chill on a human face: a warning for the trapper, never an index for an animal."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.say import Say

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

# Wind chill [degC] at and below which each warning holds.
LONG_EXPOSURE, QUARTER_HOUR, TWO_MINUTES = -27.0, -35.0, -60.0
WARNINGS = (
    Say("no frostbite warning from wind chill; cold water and wet clothes are another matter"),
    Say("wind chill {chill:temperature}: frostbite of bare skin in long exposure; cover face and hands", chill=-27.0),
    Say("wind chill {chill:temperature}: bare skin can freeze within 10 to 15 minutes", chill=-35.0),
    Say("wind chill {chill:temperature}: bare skin can freeze in less than 2 minutes; put the run off", chill=-60.0),
)


def wind_chill(temperature: ArrayLike, wind: ArrayLike) -> Floats:
    """Wind chill of 2001: still-air temperature that would cool a walking person's bare face as fast.

    Not an index for animals: none has been validated.

    Parameters
    ----------
    temperature : float or array [degC]
        Air temperature.
    wind : float or array [m/s]
        At 10 m height.

    Returns
    -------
    float or array [degC]
        NaN outside the range of the index: air above 10 degC, or wind below 4.8 km/h (1.33 m/s).

    Notes
    -----
    W = 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16, V in km/h.

    References
    ----------
    Meteorological Service of Canada, wind chill chart and equation (seen); Osczevski and Bluestein 2005 (memory).

    """
    air, speed = np.broadcast_arrays(np.asarray(temperature, dtype=np.float64), np.asarray(wind, dtype=np.float64))
    kilometres = speed * 3.6
    # A calm of 4.8 km/h stated in m/s must not fall out of the range by the last bit.
    valid = (air <= 10.0) & (kilometres >= 4.8 - 1e-9)
    power = np.where(valid, kilometres, 4.8) ** 0.16
    chill = 13.12 + 0.6215 * air - 11.37 * power + 0.3965 * air * power
    return np.asarray(np.where(valid, chill, np.nan))


def wind_chill_fahrenheit(temperature_fahrenheit: ArrayLike, wind_mph: ArrayLike) -> Floats:
    """Wind chill by the US equation, in its own units; see `wind_chill`.

    Parameters
    ----------
    temperature_fahrenheit : float or array [degF]
        Air temperature.
    wind_mph : float or array [mph]
        At 33 ft (10 m) height.

    Returns
    -------
    float or array [degF]
        NaN above 50 degF or below 3 mph.

    Notes
    -----
    W = 35.74 + 0.6215 T - 35.75 V^0.16 + 0.4275 T V^0.16.

    References
    ----------
    US National Weather Service, wind chill chart of 2001 (seen).

    """
    air, speed = np.broadcast_arrays(
        np.asarray(temperature_fahrenheit, dtype=np.float64), np.asarray(wind_mph, dtype=np.float64)
    )
    valid = (air <= 50.0) & (speed >= 3.0)
    power = np.where(valid, speed, 3.0) ** 0.16
    chill = 35.74 + 0.6215 * air - 35.75 * power + 0.4275 * air * power
    return np.asarray(np.where(valid, chill, np.nan))


def warning_code(chill: ArrayLike) -> Codes:
    """Place in `WARNINGS` of a wind chill.

    Parameters
    ----------
    chill : float or array [degC]
        Wind chill; NaN (outside the range of the index) gives 0.

    Returns
    -------
    int array
        0 none, 1 at -27 and colder, 2 at -35, 3 at -60.

    References
    ----------
    Meteorological Service of Canada, frostbite guide beside the chart (seen).

    """
    values = np.asarray(chill, dtype=np.float64)
    return np.asarray(
        sum((values <= limit).astype(np.int64) for limit in (LONG_EXPOSURE, QUARTER_HOUR, TWO_MINUTES)),
        dtype=np.int64,
    )


def trapper_warning(temperature: float, wind: float) -> Say:
    """Sentence for the trapper on the coldest hour of the run.

    Parameters
    ----------
    temperature : float [degC]
        Air temperature.
    wind : float [m/s]
        At 10 m height.

    Returns
    -------
    Say
        On a human face only; it names the wind chill when a warning holds.

    """
    chill = float(wind_chill(temperature, wind))
    code = int(warning_code(chill))
    return Say(WARNINGS[code].template, chill=chill) if code else WARNINGS[0]
