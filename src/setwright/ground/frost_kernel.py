"""Heat and ice of many sites through a season, compiled: the same sums as `frost_plain`, many times sooner."""

from __future__ import annotations

import math

from numba import njit

MOST_UPDATES, HALVE_AFTER = 60, 15
# Rest of the heat balance, relative to latent heat plus heat of one kelvin, at which a step is solved.
CLOSE = 1e-11

_compiled = njit(cache=True, nogil=True, error_model="numpy")


@_compiled
def _heat(enthalpy, point, latent, warm, cold, dissolved):
    """Temperature of a cell and its slope over the enthalpy; slope as in frozen ground at the edges."""
    if enthalpy >= 0.0:
        return point + enthalpy / warm
    if dissolved:
        sum_ = cold * point + latent + enthalpy
        return (sum_ - math.sqrt(sum_ * sum_ - 4.0 * cold * latent * point)) / (2.0 * cold)
    if enthalpy > -latent:
        return point
    return point + (enthalpy + latent) / cold


@_compiled
def _ice(enthalpy, heat, point, latent, dissolved):
    if enthalpy >= 0.0:
        return 0.0
    if latent <= 0.0:
        return 1.0
    if dissolved:
        return 1.0 - point / heat
    return min(1.0, -enthalpy / latent)


@_compiled
def _phase(enthalpy, latent, dissolved):
    """0 liquid, 1 freezing, 2 frozen."""
    if enthalpy >= 0.0:
        return 0
    return 1 if dissolved or enthalpy > -latent else 2


@_compiled
def _step(now, size, kf, ku, cf, cu, latent, point, dissolved, bottom, air, outer, seconds, work):
    """One implicit step of one site; `now` starts at and ends with the enthalpy. True when solved."""
    n = size.size
    up, down, centre, given, heat, slope, factor, change, phase, stop_upper, stop_lower = (
        work[0], work[1], work[2], work[3], work[4], work[5], work[6], work[7], work[8], work[9], work[10],
    )  # fmt: skip
    above = outer
    for i in range(n):
        given[i] = now[i]
        heat[i] = _heat(now[i], point[i], latent[i], cu[i], cf[i], dissolved[i])
        share = _ice(now[i], heat[i], point[i], latent[i], dissolved[i])
        half = 0.5 * size[i] / (ku[i] + share * (kf[i] - ku[i]))
        # Conductance of the face over the cell, for now in W/(m2 K).
        up[i] = 1.0 / (above + half)
        above = half
        phase[i] = _phase(now[i], latent[i], dissolved[i])
        stop_upper[i] = stop_lower[i] = 0.0
    for i in range(n):
        scale = seconds / size[i]
        down[i] = scale * (up[i + 1] if i < n - 1 else 1.0 / above)
        up[i] *= scale
        centre[i] = up[i] + down[i]
    given[0] += up[0] * air
    given[n - 1] += down[n - 1] * bottom
    for update in range(MOST_UPDATES):
        solved = update > 0
        for i in range(n):
            rest = now[i] + centre[i] * heat[i] - given[i]
            if i > 0:
                rest -= up[i] * heat[i - 1]
            if i < n - 1:
                rest -= down[i] * heat[i + 1]
            if solved:
                # Rounding of the largest part of the sum is no rest.
                rounding = 1e-14 * (abs(now[i]) + centre[i] * abs(heat[i]))
                solved = abs(rest) <= CLOSE * (latent[i] + cu[i]) + rounding
            change[i] = -rest
        if solved:
            return True
        for i in range(n):
            if phase[i] == 0.0:
                slope[i] = 1.0 / cu[i]
            elif phase[i] == 2.0:
                slope[i] = 1.0 / cf[i]
            elif dissolved[i]:
                total = cf[i] * point[i] + latent[i] + min(now[i], 0.0)
                root = math.sqrt(total * total - 4.0 * cf[i] * latent[i] * point[i])
                slope[i] = (root - total) / (2.0 * cf[i] * root)
            else:
                slope[i] = 0.0
        for i in range(n):
            pivot = 1.0 + centre[i] * slope[i]
            if i > 0:
                lower = -up[i] * slope[i - 1]
                pivot -= lower * factor[i - 1]
                change[i] -= lower * change[i - 1]
            inverse = 1.0 / pivot
            change[i] *= inverse
            factor[i] = -down[i] * slope[i + 1] * inverse if i < n - 1 else 0.0
        # Straight lines all the way make the first answer the last.
        halved = update >= HALVE_AFTER and update % 3 != 2
        straight = not halved
        for i in range(n - 1, -1, -1):
            if i < n - 1:
                change[i] -= factor[i] * change[i + 1]
        for i in range(n):
            wanted = now[i] + (0.5 * change[i] if halved else change[i])
            kind, before = float(_phase(wanted, latent[i], dissolved[i])), phase[i]
            if kind != before or dissolved[i]:
                straight = False
            # Hold an update once at each edge of freezing, so that no cell leaps over its latent heat.
            if before < kind:
                if before == 0.0 and stop_upper[i] == 0.0:
                    wanted, kind, stop_upper[i] = 0.0, (2.0 if latent[i] <= 0.0 else 1.0), 1.0
                elif kind == 2.0 and stop_lower[i] == 0.0:
                    wanted, stop_lower[i] = -latent[i], 1.0
            elif before > kind:
                if before == 2.0 and latent[i] > 0.0 and stop_lower[i] == 0.0:
                    wanted, kind, stop_lower[i] = -latent[i], 1.0, 1.0
                elif kind == 0.0 and stop_upper[i] == 0.0:
                    wanted, stop_upper[i] = 0.0, 1.0
            now[i], phase[i] = wanted, kind
        if straight:
            return True
        for i in range(n):
            heat[i] = _heat(now[i], point[i], latent[i], cu[i], cf[i], dissolved[i])
    return False


@_compiled
def _advance(now, keep, size, kf, ku, cf, cu, latent, point, dissolved, bottom, air, outer, seconds, work):
    """A step, in 1, 2, 4 ... 64 parts until all are solved."""
    n = size.size
    for i in range(n):
        keep[i] = now[i]
    parts = 1
    while parts <= 64:
        solved = True
        for _ in range(parts):
            if not _step(
                now, size, kf, ku, cf, cu, latent, point, dissolved, bottom, air, outer, seconds / parts, work
            ):
                solved = False
                break
        if solved:
            return True
        for i in range(n):
            now[i] = keep[i]
        parts *= 2
    return False


@_compiled
def _thinned(enthalpy, point, site, i, was, now, latent_per_water, warm, cold):
    """Solute in more or less water than before: another freezing point at the same temperature."""
    heat = _heat(enthalpy[site, i], point[site, i], latent_per_water * was, warm, cold, True)
    point[site, i] *= was / now
    over = heat - point[site, i]
    enthalpy[site, i] = (
        over * warm if over >= 0.0 else cold * over - latent_per_water * now * (1.0 - point[site, i] / heat)
    )


@_compiled
def season(
    size, k_frozen, k_unfrozen, c_frozen, c_unfrozen, water, gain, loss, least, most, latent_per_water,
    freezing_point, dissolved, bottom, enthalpy, t_eq, outer, rain, steps_per_hour, inside, weak, strong, pan, work,
    out, solved,
):  # fmt: skip
    """Every site by itself through all hours; arrays (m, n) by site and cell, (m, h) by site and hour.

    `out` (m, h, 4): thickness of the weak and of the strong crust [m], ice times thickness [m], temperature of
    the cell `pan` [degC]. `enthalpy` and `water` end as they stand after the last hour.
    """
    n, hours = size.size, t_eq.shape[1]
    for site in range(t_eq.shape[0]):
        scratch = work[site]
        latent = scratch[11]
        for hour in range(hours):
            for i in range(n):
                was = water[site, i]
                drier = (
                    max(least[site, i], was - loss[site, i])
                    if enthalpy[site, i] >= 0.0 and was > least[site, i]
                    else was
                )
                water[site, i] = min(drier + gain[site, i] * rain[site, hour], max(most[site, i], drier))
                latent[i] = latent_per_water * water[site, i]
                if dissolved[site, i] and water[site, i] != was:
                    _thinned(
                        enthalpy,
                        freezing_point,
                        site,
                        i,
                        was,
                        water[site, i],
                        latent_per_water,
                        c_unfrozen[site, i],
                        c_frozen[site, i],
                    )
            for _ in range(steps_per_hour):
                if not _advance(
                    enthalpy[site], scratch[12], size, k_frozen[site], k_unfrozen[site], c_frozen[site],
                    c_unfrozen[site], latent, freezing_point[site], dissolved[site], bottom[site], t_eq[site, hour],
                    outer[site, hour], 3600.0 / steps_per_hour, scratch,
                ):  # fmt: skip
                    solved[site] = False
            weakly = strongly = held = 0.0
            for i in range(n):
                if inside[i] <= 0.0 and i != pan:
                    continue
                heat = _heat(
                    enthalpy[site, i],
                    freezing_point[site, i],
                    latent[i],
                    c_unfrozen[site, i],
                    c_frozen[site, i],
                    dissolved[site, i],
                )
                if i == pan:
                    out[site, hour, 3] = heat
                share = _ice(enthalpy[site, i], heat, freezing_point[site, i], latent[i], dissolved[site, i])
                # With solute a cell freezes throughout, to a share; without, a front passes through it.
                full, part = (
                    (water[site, i] * share, 1.0 if share > 0.0 else 0.0)
                    if dissolved[site, i]
                    else (water[site, i], share)
                )
                if full >= weak:
                    weakly += part * inside[i]
                    held += part * inside[i] * full
                if full >= strong:
                    strongly += part * inside[i]
            out[site, hour, 0], out[site, hour, 1], out[site, hour, 2] = weakly, strongly, held
