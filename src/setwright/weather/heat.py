"""Heat index of a person at work in the shade: a warning for the trapper in early season, never for an animal."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def heat_index_fahrenheit(temperature_fahrenheit: ArrayLike, humidity: ArrayLike) -> Floats:
    """Heat index by the US equation, in its own unit.

    Parameters
    ----------
    temperature_fahrenheit : float or array [degF]
        Air temperature in the shade.
    humidity : float or array [-]
        Relative humidity, 0 to 1.

    Returns
    -------
    float or array [degF]
        NaN where the humidity is no share, the air below 40 degF (the index says nothing there) or above 130 degF.

    Notes
    -----
    Mean of the air and 0.5 (T + 61 + 1.2 (T - 68) + 0.094 R); where that reaches 80 degF the regression of nine terms
    with its two corrections for dry and for damp air. In full sun up to 15 degF more (memory).

    References
    ----------
    Rothfusz 1990, National Weather Service Technical Attachment SR 90-23 (coefficients seen).

    """
    t, share = np.broadcast_arrays(
        np.asarray(temperature_fahrenheit, dtype=np.float64), np.asarray(humidity, dtype=np.float64)
    )
    r = 100.0 * share
    simple = 0.5 * (t + 0.5 * (t + 61.0 + 1.2 * (t - 68.0) + 0.094 * r))
    full = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 6.83783e-3 * t**2 - 5.481717e-2 * r**2
        + 1.22874e-3 * t**2 * r + 8.5282e-4 * t * r**2 - 1.99e-6 * t**2 * r**2
    )  # fmt: skip
    dry = (r < 13.0) & (t >= 80.0) & (t <= 112.0)
    damp = (r > 85.0) & (t >= 80.0) & (t <= 87.0)
    full = full - np.where(dry, (13.0 - r) / 4.0 * np.sqrt(np.maximum(17.0 - np.abs(t - 95.0), 0.0) / 17.0), 0.0)
    full = full + np.where(damp, (r - 85.0) / 10.0 * (87.0 - t) / 5.0, 0.0)
    valid = (share >= 0.0) & (share <= 1.0) & (t >= 40.0) & (t <= 130.0)
    return np.asarray(np.where(valid, np.where(simple >= 80.0, full, simple), np.nan))


def heat_index(temperature: ArrayLike, humidity: ArrayLike) -> Floats:
    """Heat index of a person; see `heat_index_fahrenheit`.

    Parameters
    ----------
    temperature : float or array [degC]
        Air temperature in the shade.
    humidity : float or array [-]
        Relative humidity, 0 to 1.

    Returns
    -------
    float or array [degC]
        NaN outside the range of the index.

    References
    ----------
    Rothfusz 1990, National Weather Service Technical Attachment SR 90-23 (coefficients seen).

    """
    fahrenheit = 1.8 * np.asarray(temperature, dtype=np.float64) + 32.0
    return np.asarray((heat_index_fahrenheit(fahrenheit, humidity) - 32.0) / 1.8)
