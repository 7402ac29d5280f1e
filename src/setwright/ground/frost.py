"""How deep a set freezes, hour by hour: heat and ice in layers of cover and soil under weather."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.ground.enthalpy import GROWTH, Column, advance, depth_grid, enthalpy_of, ice_of, temperature_of
from setwright.ground.freezing import (
    berggren_depth,
    berggren_lambda,
    brine_ice_share,
    neumann_depth,
    neumann_root,
    stefan,
    stefan_film,
)

__all__ = [
    "FrostRun", "ThermalLayer", "berggren_depth", "berggren_lambda", "brine_ice_share", "frost_profile",
    "neumann_depth", "neumann_root", "stefan", "stefan_film",
]  # fmt: skip

Floats = NDArray[np.float64]

# Water with a freezing point of less than this below 0 degC freezes like plain water.
WEAKEST = 0.01


@dataclass(frozen=True, eq=False)
class ThermalLayer:
    """One layer of cover or soil, top down; figures are floats or one for each scenario, shape (m,).

    Parameters
    ----------
    thickness : float [m]
        Of the layer; `inf` for the ground below all others.
    k_frozen, k_unfrozen : float or array [W/(m K)]
        Conductivity.
    c_frozen, c_unfrozen : float or array [J/(m3 K)]
        Heat capacity by volume.
    latent : float or array [J/m3]
        Heat of freezing of its water: 333,600 x dry density x water content.
    freezing_point : float or array [degC]
        0 for plain water, lower with salt or glycol.
    dissolved : bool or bool array
        True where the water freezes along its liquidus from `freezing_point` on; False: all of it at that
        temperature.

    """

    thickness: float
    k_frozen: ArrayLike
    k_unfrozen: ArrayLike
    c_frozen: ArrayLike
    c_unfrozen: ArrayLike
    latent: ArrayLike
    freezing_point: ArrayLike = 0.0
    dissolved: ArrayLike = False


@dataclass(frozen=True, eq=False)
class FrostRun:
    """Temperature and ice at the end of each hour.

    Parameters
    ----------
    temperature : array (m, h, n) [degC]
        Of each cell; NaN for a scenario whose forcing has a gap.
    ice_fraction : array (m, h, n) [-]
        Share of the cell's water that is ice.
    z : array (n,) [m]
        Depth of the middle of each cell.
    size : array (n,) [m]
        Height of each cell.
    layer : int array (n,)
        Index of the layer that each cell lies in.
    valid : bool array (m,)
        False where the forcing had a gap or the solver did not converge.

    """

    temperature: Floats
    ice_fraction: Floats
    z: Floats
    size: Floats
    layer: NDArray[np.int64]
    valid: NDArray[np.bool_]

    def frost_depth(self) -> Floats:
        """Depth of the frost that hangs together from the surface down, (m, h) [m]; 0 when the top has no ice."""
        whole = np.cumprod(self.ice_fraction >= 1.0, axis=-1)
        reached = np.concatenate((np.ones_like(whole[..., :1]), whole[..., :-1]), axis=-1)
        return np.asarray(np.sum(reached * self.ice_fraction * self.size, axis=-1))

    def at(self, depth: float) -> Floats:
        """Temperature at a depth, (m, h) [degC], linear between the middles of cells, level beyond the ends."""
        place = float(np.interp(depth, self.z, np.arange(self.z.size)))
        above = min(int(place), self.z.size - 2)
        weight = place - above
        return np.asarray((1.0 - weight) * self.temperature[..., above] + weight * self.temperature[..., above + 1])


def frost_profile(
    t_eq: ArrayLike,
    h_surface: ArrayLike,
    layers: Sequence[ThermalLayer],
    snow_resistance: ArrayLike = 0.0,
    initial_temperature: ArrayLike = 5.0,
    bottom_temperature: ArrayLike = 8.0,
    steps_per_hour: int = 4,
    cell: float = 0.0025,
    depth: float = 0.6,
    *,
    initial_ice: ArrayLike = 0.0,
    growth: float = GROWTH,
) -> FrostRun:
    """Follow cover and soil through the hours, for m scenarios at once.

    Parameters
    ----------
    t_eq : array (h,) or (m, h) [degC]
        Sky-corrected air temperature of each hour. NaN anywhere makes that scenario NaN.
    h_surface : float, array (h,) or (m, h) [W/(m2 K)]
        Conductance between that air and the surface.
    layers : sequence of ThermalLayer
        Top down; the last one reaches to `depth` whatever its thickness.
    snow_resistance : float, array (h,) or (m, 1) or (m, h) [m2 K/W]
        Depth over conductivity of the snow on the set.
    initial_temperature : float, array (m, 1), (n,) or (m, n) [degC]
        Of each cell at the start. It decides the first night: measure it, or run through the days before.
    bottom_temperature : float or array (m,) [degC]
        At `depth`.
    steps_per_hour : int
        At least 4 for the hours of one night.
    cell : float [m]
        Height of the cells near the surface; they grow downward.
    depth : float [m]
        Of the domain. 0.6 m serves a few days; a month needs 2 to 3 m, or frost comes out too shallow.
    initial_ice : float or array as `initial_temperature` [-]
        Share of ice in cells that start at their freezing point (to go on from an earlier run).
    growth : float [-]
        By how much a cell may be higher for each metre of depth; less of it for frost that goes deep.

    Returns
    -------
    FrostRun

    Raises
    ------
    OutOfRange
        When shapes, layers or steps cannot be used.

    Notes
    -----
    dH/dt = d/dz (k dT/dz), H = 0 at the freezing point with all water liquid: T = T_f + H/C_u above it,
    T = T_f while -L < H < 0, T = T_f + (H + L)/C_f below; ice f = -H/L in 0..1, k = k_u + f (k_f - k_u). Finite
    volumes, implicit Euler, Newton on H with a stop at each phase edge. No temperature falls below the coldest of
    forcing, start and bottom. One-dimensional: no moving water, no heave, no rain unless layers are changed, no
    steel and no hollow under the pan. `dissolved` water freezes along a straight liquidus through 0 degC and its own
    freezing point: the share 1 - T_f/T of it is ice. Conductivities scatter by 25 %, a forecast by 2 K: run both as
    scenarios.

    References
    ----------
    Enthalpy method: Crank 1984, Free and Moving Boundary Problems (memory); held against the Neumann solution.

    """
    air = np.atleast_1d(np.asarray(t_eq, dtype=np.float64))
    edges, layer = depth_grid([item.thickness for item in layers], cell, depth, growth)
    count = scenarios(air, h_surface, snow_resistance, layers, initial_temperature, initial_ice, bottom_temperature)
    if air.ndim > 2 or steps_per_hour < 1:
        raise OutOfRange(
            "forcing must be (h,) or (m, h), with at least one step an hour", field="t_eq, steps_per_hour"
        )
    hours, cells = air.shape[-1], layer.size
    forcing, surface, snow = (
        spread(x, (count, hours), name)
        for x, name in ((air, "t_eq"), (h_surface, "h_surface"), (snow_resistance, "snow_resistance"))
    )
    gap = np.any(~np.isfinite(forcing) | ~np.isfinite(surface) | ~np.isfinite(snow), axis=1)
    if bool(np.any(surface[~gap] <= 0.0)) or bool(np.any(snow[~gap] < 0.0)):
        raise OutOfRange("conductance must be above zero, snow resistance not below", field="h_surface")
    column = column_of(layers, layer, np.diff(edges), count, bottom_temperature)
    start = spread(initial_temperature, (count, cells), "initial_temperature")
    if not bool(np.all(np.isfinite(start))):
        raise OutOfRange("the ground needs a temperature to start from", field="initial_temperature")
    enthalpy = enthalpy_of(column, start, spread(initial_ice, (count, cells), "initial_ice"))
    outer = np.where(
        gap[:, None], 1.0, 1.0 / np.where(gap[:, None], 1.0, surface) + np.where(gap[:, None], 0.0, snow)
    )
    drive = np.where(gap[:, None], 0.0, forcing)
    temperature, ice = np.empty((count, hours, cells)), np.empty((count, hours, cells))
    solved = np.ones(count, dtype=np.bool_)
    for hour in range(hours):
        for _ in range(steps_per_hour):
            enthalpy, done = advance(column, enthalpy, drive[:, hour], outer[:, hour], 3600.0 / steps_per_hour)
            solved &= done
        temperature[:, hour], ice[:, hour] = temperature_of(column, enthalpy), ice_of(column, enthalpy)
    valid = solved & ~gap
    temperature[~valid], ice[~valid] = np.nan, np.nan
    return FrostRun(temperature, ice, 0.5 * (edges[1:] + edges[:-1]), np.diff(edges), layer, valid)


def scenarios(
    air: Floats, surface: ArrayLike, snow: ArrayLike, layers: Sequence[ThermalLayer], *rest: ArrayLike
) -> int:
    start, ice, bottom = rest
    counts = {np.shape(x)[0] for x in (air, surface, snow, start, ice) if np.ndim(x) == 2}
    fields = (
        value
        for item in layers
        for value in (
            item.k_frozen, item.k_unfrozen, item.c_frozen, item.c_unfrozen, item.latent, item.freezing_point,
            item.dissolved,
        )
    )  # fmt: skip
    counts |= {np.size(x) for x in (bottom, *fields) if np.ndim(x) == 1}
    counts.discard(1)
    if len(counts) > 1:
        raise OutOfRange("the numbers of scenarios differ", found=sorted(counts))
    return counts.pop() if counts else 1


def spread(values: ArrayLike, shape: tuple[int, ...], name: str) -> Floats:
    try:
        return np.broadcast_to(np.asarray(values, dtype=np.float64), shape)
    except ValueError:
        raise OutOfRange("wrong shape", field=name, found=np.shape(values), allowed=f"to fit {shape}") from None


def column_of(
    layers: Sequence[ThermalLayer], layer: NDArray[np.int64], size: Floats, count: int, bottom: ArrayLike
) -> Column:
    def per_cell(name: str) -> Floats:
        each = np.stack([np.broadcast_to(np.asarray(getattr(x, name), float), (count,)) for x in layers], axis=1)
        return np.ascontiguousarray(each[:, layer])

    column = Column(
        size=size,
        k_frozen=per_cell("k_frozen"),
        k_unfrozen=per_cell("k_unfrozen"),
        c_frozen=per_cell("c_frozen"),
        c_unfrozen=per_cell("c_unfrozen"),
        latent=per_cell("latent"),
        freezing_point=per_cell("freezing_point"),
        bottom=spread(bottom, (count,), "bottom_temperature"),
    )
    salted = (per_cell("dissolved") != 0.0) & (column.freezing_point < -WEAKEST) & (column.latent > 0.0)
    if bool(salted.any()):
        column = replace(column, dissolved=salted)
    positive = (column.k_frozen, column.k_unfrozen, column.c_frozen, column.c_unfrozen)
    if not all(bool(np.all(np.isfinite(x) & (x > 0.0))) for x in positive) or not bool(np.all(column.latent >= 0.0)):
        raise OutOfRange("conductivity and heat capacity must be above zero, latent heat not below", field="layers")
    return column
