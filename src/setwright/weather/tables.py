"""Readers of the weather room: heat tables of soils and covers, freezing points of solutes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput
from setwright.basis.tables import Field, Table, read_table, shipped
from setwright.weather.forecast import read_forecast, read_forecast_grid, read_forecast_hours
from setwright.weather.records import read_hourly_csv
from setwright.weather.typical import read_typical_year_tmy3

__all__ = [
    "additives", "checked_additive", "freezing_curve", "freezing_points", "read_forecast", "read_forecast_grid",
    "read_forecast_hours", "read_hourly_csv", "read_typical_year_tmy3", "thermal",
]  # fmt: skip

Floats = NDArray[np.float64]

THERMAL_FIELDS: Mapping[str, Field] = {
    "name": Field("text", needed=True),
    "dry_density": Field("kg/m**3", 50.0, 2000.0, needed=True),
    "water_content": Field("one", 0.0, 10.0),
    "water_volume": Field("one", 0.0, 1.0),
    "quartz": Field("one", 0.0, 1.0),
    "saturation": Field("one", 0.0, 1.0),
    "k_frozen": Field("W/m/K", 0.02, 5.0),
    "k_unfrozen": Field("W/m/K", 0.02, 4.0),
    "k_frozen_kersten": Field("W/m/K", 0.02, 5.0),
    "k_unfrozen_kersten": Field("W/m/K", 0.02, 4.0),
    "c_frozen": Field("J/m**3/K", 1e5, 4e6),
    "c_unfrozen": Field("J/m**3/K", 1e5, 4.5e6),
    "latent": Field("J/m**3", 0.0, 3.4e8),
}

FREEZING_FIELDS: Mapping[str, Field] = {
    "solute": Field("text", needed=True),
    "basis": Field("text", needed=True, words=("mass", "volume")),
    "share": Field("one", 0.0, 0.7, needed=True),
    "freezing_point": Field("degC", -60.0, 0.0, needed=True),
}


@cache
def thermal() -> Table:
    """Heat properties of soils, covers, snow and ice by key, such as `loam-moist` or `dry-dirt`.

    Quantities: `dry_density` [kg/m3], `water_content` [-] (water over dry mass), `water_volume` [-],
    `k_frozen`, `k_unfrozen` [W/(m K)], `c_frozen`, `c_unfrozen` [J/(m3 K)], `latent` [J/m3]; `quartz`,
    `saturation` and the second opinion `k_frozen_kersten`, `k_unfrozen_kersten` where they apply.
    """
    return read_table("soil_thermal.csv", shipped("weather", "soil_thermal.csv"), THERMAL_FIELDS)


ADDITIVE_FIELDS: Mapping[str, Field] = {
    "name": Field("text", needed=True),
    "solute": Field("text"),
    "use": Field("text", needed=True, words=("with care", "refused")),
    "harm": Field("text", needed=True),
}


@cache
def additives() -> Table:
    """What may be mixed into a cover against frost: `name`, `solute` of the freezing points, `use`, `harm`."""
    return read_table("additives.csv", shipped("weather", "additives.csv"), ADDITIVE_FIELDS)


def checked_additive(key: str, where: str = "additive") -> str:
    """What an additive does besides keeping ice away, to be shown beside every advice that names it.

    Parameters
    ----------
    key : str
        Such as `sodium-chloride`.
    where : str
        Field of a file or option that names it.

    Returns
    -------
    str

    Raises
    ------
    BadInput
        When it is not known, or is refused: ethylene glycol, with the reason.

    """
    table = additives()
    keys = table.keys()
    usable = [each for each in keys if table.text(each, "use") != "refused"]
    if key not in keys:
        raise BadInput("no such additive", field=where, found=key, allowed=", ".join(usable))
    if key not in usable:
        raise BadInput(
            f"refused: {table.text(key, 'harm')}", field=where, found=table.text(key, "name"),
            allowed=", ".join(usable),
        )  # fmt: skip
    return table.text(key, "harm")


@cache
def freezing_points() -> Table:
    """Freezing points of solutions, a key for each published point: `solute`, `basis`, `share`, `freezing_point`."""
    return read_table("freezing_point.csv", shipped("weather", "freezing_point.csv"), FREEZING_FIELDS)


def freezing_curve(solute: str, basis: str = "mass") -> tuple[Floats, Floats]:
    """Liquidus of one solute from plain water to its coldest point.

    Parameters
    ----------
    solute : str
        Key such as `sodium chloride`.
    basis : str
        `mass` or `volume`: share of the whole solution.

    Returns
    -------
    share, freezing_point : arrays [-], [degC]
        Rising shares from 0 on, falling temperatures; points of the same share are averaged, points beyond the
        eutectic (where another solid comes out) are left out.

    Raises
    ------
    BadInput
        When the table has no such solute on that basis.

    """
    table = freezing_points()
    keys = table.keys()
    points: dict[float, list[float]] = {}
    for key in keys:
        if table.text(key, "solute") == solute and table.text(key, "basis") == basis:
            points.setdefault(table.number(key, "share"), []).append(table.number(key, "freezing_point"))
    if not points:
        known = sorted({f"{table.text(key, 'solute')} by {table.text(key, 'basis')}" for key in keys})
        raise BadInput("no freezing points of this solute", found=f"{solute} by {basis}", allowed=", ".join(known))
    shares = np.array([0.0, *sorted(points)])
    temperatures = np.array([0.0, *(float(np.mean(points[share])) for share in sorted(points))])
    upto = int(np.argmin(temperatures)) + 1
    return shares[:upto], temperatures[:upto]
