"""One implicit step of heat with freezing in a column of cells, for many scenarios at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]
Phases = NDArray[np.int8]

# Newton gives up after this many updates and the step is cut in half, at most so many times.
MOST_UPDATES = 60
HALVE_AFTER = 15
MOST_CUTS = 6
# Cells keep their first height down to here, then grow by this much for each metre of depth.
EVEN_TO = 0.03
GROWTH = 0.18


@dataclass(frozen=True, eq=False)
class Column:
    """Cells of a column, top down; `size` (n,) [m], the rest (m, n) in SI, `bottom` (m,) [degC].

    Where `dissolved` is true the water freezes along its liquidus instead of at one temperature.
    """

    size: Floats
    k_frozen: Floats
    k_unfrozen: Floats
    c_frozen: Floats
    c_unfrozen: Floats
    latent: Floats
    freezing_point: Floats
    bottom: Floats
    dissolved: NDArray[np.bool_] | None = None


def depth_grid(
    thickness: Sequence[float], cell: float, depth: float, growth: float = GROWTH
) -> tuple[Floats, NDArray[np.int64]]:
    """Edges of cells that meet at every layer, fine at the top; and the layer of each cell.

    Parameters
    ----------
    thickness : sequence of float [m]
        Of the layers, top down; the last one reaches to `depth`.
    cell : float [m]
        Largest height near the surface.
    depth : float [m]
        Of the whole column.
    growth : float [-]
        By how much a cell may be higher for each metre that it lies deeper than the even ones.

    Returns
    -------
    edges : array (n + 1,) [m]
    layer : int array (n,)

    Raises
    ------
    OutOfRange
        When there is no layer, one has no thickness, or cell and depth do not fit.

    """
    if not thickness or not all(x > 0.0 for x in thickness) or not 0.0 < cell <= depth / 4.0 or not depth < 100.0:
        raise OutOfRange("layers, cell and depth do not make a column", found=f"{list(thickness)}, {cell}, {depth}")
    bounds = np.minimum(np.append(np.cumsum(thickness[:-1]), depth), depth)
    edges, layer, top = [0.0], [], 0.0
    for index, bound in enumerate(bounds):
        if bound - top <= 1e-9:
            continue
        steps, here = [], top
        while here < bound - 1e-9:
            steps.append(cell + growth * max(0.0, here - EVEN_TO))
            here += steps[-1]
        parts = np.cumsum(steps)
        edges += list(top + parts * (bound - top) / parts[-1])
        layer += [index] * len(steps)
        top = float(bound)
    return np.array(edges), np.array(layer, dtype=np.int64)


def enthalpy_of(column: Column, temperature: Floats, ice: Floats) -> Floats:
    """Enthalpy [J/m3] of cells at a temperature [degC]; `ice` [-] counts where that is the freezing point."""
    warmth = temperature - column.freezing_point
    cold = warmth * column.c_frozen - column.latent
    if column.dissolved is not None:
        below = column.dissolved & (warmth < 0.0)
        cold = cold + np.where(below, column.latent * column.freezing_point / np.where(below, temperature, 1.0), 0.0)
    return np.asarray(
        np.where(
            warmth > 0.0,
            warmth * column.c_unfrozen,
            np.where(warmth < 0.0, cold, -column.latent * np.clip(ice, 0.0, 1.0)),
        )
    )


def temperature_of(column: Column, enthalpy: Floats) -> Floats:
    """Temperature [degC] of cells of an enthalpy [J/m3]."""
    warm = np.maximum(enthalpy, 0.0) / column.c_unfrozen
    plain = column.freezing_point + warm + np.minimum(enthalpy + column.latent, 0.0) / column.c_frozen
    if column.dissolved is None:
        return np.asarray(plain)
    # Ice share 1 - T_f/T on a straight liquidus makes the heat balance a quadratic of T.
    total, root = _liquidus(column, enthalpy)
    return np.asarray(np.where(column.dissolved & (enthalpy < 0.0), (total - root) / (2.0 * column.c_frozen), plain))


def ice_of(column: Column, enthalpy: Floats) -> Floats:
    """Share [-] of a cell's water that is ice; dry cells count as frozen below their freezing point."""
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(column.latent > 0.0, -enthalpy / column.latent, enthalpy < 0.0)
    if column.dissolved is not None:
        below = column.dissolved & (enthalpy < 0.0)
        heat = np.where(below, temperature_of(column, enthalpy), -1.0)
        share = np.where(below, 1.0 - column.freezing_point / heat, share)
    return np.asarray(np.clip(share, 0.0, 1.0))


def _liquidus(column: Column, enthalpy: Floats) -> tuple[Floats, Floats]:
    total = column.c_frozen * column.freezing_point + column.latent + np.minimum(enthalpy, 0.0)
    heat = -4.0 * column.c_frozen * column.latent * np.minimum(column.freezing_point, 0.0)
    return np.asarray(total), np.sqrt(total**2 + heat)


def tridiagonal(lower: Floats, diagonal: Floats, upper: Floats, right: Floats) -> Floats:
    """Solve many tridiagonal systems by parallel cyclic reduction.

    Parameters
    ----------
    lower, diagonal, upper, right : array (m, n)
        Row i: lower[i] x[i-1] + diagonal[i] x[i] + upper[i] x[i+1] = right[i]; `lower[:, 0]` and `upper[:, -1]`
        must be 0.

    Returns
    -------
    array (m, n)

    Notes
    -----
    Stable for the diagonally dominant systems of implicit heat flow; log2(n) sweeps over whole arrays, which
    in NumPy beats elimination row by row.

    References
    ----------
    Hockney and Jesshope 1981, Parallel Computers (memory).

    """
    count, size = diagonal.shape
    # Rows scaled to a unit diagonal, with zeros on both sides so that a shifted view is a plain slice.
    side = 1 << max(0, (size - 1).bit_length() - 1)
    work = np.zeros((3, count, size + 2 * side))
    rows = work[:, :, side : side + size]
    rows[0], rows[1], rows[2] = lower / diagonal, upper / diagonal, right / diagonal
    stride = 1
    while stride < size:
        above = rows[0] * work[:, :, side - stride : side - stride + size]
        below = rows[1] * work[:, :, side + stride : side + stride + size]
        share = 1.0 / (1.0 - above[1] - below[0])
        solution = (rows[2] - above[2] - below[2]) * share
        rows[0], rows[1], rows[2] = -above[0] * share, -below[1] * share, solution
        stride *= 2
    return np.asarray(rows[2].copy(), dtype=np.float64)


def advance(
    column: Column,
    enthalpy: Floats,
    air: Floats,
    outer: Floats,
    step: float,
    cuts: int = 0,
    closeness: float = 1e-6,
) -> tuple[Floats, NDArray[np.bool_]]:
    """One implicit Euler step of all scenarios.

    Parameters
    ----------
    column : Column
        Cells and their properties.
    enthalpy : array (m, n) [J/m3]
        At the start of the step.
    air : array (m,) [degC]
        Sky-corrected air temperature.
    outer : array (m,) [m2 K/W]
        Resistance of surface film and snow.
    step : float [s]
        Length of the step.
    cuts : int
        How often this step has been cut in half already.
    closeness : float [-]
        Rest of the heat balance at which a step is solved, over latent heat plus heat of one kelvin.

    Returns
    -------
    enthalpy : array (m, n) [J/m3]
    solved : bool array (m,)
        False where no solution was found even with the smallest steps.

    """
    found, done = _newton(column, enthalpy, air, outer, step, closeness)
    if bool(done.all()) or cuts >= MOST_CUTS:
        return found, done
    half, first = advance(column, enthalpy, air, outer, 0.5 * step, cuts + 1, closeness)
    full, second = advance(column, half, air, outer, 0.5 * step, cuts + 1, closeness)
    return np.where(done[:, None], found, full), done | (first & second)


def _newton(
    column: Column, old: Floats, air: Floats, outer: Floats, step: float, closeness: float
) -> tuple[Floats, NDArray[np.bool_]]:
    half = 0.5 * column.size / (column.k_unfrozen + ice_of(column, old) * (column.k_frozen - column.k_unfrozen))
    inner = 1.0 / (half[:, :-1] + half[:, 1:])
    top, base = 1.0 / (outer + half[:, 0]), 1.0 / half[:, -1]
    scale = step / column.size
    # Row sums of the flow matrix A of dH = step/size (A T + boundary).
    above = np.concatenate((np.zeros_like(top)[:, None], inner * scale[1:]), axis=1)
    below = np.concatenate((inner * scale[:-1], np.zeros_like(top)[:, None]), axis=1)
    centre = above + below
    centre[:, 0] += top * scale[0]
    centre[:, -1] += base * scale[-1]
    given = old.copy()
    given[:, 0] += top * scale[0] * air
    given[:, -1] += base * scale[-1] * column.bottom
    tolerance = closeness * (column.latent + column.c_unfrozen)
    now, phase = old.copy(), _phase(column, old)
    stopped = np.zeros((2, *old.shape), dtype=np.bool_)
    for update in range(MOST_UPDATES):
        heat = temperature_of(column, now)
        rest = now + centre * heat - given
        rest[:, 1:] -= above[:, 1:] * heat[:, :-1]
        rest[:, :-1] -= below[:, :-1] * heat[:, 1:]
        open_ = np.any(np.abs(rest) > tolerance, axis=1)
        if not bool(open_.any()):
            break
        slope = np.where(phase == 0, 1.0 / column.c_unfrozen, np.where(phase == 2, 1.0 / column.c_frozen, 0.0))
        if column.dissolved is not None:
            total, root = _liquidus(column, now)
            with np.errstate(divide="ignore", invalid="ignore"):
                salted = (root - total) / (2.0 * column.c_frozen * root)
            slope = np.where(column.dissolved & (phase == 1), salted, slope)
        lower, upper = np.zeros_like(slope), np.zeros_like(slope)
        lower[:, 1:] = -above[:, 1:] * slope[:, :-1]
        upper[:, :-1] = -below[:, :-1] * slope[:, 1:]
        change = tridiagonal(lower, 1.0 + centre * slope, upper, -rest)
        change[~open_] = 0.0
        # Two halves settle which cells freeze; a whole one among three then lands on the answer.
        if update >= HALVE_AFTER and update % 3 != 2:
            change *= 0.5
        now, phase = _stop_at_edges(column, now, now + change, phase, stopped)
    return now, ~open_


def _phase(column: Column, enthalpy: Floats) -> Phases:
    """0 liquid, 1 freezing, 2 frozen."""
    frozen = np.where(column.latent > 0.0, enthalpy <= -column.latent, enthalpy < 0.0)
    if column.dissolved is not None:
        frozen = frozen & ~column.dissolved
    return np.asarray(np.where(enthalpy >= 0.0, np.where(frozen, 2, 0), np.where(frozen, 2, 1)), dtype=np.int8)


def _stop_at_edges(
    column: Column, now: Floats, wanted: Floats, phase: Phases, stopped: NDArray[np.bool_]
) -> tuple[Floats, Phases]:
    """Hold an update at each phase edge once in a step, so that no cell leaps over its latent heat."""
    new, kind = wanted.copy(), _phase(column, wanted)
    whole = -column.latent if column.dissolved is None else np.where(column.dissolved, -np.inf, -column.latent)
    for edge, (level, warm) in enumerate(((np.zeros_like(now), 0), (whole, 1))):
        down = (phase <= warm) & (wanted < level) & (now >= level)
        up = (phase > warm) & (wanted > level) & (now <= level)
        hit = (down | up) & ~stopped[edge] & ~((kind == phase) & (now == level))
        # An update down through both edges stops at the upper one first, an update up at the lower one.
        hit &= ~(down & (edge == 1) & (phase == 0)) & ~(up & (edge == 0) & (phase == 2))
        new = np.where(hit, level, new)
        kind = np.where(hit, np.where(down, warm + 1, warm), kind).astype(np.int8)
        stopped[edge] |= hit
    return new, kind
