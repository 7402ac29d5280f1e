"""What the water level may do between setting and check."""

from __future__ import annotations

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Source, assumed
from setwright.basis.verdict import Standing
from setwright.sets.context import Context, Floats, limit
from setwright.sets.fire import pan_depth
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.water import tables as water_tables
from setwright.water.stage import fall_draws, rise_draws

UNTOLD = assumed("no level record: level taken to stay")


def _drawn(context: Context, name: str) -> Floats:
    level = context.conditions.level
    if level is None:
        return np.zeros(context.n)
    function = fall_draws if name == "fall" else rise_draws
    water = context.site.water
    scale = 1.0 if water is None else water.level_scale
    hours = max(1, round(context.check.hours))
    # One creek: the same wait is a falling one for every set on it.
    return context.line_kept.get(
        ("level", name, hours, scale),
        lambda: np.asarray(function(level.hourly, hours, context.shared.uniform(f"level.{name}"))) * scale,
    )


def fall(context: Context) -> tuple[Floats, Origin, bool]:
    """Greatest fall within the interval [m], shape (n,), its origin, and whether a record stands behind it."""
    level = context.conditions.level
    source: Source = UNTOLD if level is None else level.source
    return _drawn(context, "fall"), Origin("fall of the level", source), level is not None


def rise(context: Context) -> tuple[Floats, Origin, bool]:
    """Greatest rise within the interval [m], shape (n,), its origin, and whether a record stands behind it."""
    level = context.conditions.level
    source: Source = UNTOLD if level is None else level.source
    return _drawn(context, "rise"), Origin("rise of the level", source), level is not None


def window_key(context: Context) -> str | None:
    """Row of the pan-depth table for this animal and foot, or None when there is none."""
    short = context.target.key.removeprefix("river_").split("_")[0]
    key = f"{short}-{context.site.foot}"
    return key if key in water_tables.windows() else None


def level_order(context: Context, times: Floats) -> Floats | None:
    """Part of each hour in which the pan lies at a depth that the target's foot reaches, shape (n, h).

    `times` are the middles of the hours as shares of the wait. A falling wait and a rising one count for half each.
    None on land, and where depth or window is not known: then nothing is taken off.
    """
    key = window_key(context)
    depth = pan_depth(context)
    if context.site.medium != "water" or key is None or not depth.known:
        return None
    table = water_tables.windows()
    low, high = table.number(key, "depth_low"), table.number(key, "depth_high")
    set_depth = context.drawn("pan depth", depth.with_spread(0.15))
    found = np.zeros((context.n, times.size))
    for moved in (-fall(context)[0], rise(context)[0]):
        path = set_depth[:, None] + moved[:, None] * times
        found += 0.5 * ((path >= low) & (path <= high))
    return found


def level_share(context: Context) -> tuple[Floats, CheckResult | None]:
    """Share of the wait in which the pan lies at a depth that this foot reaches, shape (n,), and its check.

    The level is taken to move evenly to its greatest fall and its greatest rise within the wait; hours
    outside the window are off the clock.
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
    key = window_key(context)
    if key is None:
        return np.ones(context.n), check_unknown(
            "pan depth",
            "length",
            Say("no pan depth is known for {animal:word}", animal=name),
            Say("log at which depth {animal:word} fires the pan", animal=name),
            limit=limit("order"),
        )
    table = water_tables.windows()
    low, high = table.number(key, "depth_low"), table.number(key, "depth_high")
    dropped, origin, told = fall(context)
    risen, _, _ = rise(context)
    # Twenty even times of the wait.
    order = level_order(context, np.linspace(0.0, 1.0, 20))
    share = np.ones(context.n) if order is None else order.mean(axis=1)
    origins = (Origin("pan depth", depth.source), Origin("depth window", table.get(key, "depth_low").source), origin)
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
