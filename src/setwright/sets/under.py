"""Is it a submersion set in the eyes of law and welfare, at which levels, and what would make it one?"""

from __future__ import annotations

import numpy as np

from setwright.basis.verdict import Answer, Standing
from setwright.sets.context import Context, limit
from setwright.sets.deep_end import deep_end
from setwright.sets.level import fall
from setwright.sets.model import Rig
from setwright.sets.submerge import DRAGGED, is_intended, limb_reach, nose_height, profile_of, slide_of, submersion
from setwright.water.bands import Band, submerging_band
from setwright.water.cures import Cure, cures
from setwright.water.demand import Demand
from setwright.water.submersion import Slide, dragged


def takes_under(context: Context, rig: Rig) -> Answer:
    """Whether the set holds the animal under at every level of the wait; *breaks* too where none is meant.

    What does not meet this is a set that holds alive, in law and in welfare.
    """
    if not is_intended(context, rig):
        return Answer.BREAKS
    found = submersion(context, rig)
    share = float(found.share[0])
    if np.isnan(share):
        return Answer.CANNOT_TELL
    if share < 0.5:
        return Answer.BREAKS
    unsettled = any(check.standing is Standing.CANNOT_TELL for check in found.checks)
    return Answer.MEETS if share >= limit("submerge") and not unsettled else Answer.CANNOT_TELL


def demand_of(context: Context, rig: Rig) -> Demand | None:
    """What must hold at the set, for the cures and the band of levels; None without a slide cable."""
    if rig.slide is None:
        return None
    reach, _ = limb_reach(context)
    standing, _ = nose_height(context, reach)
    end = deep_end(context, rig.slide.deep_anchor)
    rare = 1.0 - limit("submerge")
    drawn = np.inf if float(np.mean(end.lost)) > rare else DRAGGED if float(np.mean(end.dragged)) > rare else 0.0
    return Demand(
        reach=reach, nose_height=standing, fall=fall(context)[0],
        wave=context.site.water.wave if context.site.water is not None else 0.0,
        margin=context.own_figure("clear"), drawn=float(drawn), share=limit("submerge"), clearance=0.0,
    )  # fmt: skip


def cures_of(context: Context, rig: Rig, step: float = 0.1) -> tuple[Cure, ...]:
    """Changes after which the set takes the animal under, cheapest first; empty when it does, or nothing helps."""
    profile, demand = profile_of(context), demand_of(context, rig)
    if profile is None or demand is None or rig.slide is None:
        return ()
    return cures(profile, slide_of(rig, rig.slide), demand, step=step)


def band_of(context: Context, rig: Rig) -> Band | None:
    """Levels, less the level when set, at which the set takes the animal under, shape (n,); None when not known.

    With the deep end where it lies and, where the animal draws it, where it is drawn to.
    """
    profile, demand = profile_of(context), demand_of(context, rig)
    if profile is None or demand is None or rig.slide is None:
        return None
    slide = slide_of(rig, rig.slide)

    def band(lying: Slide) -> Band:
        return submerging_band(
            profile, lying, reach=demand.reach, nose_height=demand.nose_height, margin=demand.margin, wave=demand.wave
        )

    found = band(slide)
    if np.isinf(demand.drawn):
        return Band(np.full(context.n, np.inf), found.high)
    if demand.drawn > 0:
        if slide.anchor_x - demand.drawn <= slide.stop_length:
            return Band(np.full(context.n, np.inf), found.high)
        found = Band(np.fmax(found.low, band(dragged(slide, demand.drawn)).low), found.high)
    return found
