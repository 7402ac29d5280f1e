"""A swimmer's chest on the pan: it fires the trap before a foot does, and nothing is held."""

from __future__ import annotations

import numpy as np

from setwright.animal.model import Species
from setwright.animal.placing import chest_chance
from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.sets.context import Context, Floats, limit
from setwright.sets.fire import pan_depth
from setwright.sets.level import change, row_of
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin
from setwright.water import tables as water_tables

UNSTATED = assumed("how far the pan lies off the line of travel was not written down: from none to the usual")


def _usual(context: Context, species: Species) -> float | None:
    """Usual distance off the line of travel [m] of an animal whose chest is known to fire pans; else None."""
    row, table = row_of(species, context.site.foot), water_tables.windows()
    if context.site.medium != "water" or row not in table or "chest_low" not in table.record(row):
        return None
    return table.number(row, "off_centre")


def _off_centre(context: Context, usual: float) -> Floats:
    water = context.site.water
    if water is None or water.off_centre is None:
        return context.draws.between("off centre", 0.0, usual)
    return np.asarray(context.drawn("off centre", water.off_centre.with_spread(0.15)))


def chest_share(context: Context, species: Species) -> Floats:
    """Share of passings in which the chest fires the pan, shape (n,); zero on land and for animals that wade.

    The mean over the wait, as the level goes; zero where nobody knows the depth over the pan: another check asks it.
    """
    usual, depth = _usual(context, species), pan_depth(context)
    if usual is None or not depth.known:
        return np.zeros(context.n)
    aside = _off_centre(context, usual)
    over = context.drawn("pan depth", depth.with_spread(0.15))[:, None] + change(context)
    return np.asarray(chest_chance(over, aside[:, None]).mean(axis=1))


def chest_check(context: Context) -> CheckResult | None:
    """Check that the target's foot comes before its chest; None where no chest is known to fire a pan."""
    target = context.target
    usual, depth = _usual(context, target), pan_depth(context)
    if usual is None or not depth.known:
        return None
    stated = context.site.water is not None and context.site.water.off_centre is not None
    aside = float(np.median(_off_centre(context, usual)))
    grounds = water_tables.windows().get(row_of(target, context.site.foot), "chest_low").source
    share = context.kept.get(("chest", target.key), lambda: chest_share(context, target))
    return check_margin(
        "chest",
        1.0 - share,
        limit("chest"),
        "share",
        Say(
            "{depth:length} over the pan, {aside:length} off the line of travel: the chest of a {animal:word} fires "
            "it in {share:number} of 100 passings",
            depth=depth.number, aside=aside, animal=plain_name(target), share=100.0 * float(np.median(share)),
        ),
        mend=Say(
            "bed the pan {aside:length} off the line of travel, shallower for a front foot or deeper for a hind foot",
            aside=usual,
        ),
        origins=(
            Origin("pan depth", depth.source),
            Origin("off the line of travel", depth.source if stated else UNSTATED),
            Origin("where a chest grounds", grounds),
        ),
    )  # fmt: skip
