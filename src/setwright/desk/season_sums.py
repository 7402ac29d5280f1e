"""Sums of the season book that need the user's accounts: money, beaver colonies, a job to quote."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from setwright.desk import season_document as doc
from setwright.desk.season_accounts import Accounts
from setwright.desk.season_parts import as_fished
from setwright.log import clearing, cluster
from setwright.log import money as moneys
from setwright.log.colony import colony_range
from setwright.log.harvest import Animal
from setwright.log.waits import Waits

LIKELY, SURE = 0.5, 0.9


def money(accounts: Accounts | None, caught: Sequence[Animal], waits: Waits) -> doc.Money | None:
    """Margin of this season and of another like it; None without prices."""
    if accounts is None or not accounts.prices:
        return None
    sold = Counter(one.species for one in caught if one.target and one.species in accounts.prices)
    keys = [key for key in accounts.prices if sold[key]]
    prices = [accounts.prices[key].price() for key in keys]
    rows = accounts.costs.rows()
    costs = sum(amount for _, amount in rows)
    counts = [float(sold[key]) for key in keys]
    place = np.unique(waits.labels["set_id"], return_inverse=True)[1]
    scatter = cluster.dispersion(np.bincount(place, waits.target.astype(float)), np.bincount(place, as_fished(waits)))
    scatter = max(float(scatter), 1.0) if np.isfinite(scatter) else 1.0
    this = moneys.margin(counts, prices, costs, accounts.commission)
    another = moneys.margin(counts, prices, costs, accounts.commission, scatter=scatter)
    unpriced = sorted({one.species for one in caught if one.target and one.species} - set(accounts.prices))
    say = f"chance of a loss {this.loss:.0%} this season, {another.loss:.0%} in another like it"
    if unpriced:
        say += f"; without a price: {', '.join(unpriced)}"
    return doc.Money(
        currency=accounts.currency, gross_animals={key: sold[key] for key in keys}, costs=costs, cost_rows=rows,
        this=(this.median, this.low, this.high), this_loss=this.loss,
        another=(another.median, another.low, another.high), another_loss=another.loss,
        break_even=this.break_even if np.isfinite(this.break_even) else None, say=say,
    )  # fmt: skip


def colonies(accounts: Accounts | None, caught: Sequence[Animal]) -> doc.ColonyRange | None:
    """Beavers of the colonies that were counted; None where none were."""
    if accounts is None or accounts.colonies is None:
        return None
    taken = sum(one.species == "beaver" for one in caught)
    found = colony_range(accounts.colonies, taken)
    say = (
        f"{found.colonies} colonies hold {found.low:.0f} to {found.high:.0f} beavers by published means; {taken} "
        f"taken, {found.share_low:.0%} to {found.share_high:.0%}. A trial cut colonies by about half in three years "
        f"with {found.cut_low:.0f} to {found.cut_high:.0f} of so many a year, and the shares often quoted as "
        f"bearable, {found.quoted_low:.0f} to {found.quoted_high:.0f}, lie on the same range: no number is safe."
    )
    return doc.ColonyRange(
        colonies=found.colonies, taken=taken, low=found.low, high=found.high, share_low=found.share_low,
        share_high=found.share_high, say=say,
    )  # fmt: skip


def job(accounts: Accounts | None, waits: Waits) -> doc.Job | None:
    """A job to quote by what this log has caught of its target; None without a job."""
    if accounts is None or accounts.job is None:
        return None
    entry = accounts.job
    here = waits.labels["target"] == entry.target
    caught, effort = float(waits.target[here].sum()), float(as_fished(waits)[here].sum())
    if effort <= 0:
        return None
    present = max(0.5 * (entry.fewest + entry.most), 1.0)
    nights = np.arange(1, max(entry.nights, 21) + 1)
    odds = clearing.odds_of_clearing(caught, effort, present, [entry.fewest, entry.most], entry.sets, nights)
    few, many = odds[0], odds[1]
    at = entry.nights - 1
    made = clearing.quote(
        entry.nights, entry.check_days, entry.visit_cost, entry.gear, entry.disposal, entry.margin,
        (float(few[at]), float(many[at])),
    )  # fmt: skip
    say = (
        f"{made.visits} visits, {made.price:.0f} {accounts.currency}: all of {entry.fewest} animals are taken within "
        f"{entry.nights} nights with a chance of {few[at]:.0%}, all of {entry.most} with {many[at]:.0%}. "
        f"{_until(few, nights, entry.fewest)}; {_until(many, nights, entry.most)}. The rate is that of this log "
        f"({caught:.0f} in {effort:.0f} trap-nights), taken at places with about as many animals."
    )
    return doc.Job(
        animals=(entry.fewest, entry.most), sets=entry.sets, nights=[int(k) for k in nights],
        odds_few=[float(x) for x in few], odds_many=[float(x) for x in many], quoted_nights=entry.nights,
        visits=made.visits, price=made.price, currency=accounts.currency, say=say,
    )  # fmt: skip


def _until(odds: np.ndarray, nights: np.ndarray, animals: int) -> str:
    words = []
    for share in (LIKELY, SURE):
        reached = np.flatnonzero(odds >= share)
        words.append(
            f"{share:.0%} by night {nights[reached[0]]}" if reached.size else f"{share:.0%} not within {nights[-1]}"
        )
    return f"{animals}: {', '.join(words)}"
