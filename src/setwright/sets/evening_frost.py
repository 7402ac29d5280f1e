"""What frost leaves of the wait to a set on land: hours, the animal's share of them, the first one lost, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say
from setwright.ground.cover import fewest_lost
from setwright.sets.context import Context, Floats
from setwright.sets.frozen import night_of_draw
from setwright.sets.hours import hourly_shares, over_wait, wait_of
from setwright.sets.model import Rig
from setwright.sets.order import FOOT_SHARE, G, frost_order, frost_share, frozen_night
from setwright.sets.result import CheckResult

# Rows of the three forecasts: 2 K milder (and as far drier), as told, 2 K colder and wetter.
MILD, TOLD, HARD = 0, 1, 2
# A crust of this much over the pan is worth a word [m].
CRUST = 0.0005


@dataclass(frozen=True, eq=False)
class FrostEvening:
    """Frost over one wait.

    `check` is the chain's own, whose standing is the answer. `starts` and `widths` [h] are the hours of the wait,
    shape (h,); `in_order` the share of draws in which the trap is in order, shape (h,); `lost` the hours out of order
    by draw, `visits_lost` the share of the target's visits that falls into them, shape (n,). `crust` [m] and `out`
    are the crust and the hours out of order by forecast (mild, told, hard), shape (3, h).
    """

    check: CheckResult
    starts: tuple[datetime, ...]
    widths: Floats
    in_order: Floats
    lost: Floats
    visits_lost: Floats
    crust: Floats
    out: NDArray[np.bool_]
    cause: Say | None

    def first(self, forecast: int = TOLD) -> datetime | None:
        """First hour out of order by one of the three forecasts; None when there is none."""
        found = np.flatnonzero(self.out[forecast])
        return self.starts[int(found[0])] if found.size else None

    def hours_out(self, forecast: int) -> float:
        """Hours out of order by one of the three forecasts [h]."""
        return float(self.widths @ self.out[forecast])


def frost_evening(context: Context, rig: Rig) -> FrostEvening | None:
    """Frost over the wait of one set; None on water, and where nothing about frost is in question.

    Of a set whose frost cannot be told, `check` says why and nothing is lost.
    """
    _, check = frost_share(context, rig)
    if check is None:
        return None
    wait = wait_of(context)
    size = wait.widths.size
    order, night = frost_order(context, rig), frozen_night(context, rig)
    if order is None or night is None:
        unknown = np.full(size, np.nan)
        nothing = np.full(context.n, np.nan)
        return FrostEvening(
            check, wait.starts, wait.widths, unknown, nothing, nothing, np.full((3, size), np.nan),
            np.zeros((3, size), dtype=np.bool_), None,
        )  # fmt: skip
    foot = FOOT_SHARE * context.mass(context.target)[:, None] * G
    rises, crust = over_wait(order.free, size) > 0.5, over_wait(order.crust, size)
    good = rises & (crust <= foot)
    colder, _ = night_of_draw(context)
    # Draws of the colder third stand first in the chain.
    out = np.stack([np.mean(good[colder == row], axis=0) < 0.5 for row in (2, 1, 0)])
    visits = hourly_shares(context, context.target) * wait.widths
    total = float(visits.sum())
    gone = (~good) @ visits / total if total > 0 else np.zeros(context.n)
    by_forecast = np.stack([over_wait(night.thickness[row][None, :], size)[0] for row in (6, 4, 2)])
    return FrostEvening(
        check, wait.starts, wait.widths, good.mean(axis=0), np.asarray((~good) @ wait.widths), np.asarray(gone),
        by_forecast, out, _cause(rises, crust, foot, by_forecast),
    )  # fmt: skip


def _cause(rises: NDArray[np.bool_], crust: Floats, foot: Floats, thickness: Floats) -> Say | None:
    """What holds the trap: springs and jaws in the frozen bed, or a crust that the foot does not break."""
    held, roofed = float(np.mean(~rises)), float(np.mean(rises & (crust > foot)))
    if held == 0.0 and roofed == 0.0:
        return None
    thick = float(np.nanmax(thickness[TOLD]))
    if held >= roofed:
        return Say("jaws and springs frozen into the bed")
    return Say(
        "a crust of {thick:length} over the pan that {foot:force} of foot does not break", thick=max(thick, CRUST),
        foot=float(np.median(foot)),
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class CoverTried:
    """One cover in place of the set's own: key, the chain's check with it, hours lost by draw [h], shape (n,)."""

    key: str
    check: CheckResult
    lost: Floats


def covers_tried(context: Context, rig: Rig, covers: Sequence[str]) -> tuple[CoverTried, ...]:
    """The set with each cover that is carried, at the depth of its own."""
    found = []
    for key in covers:
        evening = frost_evening(context, replace(rig, cover=key, treated=None))
        if evening is not None and key != rig.cover:
            found.append(CoverTried(key, evening.check, evening.lost))
    return tuple(found)


def best_cover(tried: Sequence[CoverTried], most: float = 0.5) -> CoverTried | None:
    """The first cover in the order carried that loses no more than `most` hours, else the one that loses fewest."""
    if not tried:
        return None
    hours = np.array([[float(np.median(one.lost))] for one in tried])
    place = int(fewest_lost(hours, most)[0])
    return None if place < 0 else tried[place]
