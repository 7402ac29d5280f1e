"""What the ground feels of the air: sky-corrected air temperature and surface conductance."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

STEFAN_BOLTZMANN = 5.670374419e-8
ZERO_CELSIUS = 273.15
# Offsets of the surface below the air on a night whose dew point or cloud is not known (modelling choices).
CLEAR_OFFSET = -6.0
OVERCAST_OFFSET = -1.0
# Wind taken where the record has none: light air, so that the surface is coupled loosely (modelling choice).
LIGHT_AIR = 1.5


class Surface(NamedTuple):
    """Sky-corrected air temperature [degC], surface conductance [W/(m2 K)], where an assumption stands in."""

    equivalent: Floats
    conductance: Floats
    assumed: NDArray[np.bool_]


def vapour_pressure(dew_point: ArrayLike) -> Floats:
    """Vapour pressure of air.

    Parameters
    ----------
    dew_point : float or array [degC]
        Dew point over water.

    Returns
    -------
    float or array [hPa]

    Notes
    -----
    e = 6.112 exp(17.62 T / (243.12 + T)), within 0.1 % of the tables from -45 to 60 degC.

    References
    ----------
    WMO-No. 8, Guide to Meteorological Instruments and Methods of Observation, annex 4.B (memory).

    """
    temperature = np.asarray(dew_point, dtype=np.float64)
    return np.asarray(6.112 * np.exp(17.62 * temperature / (243.12 + temperature)))


def sky_emissivity(temperature: ArrayLike, dew_point: ArrayLike, cloud: ArrayLike) -> Floats:
    """Emissivity of the sky, seen from the ground.

    Parameters
    ----------
    temperature, dew_point : float or array [degC]
        At screen height.
    cloud : float or array [-]
        Covered share of the sky, 0 to 1.

    Returns
    -------
    float or array [-]
        1.24 (e/T)^(1/7) (1 + 0.22 c^2.75), at most 1; e in hPa, T in K.

    References
    ----------
    Brutsaert 1975, Water Resources Research 11, 742-744 (memory); cloud factor as in common use (memory).

    """
    kelvin = np.asarray(temperature, dtype=np.float64) + ZERO_CELSIUS
    clear = 1.24 * (vapour_pressure(dew_point) / kelvin) ** (1.0 / 7.0)
    return np.asarray(np.minimum(1.0, clear * (1.0 + 0.22 * np.asarray(cloud, dtype=np.float64) ** 2.75)))


def surface_conductance(temperature: ArrayLike, wind: ArrayLike, emissivity: float = 0.95) -> Floats:
    """Heat flow between ground and air for each kelvin between them, by radiation and by wind.

    Parameters
    ----------
    temperature : float or array [degC]
        Air temperature.
    wind : float or array [m/s]
        Wind at the ground.
    emissivity : float [-]
        Of the ground.

    Returns
    -------
    float or array [W/(m2 K)]
        4 eps sigma T^3 + 5.7 + 3.8 V; near 10 in calm air.

    Notes
    -----
    The wind part was found on plates in wind tunnels; grass and hollows shelter the ground more.

    References
    ----------
    McAdams 1954, Heat Transmission (memory).

    """
    kelvin = np.asarray(temperature, dtype=np.float64) + ZERO_CELSIUS
    radiant = 4.0 * emissivity * STEFAN_BOLTZMANN * kelvin**3
    return np.asarray(radiant + 5.7 + 3.8 * np.asarray(wind, dtype=np.float64))


def sky_corrected(
    temperature: ArrayLike,
    dew_point: ArrayLike,
    cloud: ArrayLike,
    wind: ArrayLike,
    radiation: ArrayLike = 0.0,
    absorptivity: float = 0.7,
    emissivity: float = 0.95,
    *,
    sky_view: ArrayLike = 1.0,
    wind_share: float = 0.3,
) -> Surface:
    """Air temperature that would cool or warm the ground as much as air, sky and sun do together.

    Under a clear night sky the ground is colder than the air: it can freeze at +4 degC air.

    Parameters
    ----------
    temperature, dew_point : float or array [degC]
        At screen height; NaN dew point: not known.
    cloud : float or array [-]
        Covered share of the sky, 0 to 1; NaN: not known.
    wind : float or array [m/s]
        At the height of the record; NaN: taken as light air of 1.5 m/s.
    radiation : float or array [W/m2]
        Sun and sky on a level surface; NaN: taken as none, which is the cold side.
    absorptivity, emissivity : float [-]
        Of the ground for sun and for heat.
    sky_view : float or array [-]
        Share of the open sky that the ground sees; 1 in the open, about 0.5 under trees (modelling choice).
    wind_share : float [-]
        Wind at the ground over wind of the record; 0.3 is a log profile over rough grass (modelling choice).

    Returns
    -------
    Surface
        `equivalent` [degC], `conductance` [W/(m2 K)], `assumed` (True where an assumed figure stands in
        for one that is missing). `equivalent` is NaN where the air temperature is.

    Notes
    -----
    T_eq = T + [a G + eps (L_down - sigma T^4)] / h, L_down = eps_sky sigma T^4. Where dew point or cloud is not
    known the long-wave part is an assumed offset: -6 K clear or not known, -1 K overcast, by the cloud in
    between, halved where the ground sees half the sky. Doubts: evaporation, dew and rime are left out; the sky
    formula scatters by about 5 %, which is 1 to 2 K here.

    References
    ----------
    Brutsaert 1975 (memory); McAdams 1954 (memory); offsets and shares assumed.

    """
    air, dew, cover, speed, sun, view = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (temperature, dew_point, cloud, wind, radiation, sky_view))
    )
    no_wind, no_sun = np.isnan(speed), np.isnan(sun)
    no_sky = np.isnan(dew) | np.isnan(cover)
    conductance = surface_conductance(air, wind_share * np.where(no_wind, LIGHT_AIR, speed), emissivity)
    clouds = np.where(np.isnan(cover), 0.0, cover)
    sky = sky_emissivity(air, np.where(no_sky, air, dew), clouds)
    longwave = emissivity * (sky - 1.0) * STEFAN_BOLTZMANN * (air + ZERO_CELSIUS) ** 4 / conductance
    offset = CLEAR_OFFSET + (OVERCAST_OFFSET - CLEAR_OFFSET) * clouds**2.75
    warmed = absorptivity * np.where(no_sun, 0.0, sun) / conductance
    equivalent = air + view * (np.where(no_sky, offset, longwave) + warmed)
    return Surface(np.asarray(equivalent), np.asarray(conductance), np.asarray(no_wind | no_sun | no_sky))
