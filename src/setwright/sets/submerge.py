"""Does the submersion rig take the held animal under, at every level of the interval?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.basis.verdict import Standing
from setwright.sets.context import Context, Floats, limit
from setwright.sets.deep_end import NAME, deep_end
from setwright.sets.level import fall
from setwright.sets.model import Rig, SlideRig
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.water import tables as water_tables
from setwright.water.ledges import Hold, LockStand, dry_ground, lock_stands
from setwright.water.profile import Profile
from setwright.water.submersion import (
    BreathingGround,
    DepthSum,
    Slide,
    bank_end_needed,
    breathing_ground,
    depth_sum,
    dragged,
    shortest_fix,
    slope_ok,
)

# Animals for which a submersion rig is made at all; every other animal that a set takes is held alive.
SUBMERGED = ("beaver", "muskrat", "mink", "river_otter", "nutria", "raccoon")
# The lock runs best on a cable that hangs clear of the bed by an inch.
CLEAR_OF_BED = 0.025
# Assumed: how far towards the shore a weight is drawn that does not hold a swimming animal.
DRAGGED = 0.5
WRINGS_OUT = ("muskrat", "mink")


@dataclass(frozen=True)
class Submersion:
    """P(held under), shape (n,); NaN when it cannot be told; the sums behind it."""

    share: Floats
    checks: tuple[CheckResult, ...]
    sum: DepthSum | None
    fix: float | None


def is_intended(context: Context, rig: Rig) -> bool:
    """True when the rig is meant to hold the animal under water."""
    return context.site.medium == "water" and rig.slide is not None


def profile_of(context: Context) -> Profile | None:
    """Bed profile from the soundings, or None when there are too few."""
    water = context.site.water
    if water is None or len(water.out) < 2:
        return None
    return Profile.from_depths(np.array(water.out), np.array(water.depth))


def slide_of(rig: Rig, slide: SlideRig) -> Slide:
    """The slide cable as the water room knows it; the stake stands at the waterline's dry side."""
    chain = rig.chain.length.number if rig.chain is not None else 0.3
    return Slide(
        stake_x=-0.3,
        stake_z=slide.bank_height,
        anchor_x=slide.deep_out,
        stop_length=slide.stop_back,
        chain=chain + 0.5 * rig.trap.spread.number,
    )


def limb_reach(context: Context) -> tuple[Floats, Origin]:
    """Held foot to nostrils of the target [m], shape (n,)."""
    target = context.target
    reach = target.reach_hind if context.site.foot == "hind" else target.reach_fore
    return context.drawn("reach", reach.with_spread(0.15)), Origin("held foot to nose", reach.source)


def nose_height(context: Context, reach: Floats) -> tuple[Floats, Origin]:
    """Height of the nose over ground on which the animal stands [m], shape (n,)."""
    table = water_tables.reaches()
    key = f"{context.target.key.removeprefix('river_').split('_')[0]}-{context.site.foot}"
    if key not in table:
        return reach, Origin("nose over the ground", assumed("as far as it reaches"))
    found = table.get(key, "nose_height")
    return context.drawn("nose", found), Origin("nose over the ground", found.source)


def submersion(context: Context, rig: Rig) -> Submersion:
    """Depth sum at the stop, ground on which the nose could stand out, and whether the deep end stays there."""
    nothing = np.full(context.n, np.nan)
    profile = profile_of(context)
    if profile is None or rig.slide is None:
        return Submersion(
            nothing,
            (
                check_unknown(
                    "depth sum",
                    "length",
                    Say("there are no soundings of this water"),
                    Say("sound the depth at 3, 6 and 9 ft out, and where the stop is to lie"),
                    limit=0.0,
                ),
            ),
            None,
            None,
        )
    slide = slide_of(rig, rig.slide)
    reach, origin = limb_reach(context)
    dropped, level_origin, level_told = fall(context)
    clear = context.own_figure("clear")
    wave = context.site.water.wave if context.site.water is not None else 0.0
    standing, nose_origin = nose_height(context, reach)

    def conditions(lying: Slide) -> tuple[DepthSum, Floats, BreathingGround, Floats]:
        total = depth_sum(profile, lying, reach=reach, margin=clear, fall=dropped, wave=wave)
        ground = breathing_ground(
            profile, lying, reach=reach + lying.chain, nose_height=standing, level=-dropped - 0.5 * wave
        )
        spare = np.broadcast_to(np.asarray(total.spare, dtype=float), (context.n,))
        return total, spare, ground, np.broadcast_to(np.asarray(ground.shortfall, dtype=float), (context.n,))

    total, spare, ground, nose = conditions(slide)
    if np.isnan(spare).any():
        return Submersion(
            nothing,
            (
                check_unknown(
                    "depth sum",
                    "length",
                    Say("the soundings do not reach as far out as the stop lies"),
                    Say("sound the depth where the stop is to lie"),
                    limit=0.0,
                ),
            ),
            total,
            None,
        )
    fix = shortest_fix(
        profile,
        slide,
        reach=float(np.quantile(reach, 0.95)),
        margin=float(clear.mean()),
        fall=float(np.quantile(dropped, 0.95)),
        wave=wave,
    )
    origins = (
        origin,
        nose_origin,
        level_origin,
        Origin("water required over the nose", context.figure("clear").source),
    )
    farther = None if fix is None or not np.isfinite(fix.farther_out) or fix.farther_out <= 0 else fix.farther_out
    mend = (
        Say("let the stop lie {farther:length} farther out, or shorten the chain", farther=farther)
        if farther is not None
        else Say("this water is too shallow within reach: another place, or a set that holds alive")
    )
    depth = float(np.median(np.broadcast_to(np.asarray(total.depth_at_stop, dtype=float), (context.n,))))
    why = Say(
        "{depth:length} at the stop, less a fall of {fall:length}, chain {chain:length} and limb {limb:length}",
        depth=depth,
        fall=float(np.quantile(dropped, 0.95)),
        chain=slide.chain,
        limb=float(np.median(reach)),
    )
    checks = [check_margin("depth sum", spare, 0.0, "length", why, mend=mend, origins=origins)]
    if not level_told:
        checks.append(
            check_unknown(
                "level",
                "length",
                Say("no level record: how far the water may fall is not known"),
                Say("read a gauge or mark a stake for some days"),
                origins=(level_origin,),
            )
        )
    end = deep_end(context, rig.slide.deep_anchor)
    left, left_nose = spare, nose
    if end.dragged.any():
        # Drawn up the bank the whole way, the stop lies in no water at all.
        ashore = slide.anchor_x - DRAGGED <= slide.stop_length
        _, nearer, _, nearer_nose = conditions(slide if ashore else dragged(slide, DRAGGED))
        nearer = spare - total.depth_at_stop if ashore else nearer
        left = np.where(end.dragged, np.minimum(spare, nearer), spare)
        left_nose = np.where(end.dragged, np.maximum(nose, standing if ashore else nearer_nose), nose)
    if end.check is not None:
        checks.append(end.check)
    else:
        words = Say(
            "{why:say}, which draws it {drag:length} nearer; the sum is made again there", why=end.why, drag=DRAGGED
        )
        margin = np.minimum(left, -left_nose)
        checks.append(check_margin(NAME, margin, 0.0, "length", words, mend=end.mend, origins=end.origins))
    if float(np.mean(nose <= 0.0)) < limit("submerge"):
        checks.append(
            check_margin(
                "breathing ground",
                -nose,
                0.0,
                "length",
                Say("within the animal's reach the bed comes up far enough to stand and breathe"),
                mend=mend,
                origins=origins,
            )
        )
    elif not bool(np.all(ground.sounded)):
        checks.append(
            check_unknown(
                "breathing ground",
                "length",
                Say("the soundings end within the animal's reach of the stop"),
                Say("sound the bed on all sides of the stop, as far as chain and limb reach"),
                origins=origins,
            )
        )
    stands = lock_stands(
        profile, slide, reach=reach, nose_height=standing, margin=clear, fall=dropped, wave=wave
    )[:-1]  # fmt: skip
    passed = np.ones(context.n, dtype=bool)
    for place in stands:
        spare_here = np.minimum(np.asarray(place.sum.spare), -np.asarray(place.ground.shortfall))
        passed &= np.asarray(np.broadcast_to(spare_here >= 0.0, (context.n,)))
    if stands and not passed.all():
        checks.append(_ledge(context, profile, slide, stands, origins))
    elif not slope_ok(profile, slide):
        needed = bank_end_needed(profile, slide, CLEAR_OF_BED)
        checks.append(
            CheckResult(
                "cable",
                Standing.THIN,
                None,
                None,
                None,
                "length",
                Say("the cable touches the bed or lies too flat to run the lock"),
                Say("tie the bank end {height:length} above the level, or more", height=needed),
                (),
            )
        )
    bars = dry_ground(profile, -float(np.quantile(dropped, 0.95)))
    if bars:
        why = Say("the bed climbs out of the water {out:length} out at the lowest level", out=bars[0][0])
        mend = Say("another place, or a line of soundings that clears it")
        checks.append(CheckResult("bed", Standing.THIN, None, None, None, "length", why, mend))
    held = np.where((left > 0) & (left_nose <= 0.0) & ~end.lost & passed, 1.0, 0.0)
    # Level and reach vary from wait to wait, so the share of draws that go under holds for each of them.
    return Submersion(np.full(context.n, float(np.mean(held))), tuple(checks), total, farther)


def _ledge(
    context: Context, profile: Profile, slide: Slide, stands: tuple[LockStand, ...], origins: tuple[Origin, ...]
) -> CheckResult:
    """The place before the stop where the lock may stand and the water does least."""

    def least(place: LockStand) -> Floats:
        margin = np.minimum(np.asarray(place.sum.spare), -np.asarray(place.ground.shortfall))
        return np.asarray(np.broadcast_to(margin, (context.n,)))

    worst = min(stands, key=lambda place: float(np.median(least(place))))
    what = "lies hard on an edge of the bed" if worst.why is Hold.EDGE else "lies too flat to run the lock"
    why = Say(
        "{out:length} out the tight cable {what:word}: the lock may stand there, in {depth:length} of water",
        out=worst.place.x, what=what, depth=-worst.place.z,
    )  # fmt: skip
    needed = bank_end_needed(profile, slide, CLEAR_OF_BED)
    mend = Say("tie the bank end {height:length} above the level, or more", height=needed)
    return check_margin("ledge", least(worst), 0.0, "length", why, mend=mend, origins=origins)
