"""Frost over the coming nights in every cover that lies on the line or is carried: hours out of order by night."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.source import Quantity
from setwright.ground.crust import OUT_OF_ORDER
from setwright.ground.frost import ThermalLayer
from setwright.ground.frost_season import frost_season
from setwright.sets.model import Night
from setwright.sets.order import LEAD, SHED, TAKEN, WET_FOR
from setwright.weather import tables as weather_tables

Floats = NDArray[np.float64]

# Forecasts of one cover: milder by 2 K, as told, colder by 2 K.
ERROR = np.array([2.0, 0.0, -2.0])
BELOW = "loam-moist"
NAMES = ("k_frozen", "k_unfrozen", "c_frozen", "c_unfrozen", "latent")
DEPTH = 0.6


@dataclass(frozen=True, eq=False)
class CoverNights:
    """One cover over the coming hours, rows mild, told, hard, shape (3, h).

    `crust` [m] is the bonded crust down to the depth of the cover, `code` 0 works, 1 doubtful, 2 out of order.
    """

    cover: str
    crust: Floats
    code: NDArray[np.int64]

    def lost(self, hours: NDArray[np.bool_]) -> tuple[int, int, int]:
        """Hours out of order among those marked, by the mild, the told and the hard forecast."""
        mild, told, hard = (int(np.sum((row == OUT_OF_ORDER) & hours)) for row in self.code)
        return mild, told, hard


def coming_nights(
    night: Night, covers: Sequence[str], depth: float, soil_temperature: Quantity | None, snow: Quantity | None
) -> tuple[CoverNights, ...]:
    """Frost hour by hour in each cover over moist loam, by the rule of thumb on bonded crusts.

    Parameters
    ----------
    night : Night
        Hours from now on, as many as are wanted, with those before them.
    covers : sequence of str
        Keys of covers.
    depth : float
        Of the cover over the trap [m].
    soil_temperature, snow : Quantity or None
        Read in the ground when the hours begin [degC]; depth of settled snow [m].

    Returns
    -------
    tuple of CoverNights
        Rain wets a cover from its hour on.

    """
    table = weather_tables.thermal()
    keys = [key for key in covers for _ in ERROR]

    def layer(names: Sequence[str], thickness: float) -> ThermalLayer:
        found = [np.array([table.number(key, name) for key in names]) for name in NAMES]
        return ThermalLayer(thickness, *found)

    read = soil_temperature is not None and soil_temperature.value is not None
    lead = slice(night.before.size if read else -LEAD, None)
    before = night.before[lead]
    air = np.concatenate([before, night.equivalent])[None, :] + np.tile(ERROR, len(covers))[:, None]
    surface = np.concatenate([night.before_surface[lead], night.surface])
    earlier = night.before_rain[lead].copy()
    earlier[:-WET_FOR] = 0.0
    rain = np.concatenate([earlier, night.rain])
    start = float(soil_temperature.number) if read and soil_temperature is not None else float(np.mean(air)) + 2.0
    run = frost_season(
        air, surface, [layer(keys, depth), layer([BELOW] * len(keys), float("inf"))], depth, rain=rain,
        taken=np.array([SHED if key.startswith("waxed") else TAKEN for key in keys]),
        snow_resistance=0.0 if snow is None or snow.value is None else snow.value / 0.088,
        initial_temperature=start, bottom_temperature=start + 2.0, steps_per_hour=2, depth=DEPTH, compiled=False,
    )  # fmt: skip
    crust, code = run.thickness[:, before.size :], run.code[:, before.size :]
    rows = range(0, len(keys), len(ERROR))
    return tuple(
        CoverNights(key, crust[row : row + 3], code[row : row + 3]) for key, row in zip(covers, rows, strict=True)
    )
