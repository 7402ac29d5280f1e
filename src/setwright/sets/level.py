"""What the water level may do between setting and check."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from setwright.animal.model import Species
from setwright.basis.say import Say
from setwright.basis.source import Source, assumed
from setwright.basis.verdict import Standing
from setwright.sets.context import Context, Floats, limit
from setwright.sets.fire import pan_depth
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.water import tables as water_tables
from setwright.water.odds import change_draws

UNTOLD = assumed("no level record: level taken to stay")
# Even times of a wait at which the pan is looked at.
EVEN = 97


def change(context: Context) -> Floats:
    """Level less the level when set by hour of the wait [m], shape (n, hours + 1); zero throughout without a record.

    Every draw is one whole wait of the record, so that its rise, its fall and its hours belong together. One creek:
    the same wait goes to every set on it.
    """
    level = context.conditions.level
    hours = max(1, round(context.check.hours))
    if level is None:
        return np.zeros((context.n, hours + 1))
    water = context.site.water
    scale = 1.0 if water is None else water.level_scale

    def made() -> Floats:
        return change_draws(level.hourly, hours, context.shared.uniform("level"), where=level.counts)

    return scale * context.line_kept.get(("level", hours), made)


def _origin(context: Context, what: str) -> tuple[Origin, bool]:
    level = context.conditions.level
    source: Source = UNTOLD if level is None else level.source
    water = context.site.water
    if level is not None and water is not None and not water.level_scale_stated:
        source = replace(source, text=f"{source.text}; taken to move here as at the gauge")
    return Origin(what, source), level is not None


def fall(context: Context) -> tuple[Floats, Origin, bool]:
    """Greatest fall within the interval [m], shape (n,), its origin, and whether a record stands behind it."""
    return np.asarray(-change(context).min(axis=1)), *_origin(context, "fall of the level")


def rise(context: Context) -> tuple[Floats, Origin, bool]:
    """Greatest rise within the interval [m], shape (n,), its origin, and whether a record stands behind it."""
    return np.asarray(change(context).max(axis=1)), *_origin(context, "rise of the level")


def window(context: Context) -> tuple[float, float] | None:
    """Least and greatest water over the pan [m] at which the target's foot comes down on it; None where not known."""
    key = window_key(context)
    if key is None:
        return None
    table = water_tables.windows()
    return table.number(key, "depth_low"), table.number(key, "depth_high")


def window_key(context: Context) -> str | None:
    """Row of the pan-depth table for this animal and foot, or None when there is none."""
    key = row_of(context.target, context.site.foot)
    return key if key in water_tables.windows() else None


def row_of(species: Species, foot: str) -> str:
    """Row that the pan-depth table would have for this animal and foot."""
    short = species.key.removeprefix("river_").split("_")[0]
    return f"{short}-{foot}"


def level_order(context: Context, times: Floats) -> Floats | None:
    """Part of each hour in which the pan lies at a depth that the target's foot reaches, shape (n, h).

    `times` are the middles of the hours as shares of the wait; the level goes as in the draw's wait of the record.
    None on land, and where depth or window is not known: then nothing is taken off.
    """
    ends = window(context)
    depth = pan_depth(context)
    if context.site.medium != "water" or ends is None or not depth.known:
        return None
    moved = change(context)
    last = moved.shape[1] - 1
    place = np.clip(np.asarray(times, dtype=float) * last, 0.0, last)
    low = np.minimum(place.astype(int), max(last - 1, 0))
    part = place - low
    path = (1.0 - part) * moved[:, low] + part * moved[:, low + 1]
    path = context.drawn("pan depth", depth.with_spread(0.15))[:, None] + path
    return np.asarray((path >= ends[0]) & (path <= ends[1]), dtype=float)


def level_share(context: Context) -> tuple[Floats, CheckResult | None]:
    """Share of the wait in which the pan lies at a depth that this foot reaches, shape (n,), and its check.

    The level goes hour by hour as in whole waits of the record; hours outside the window are off the clock.
    """
    if context.site.medium != "water":
        return np.ones(context.n), None
    depth = pan_depth(context)
    name = plain_name(context.target)
    if not depth.known:
        return np.ones(context.n), check_unknown(
            "pan depth",
            "length",
            Say("the depth of water over the pan is not written down"),
            Say("measure the water over the pan"),
            limit=limit("order"),
        )
    ends = window(context)
    if ends is None:
        return np.ones(context.n), check_unknown(
            "pan depth",
            "length",
            Say("no pan depth is known for {animal:word}", animal=name),
            Say("log at which depth {animal:word} fires the pan", animal=name),
            limit=limit("order"),
        )
    low, high = ends
    source = water_tables.windows().get(str(window_key(context)), "depth_low").source
    dropped, origin, told = fall(context)
    risen, _, _ = rise(context)
    order = level_order(context, np.linspace(0.0, 1.0, EVEN))
    share = np.ones(context.n) if order is None else order.mean(axis=1)
    origins = (Origin("pan depth", depth.source), Origin("depth window", source), origin)
    where = depth.number
    if where < low or where > high:
        why = Say(
            "{depth:length} over the pan; a {foot:word} foot of {animal:word} needs {low:length} to {high:length}",
            depth=where,
            foot=context.site.foot,
            animal=name,
            low=low,
            high=high,
        )
    else:
        why = Say(
            "{depth:length} over the pan, window {low:length} to {high:length}; level moves {down:length} down, "
            "{up:length} up in one wait of twenty",
            depth=where,
            low=low,
            high=high,
            down=float(np.quantile(dropped, 0.95)),
            up=float(np.quantile(risen, 0.95)),
        )
    mend = Say("bed the pan at {middle:length} below the level", middle=0.5 * (low + high))
    check = check_margin("pan depth", share, limit("order"), "share", why, mend=mend, origins=origins)
    if not told and check.standing is Standing.SOUND:
        check = check_unknown(
            "pan depth",
            "share",
            Say("right now; how far the level may move is not known"),
            Say("read a gauge or mark a stake for some days"),
            origins=origins,
            limit=limit("order"),
        )
    return np.asarray(share, dtype=float), check
