"""A season of frost at many sites side by side: crust by the hour, with rain and melt in the cover."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.ground.crust import STRONG_ICE, WEAK_ICE, Codes, crust_code
from setwright.ground.enthalpy import Column, advance, depth_grid, enthalpy_of, ice_of, temperature_of
from setwright.ground.frost import ThermalLayer, column_of, scenarios, spread

Floats = NDArray[np.float64]

# Heat of freezing of a cubic metre of water [J/m3].
WATER_LATENT = 333.6e6
# Pores of a cover: it holds no more water than this (assumed).
MOST_WATER = 0.45
_CLOSE = 1e-11


@dataclass(frozen=True, eq=False)
class FrostSeason:
    """Crust of each site and hour, arrays (m, h); NaN and code -1 for a site without a solution.

    Parameters
    ----------
    thickness, strong : array (m, h) [m]
        Bonded crust down to the depth asked for with at least 4 % and 8 % ice by volume.
    ice : array (m, h) [-]
        Mean ice by volume of that crust; 0 where there is none.
    temperature : array (m, h) [degC]
        Of the cell in the middle of that depth.
    water : array (m,) [-]
        Water by volume of the cover after the last hour.
    code : int array (m, h)
        0 works, 1 doubtful, 2 out of order, -1 not known.
    valid : bool array (m,)
        False where the forcing has a gap or a step found no solution.

    """

    thickness: Floats
    strong: Floats
    ice: Floats
    temperature: Floats
    water: Floats
    code: Codes
    valid: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class _Task:
    column: Column
    enthalpy: Floats
    water: Floats
    gain: Floats
    loss: Floats
    least: Floats
    most: Floats
    air: Floats
    outer: Floats
    rain: Floats
    inside: Floats
    middle: int
    steps: int


def frost_season(
    t_eq: ArrayLike,
    h_surface: ArrayLike,
    layers: Sequence[ThermalLayer],
    to_depth: float,
    *,
    rain: ArrayLike = 0.0,
    taken: ArrayLike = 0.7,
    drying: ArrayLike = 0.0,
    most_water: ArrayLike = MOST_WATER,
    snow_resistance: ArrayLike = 0.0,
    initial_temperature: ArrayLike = 5.0,
    bottom_temperature: ArrayLike = 8.0,
    steps_per_hour: int = 4,
    cell: float = 0.0025,
    depth: float = 1.3,
    compiled: bool = True,
) -> FrostSeason:
    """Follow the crust over m sets through h hours, with rain in their covers.

    Parameters
    ----------
    t_eq, h_surface, snow_resistance, initial_temperature, bottom_temperature, steps_per_hour, cell, depth
        As in `frost_profile`. Start weeks before the hours of interest, or with a measured soil temperature.
    layers : sequence of ThermalLayer
        The first is the cover. Its water is `latent` over 333.6 MJ/m3; `dissolved` salt is thinned by rain.
    to_depth : float [m]
        Of the pan or the jaws: ice above it counts.
    rain : float, array (h,) or (m, h) [mm/h]
        Rain, and melt of snow on the set. NaN spoils the site, as a gap of the other weather does.
    taken : float or array (m,) [-]
        Share of it that stays in the cover: 0.7, waxed dirt 0.1 (assumed).
    drying : float or array (m,) [1/d]
        Water by volume that a thawed cover loses in a day, down to what it began with; 0 is the careful side.
    most_water : float or array (m,) [-]
        Water that the pores of the cover hold.
    compiled : bool
        False takes plain NumPy, as slow as it is plain: the twin that the compiled sums are held against.

    Returns
    -------
    FrostSeason

    Raises
    ------
    OutOfRange
        When shapes, layers or steps cannot be used.

    Notes
    -----
    Every site is solved by itself: same equations as `frost_profile`, steps solved to 1e-11. Water comes at the
    temperature of the cell; in frozen cover it freezes with the cover's cold. Conductivity and heat capacity stay
    those of the layer as it was laid. Doubts: no run-off, no water from below, no snow that melts by itself.

    References
    ----------
    As `frost_profile`; shares taken and limits of pores assumed.

    """
    task, valid = _task(
        t_eq, h_surface, layers, to_depth, rain, taken, drying, most_water, snow_resistance, initial_temperature,
        bottom_temperature, steps_per_hour, cell, depth,
    )  # fmt: skip
    out, solved, water = (_compiled if compiled else _plain)(task)
    valid &= solved
    out[~valid] = np.nan
    thickness, strong, held, heat = np.moveaxis(out, -1, 0)
    ice = np.where(
        thickness > 0.0, held / np.where(thickness > 0.0, thickness, 1.0), np.where(valid, 0.0, np.nan)[:, None]
    )
    return FrostSeason(thickness, strong, ice, heat, water[:, 0], crust_code(strong, thickness), valid)


def _task(
    t_eq: ArrayLike, h_surface: ArrayLike, layers: Sequence[ThermalLayer], to_depth: float, rain: ArrayLike,
    taken: ArrayLike, drying: ArrayLike, most_water: ArrayLike, snow: ArrayLike, start: ArrayLike, bottom: ArrayLike,
    steps: int, cell: float, depth: float,
) -> tuple[_Task, NDArray[np.bool_]]:  # fmt: skip
    air = np.atleast_1d(np.asarray(t_eq, dtype=np.float64))
    edges, layer = depth_grid([item.thickness for item in layers], cell, depth)
    if air.ndim > 2 or steps < 1 or not 0.0 < to_depth < depth:
        raise OutOfRange("forcing, steps or depth cannot be used", field="t_eq, steps_per_hour, to_depth")
    count = max(
        scenarios(air, h_surface, snow, layers, start, 0.0, bottom),
        *(np.size(part) for part in (taken, drying, most_water)),
        np.shape(rain)[0] if np.ndim(rain) == 2 else 1,
    )
    shape = (count, air.shape[-1])
    forcing, surface, cover, wet = (
        spread(part, shape, name)
        for part, name in ((air, "t_eq"), (h_surface, "h_surface"), (snow, "snow_resistance"), (rain, "rain"))
    )
    gap = np.any(~np.isfinite(forcing + surface + cover + wet), axis=1)
    sound = ~gap[:, None]
    if bool(np.any(sound & ((surface <= 0.0) | (cover < 0.0) | (wet < 0.0)))):
        raise OutOfRange("conductance must be above zero, snow and rain not below", field="h_surface, rain")
    size = np.diff(edges)
    column = column_of(layers, layer, size, count, bottom)
    begin = spread(start, (count, layer.size), "initial_temperature")
    if not bool(np.all(np.isfinite(begin))):
        raise OutOfRange("the ground needs a temperature to start from", field="initial_temperature")
    water, top = column.latent / WATER_LATENT, (layer == 0)[None, :]
    cover_depth = float(size[layer == 0].sum())
    by_site = [
        spread(part, (count,), name)[:, None]
        for part, name in ((taken, "taken"), (drying, "drying"), (most_water, "most_water"))
    ]
    if not all(bool(np.all(part >= 0.0)) for part in by_site) or bool(np.any(by_site[0] > 1.0)):
        raise OutOfRange("shares and drying must not be negative", field="taken, drying, most_water")
    inside = np.clip(to_depth - edges[:-1], 0.0, size)
    task = _Task(
        column=column,
        enthalpy=enthalpy_of(column, begin, np.zeros_like(begin)),
        water=water,
        gain=np.where(top, by_site[0] / 1000.0 / cover_depth, 0.0),
        loss=np.where(top, by_site[1] / 24.0, 0.0),
        least=water.copy(),
        most=np.broadcast_to(by_site[2], water.shape).copy(),
        air=np.where(sound, forcing, 0.0),
        outer=np.where(sound, 1.0 / np.where(sound, surface, 1.0) + cover, 1.0),
        rain=np.where(sound, wet, 0.0),
        inside=inside,
        middle=int(np.searchsorted(edges, 0.5 * to_depth, side="right")) - 1,
        steps=steps,
    )
    return task, ~gap


def _compiled(task: _Task) -> tuple[Floats, NDArray[np.bool_], Floats]:
    from setwright.ground.frost_kernel import season

    (count, hours), cells = task.air.shape, task.inside.size
    column, state, water = task.column, task.enthalpy.copy(), task.water.copy()
    point = column.freezing_point.copy()
    salted = np.zeros(water.shape, dtype=np.bool_) if column.dissolved is None else column.dissolved
    out, solved = np.zeros((count, hours, 4)), np.ones(count, dtype=np.bool_)
    work = np.empty((count, 13, cells))
    threads = min(os.cpu_count() or 1, count)
    cuts = np.linspace(0, count, threads + 1).astype(int).tolist()

    def part(low: int, high: int) -> None:
        rows = slice(low, high)
        season(
            column.size, column.k_frozen[rows], column.k_unfrozen[rows], column.c_frozen[rows],
            column.c_unfrozen[rows], water[rows], task.gain[rows], task.loss[rows], task.least[rows], task.most[rows],
            WATER_LATENT, point[rows], salted[rows], np.ascontiguousarray(column.bottom[rows]), state[rows],
            task.air[rows], task.outer[rows], task.rain[rows], task.steps, task.inside, WEAK_ICE, STRONG_ICE,
            task.middle, work[rows], out[rows], solved[rows],
        )  # fmt: skip

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(part, cuts[:-1], cuts[1:]))
    return out, solved, water


def _plain(task: _Task) -> tuple[Floats, NDArray[np.bool_], Floats]:
    column, state, water = task.column, task.enthalpy.copy(), task.water.copy()
    count, hours = task.air.shape
    salted = np.zeros(water.shape, dtype=np.bool_) if column.dissolved is None else column.dissolved
    out, solved = np.zeros((count, hours, 4)), np.ones(count, dtype=np.bool_)
    for hour in range(hours):
        thaw = (state >= 0.0) & (water > task.least)
        drier = np.where(thaw, np.maximum(task.least, water - task.loss), water)
        wetter = np.minimum(drier + task.gain * task.rain[:, hour, None], np.maximum(task.most, drier))
        heat = temperature_of(column, state)
        with np.errstate(divide="ignore", invalid="ignore"):
            point = np.where(
                salted & (wetter != water), column.freezing_point * water / wetter, column.freezing_point
            )
        column = replace(column, latent=WATER_LATENT * wetter, freezing_point=point)
        state = np.where(salted & (wetter != water), enthalpy_of(column, heat, np.zeros_like(heat)), state)
        water = wetter
        for _ in range(task.steps):
            state, done = advance(
                column, state, task.air[:, hour], task.outer[:, hour], 3600.0 / task.steps, closeness=_CLOSE
            )
            solved &= done
        share = ice_of(column, state)
        part = np.where(salted, share > 0.0, share) * task.inside
        full = np.where(salted, share, 1.0) * water
        out[:, hour, 0] = np.sum(part * (full >= WEAK_ICE), axis=1)
        out[:, hour, 1] = np.sum(part * (full >= STRONG_ICE), axis=1)
        out[:, hour, 2] = np.sum(part * full * (full >= WEAK_ICE), axis=1)
        out[:, hour, 3] = temperature_of(column, state)[:, task.middle]
    return out, solved, water
