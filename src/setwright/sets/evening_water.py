"""What the water leaves of the wait to a set: depth over the pan, bands of the level, under or not, ice."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.spread import points
from setwright.basis.verdict import Answer, Standing
from setwright.sets.context import Context, Floats, limit
from setwright.sets.fire import pan_depth
from setwright.sets.level import change, window
from setwright.sets.model import Rig
from setwright.sets.result import CheckResult
from setwright.sets.submerge import is_intended, submersion
from setwright.sets.under import band_of, cures_of, takes_under
from setwright.water import tables as water_tables
from setwright.water.bands import Band, LevelShares, PanState, level_shares, pan_state, working_band
from setwright.water.cures import Cure
from setwright.water.freeze_in import FreezeIn, IceCourse, freezes_in, ice_course, predicted_guideline
from setwright.water.ice import IceVerdict
from setwright.water.reset import Act, Advice, advise_level, best_pan_depth

# Growth of ice over any water from sheltered to windy, and conductances of young ice: keys of the ice table.
SLOWEST, FASTEST, YOUNG = "small-rapid-river", "windy-lake", "young-ice"
# Water left between the thickest ice and the pan [m].
UNDER_ICE = 0.005


@dataclass(frozen=True, eq=False)
class Ice:
    """Ice that may form over the pan: its course, when it reaches the pan [h], what a guideline says of it."""

    course: IceCourse
    freeze: FreezeIn
    verdict: IceVerdict


@dataclass(frozen=True, eq=False)
class WaterEvening:
    """Water over one wait.

    `state` is what the water over the pan makes of most hours, `works` the share of hours inside the foot's window
    by draw, shape (n,); `shares` all states. `under` answers whether it takes the animal under at every level, None
    where that is not meant; `under_why` are the checks that stand against it. `band_works` and `band_under` are
    levels less the level when set [m]; `change` the level by hour at its 5 %, 50 % and 95 % point [m], shape
    (3, h + 1). `cures` make it take under, cheapest first; `deeper` is a depth over the pan that keeps it under the
    ice and in the window, where it would freeze in.
    """

    state: PanState
    works: Floats
    shares: LevelShares | None
    under: Answer | None
    under_why: tuple[CheckResult, ...]
    band_works: tuple[float, float] | None
    band_under: tuple[float, float] | None
    change: Floats
    level_known: bool
    advice: Advice
    reset_depth: float
    cures: tuple[Cure, ...]
    deeper: Say | None
    ice: Ice | None
    ice_why: Say | None


def water_evening(context: Context, rig: Rig, *, cured: bool = True) -> WaterEvening:
    """Water over the wait of one set; without `cured` no changes are looked for, which takes most of the time."""
    moved = change(context)
    level = context.conditions.level
    depth, ends = pan_depth(context), window(context)
    meant = is_intended(context, rig)
    under = takes_under(context, rig) if meant else None
    why: tuple[CheckResult, ...] = ()
    if under is not None and under is not Answer.MEETS:
        why = tuple(check for check in submersion(context, rig).checks if check.standing is not Standing.SOUND)
    band = band_of(context, rig) if meant else None
    quantiles = np.quantile(moved, (0.05, 0.5, 0.95), axis=0)
    ice, ice_why = _ice(context)
    shares, state, works = None, PanState.UNKNOWN, np.full(context.n, np.nan)
    advice, reset = Advice(Act.UNKNOWN, Say("cannot tell: pan depth, soundings or level are not known")), np.nan
    found_cures = cures_of(context, rig) if cured and meant and under is not Answer.MEETS else ()
    band_works, deeper = None, None
    if depth.known and ends is not None:
        low, high = ends
        drawn = context.drawn("pan depth", depth.with_spread(0.15))
        shares = level_shares(drawn, moved, low, high, band)
        works = np.asarray(shares.works)
        states = pan_state(drawn, moved, low, high)
        state = _most(states, works)
        ends_now = working_band(depth.number, low, high)
        band_works = (float(ends_now.low), float(ends_now.high))
        reset, share = best_pan_depth(moved, low, high)
        # Whether it takes under is answered by itself, with its own cures: the level is judged by the foot's window.
        advice = advise_level(
            float(np.mean(works)), None, works_reset=share, reset_depth=reset, least=limit("order")
        )  # fmt: skip
        deeper = None if ice is None else _deeper(context, ice, moved, ends)
    return WaterEvening(
        state, works, shares, under, why, band_works, _under_band(band), np.asarray(quantiles), level is not None,
        advice, reset, found_cures, deeper, ice, ice_why,
    )  # fmt: skip


def _deeper(context: Context, ice: Ice, moved: Floats, ends: tuple[float, float]) -> Say | None:
    """A depth in the foot's window that the ice does not reach before the check; None where none is needed or is."""
    low, high = ends
    if float(ice.freeze.first) > context.check.hours:
        return None
    wanted = max(float(ice.course.most[..., -1]) + UNDER_ICE, low)
    if wanted > high:
        return None
    share = float(np.mean(level_shares(np.full(moved.shape[0], wanted), moved, low, high).works))
    if share < limit("order"):
        return None
    return Say(
        "bed the pan {depth:length} under: below the ice that may grow, in the window {share:share} of the hours",
        depth=wanted, share=share,
    )  # fmt: skip


def _most(states: np.ndarray[tuple[int, ...], np.dtype[np.str_]], works: Floats) -> PanState:
    """The state of most hours; *works* only where it does so for as large a share as the chain asks."""
    if float(np.mean(works)) >= limit("order"):
        return PanState.WORKS
    words, counts = np.unique(states, return_counts=True)
    others = [(int(count), str(word)) for word, count in zip(words, counts, strict=True) if word != PanState.WORKS]
    return PanState(max(others)[1]) if others else PanState.UNKNOWN


def _under_band(band: Band | None) -> tuple[float, float] | None:
    """Levels at which all but one draw in twenty take under; None where that is not known."""
    if band is None or bool(np.isnan(band.low).any()):
        return None
    return points(np.asarray(band.low))[2], points(np.asarray(band.high))[0]


def _ice(context: Context) -> tuple[Ice | None, Say | None]:
    """Ice over the pan in the coming hours; None with the reason where it cannot be told or none can form."""
    night, water = context.conditions.night, context.conditions.water_temperature
    depth = pan_depth(context)
    if night is None:
        return None, Say("no weather: ice over the pan cannot be told")
    if float(np.min(night.air)) >= 0.0:
        return None, None
    if water is None or water.value is None or not depth.known:
        return None, Say("take the water's temperature and the depth over the pan: when it freezes in cannot be told")
    table = water_tables.ice()
    film = table.get(YOUNG, "film")
    course = ice_course(
        night.air, depth=max(depth.number, 0.01), water_temperature=max(water.value, 0.0),
        growth_low=float(table.get(SLOWEST, "growth").low or table.number(SLOWEST, "growth")),
        growth_high=table.number(FASTEST, "growth"), film=film.number, film_low=float(film.low or film.number),
        film_high=float(film.high or film.number),
    )  # fmt: skip
    verdict = predicted_guideline(course, 1.0, water_tables.ice_use("on-foot"))
    return Ice(course, freezes_in(course, depth.number), verdict), None
