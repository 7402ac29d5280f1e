"""hold: do grip, tackle, anchor and submersion rig hold, without harm?"""

from __future__ import annotations

import numpy as np

from setwright.animal.model import Species
from setwright.basis.say import Say
from setwright.basis.spread import normal_cdf
from setwright.sets import submerge
from setwright.sets.context import Context, Floats, limit
from setwright.sets.lunged import pull
from setwright.sets.mechanics import grip
from setwright.sets.model import Rig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown
from setwright.sets.strength import Strengths, strengths_here

G = 9.80665
# A foot that is caught is let go by one in fifty even from a locked trap: a toe, a bad hold.
BEST_GRIP = 0.98


def grip_share(context: Context, rig: Rig, species: Species) -> Floats:
    """P(the grip outlasts the fight), shape (n,).

    Clamp force over body weight against the ratio at which half pull out; a locked trap needs its ring
    broken. A calibration on few published holding rates: it ranks rigs.
    """
    padded = rig.trap.has_jaws("padded") is True
    return context.kept.get(
        ("grip", species.key, rig.trap.dimensions, padded), lambda: _grip_share(context, rig, species, padded)
    )


def _grip_share(context: Context, rig: Rig, species: Species, padded: bool) -> Floats:
    hind = context.site.foot == "hind"
    limb = species.grip_thickness_hind if hind else species.grip_thickness_fore
    if not limb.known:
        limb = species.grip_thickness_fore
    if not limb.known:
        return np.full(context.n, np.nan)
    thickness = context.drawn(f"limb.{species.key}", limb.with_spread(0.25))
    found = grip(context, rig.trap, thickness)
    middle = np.sqrt(np.maximum(found.closing_force, 0.0) * np.where(found.locked, 1.0, found.opening_force))
    weight = context.mass(species) * G
    half = context.shared_figure("grip_padded" if padded else "grip_steel")
    slope = context.shared_figure("grip_slope")
    held = (found.closing_force > 0) & np.isfinite(middle)
    ratio = np.where(held & (middle > 0), middle, 1.0) / weight
    share = normal_cdf(np.log(ratio / half) / slope)
    share = np.where(found.locked & (found.closing_force > 0), 1.0, np.where(held, share, 0.0))
    return np.asarray(BEST_GRIP * share)


def lunges_survived(context: Context, strength: Floats, median_pull: Floats) -> Floats:
    """P(no lunge of the fight exceeds the strength), shape (n,); all lunges share one strength."""
    sigma = context.shared_figure("lunge_sigma")
    lunges = context.own_figure("lunges")
    with np.errstate(divide="ignore", invalid="ignore"):
        z = np.log(np.where(strength > 0, strength, np.nan) / median_pull) / sigma
    return np.where(np.isnan(z), np.where(np.isnan(strength), np.nan, 0.0), normal_cdf(np.nan_to_num(z)) ** lunges)


def hold_link(context: Context, rig: Rig) -> LinkResult:
    """P(held to the check as intended | taken), every species; submersion counts where it is intended."""
    found = strengths_here(context, rig)
    intended = submerge.is_intended(context, rig)
    under = submerge.submersion(context, rig) if intended else None
    by_species: dict[str, Floats] = {}

    def unknown(what: str) -> Floats:
        """What nothing is known of may hold always or never."""
        return context.draws.uniform(f"unknown.{what}")

    def told(what: str, share: Floats, best: float = 1.0) -> Floats:
        missing = np.isnan(share)
        return np.where(missing, best * unknown(what), share) if missing.any() else share

    for key, species in context.species.items():
        gripped = grip_share(context, rig, species)
        peak = pull(context, rig, species, found.stiffness)
        weakest = np.fmin(found.anchor, found.tackle)
        stays = lunges_survived(context, weakest, peak)
        stays = stays if not np.isnan(found.anchor).any() else np.nan_to_num(stays, nan=1.0) * unknown("anchor")
        share = told("grip", gripped, BEST_GRIP) * told("tackle", stays)
        if under is not None and key in submerge.SUBMERGED:
            share = share * told("submersion", under.share)
        elif key in submerge.WRINGS_OUT and context.site.foot == "fore":
            share = share * (1.0 - context.drawn_share("wring_out", context.figure("wring_out")))
        by_species[key] = np.asarray(share)
    target = context.target
    checks: list[CheckResult] = [
        _grip_check(context, rig),
        *_strength_checks(context, found, pull(context, rig, target, found.stiffness)),
    ]
    if under is not None:
        checks.extend(under.checks)
    elif target.key in submerge.WRINGS_OUT:
        checks.append(
            check_margin(
                "wring-out",
                1.0 - context.drawn_share("wring_out", context.figure("wring_out")),
                limit("hold"),
                "share",
                Say("a {animal:word} held alive in shallow water wrings out", animal=plain_name(target)),
                mend=Say("rig it so that the animal is held under at once, where that is lawful"),
                origins=(Origin("wring-out", context.figure("wring_out").source),),
            )
        )
    return LinkResult("hold", by_species[target.key], "share", limit("hold"), tuple(checks), by_species)


def _grip_check(context: Context, rig: Rig) -> CheckResult:
    target = context.target
    share = grip_share(context, rig, target)
    limb = target.grip_thickness_hind if context.site.foot == "hind" else target.grip_thickness_fore
    origins = (
        Origin("limb thickness", limb.source),
        Origin("spring and jaws", rig.trap.spread.source),
        Origin("grip that holds", context.figure("grip_steel").source),
    )
    if np.isnan(share).any():
        return check_unknown(
            "grip",
            "share",
            Say("no limb thickness is known for {animal:word}", animal=plain_name(target)),
            Say("measure the limb of a {animal:word} where the jaws take it", animal=plain_name(target)),
            origins=origins,
            limit=limit("hold"),
        )
    thickness = context.drawn(f"limb.{target.key}", limb.with_spread(0.25))
    found = context.kept.get(
        ("clamp", rig.trap.knowledge, rig.trap.dimensions), lambda: grip(context, rig.trap, thickness)
    )
    locked = float(np.mean(found.locked))
    slips = float(np.mean(found.closing_force <= 0))
    if slips > 0.5:
        why = Say(
            "the gap of {gap:length} is as wide as the limb: it slides through",
            gap=float(np.max(rig.trap.dimensions.offset_gap)),
        )
    elif locked > 0.5:
        why = Say("the loops stand so high that the jaws lock: the ring would have to break")
    else:
        opens = found.opening_force[np.isfinite(found.opening_force)]
        why = Say(
            "between {low:force} and {high:force} at the bar, for comparing rigs, not locked",
            low=float(np.median(found.closing_force)),
            high=float(np.median(opens)) if opens.size else float("nan"),
        )
    return check_margin(
        "grip",
        share,
        limit("hold"),
        "share",
        why,
        mend=Say("stronger springs, or jaws that meet closer on this limb"),
        origins=origins,
    )


def _strength_checks(context: Context, found: Strengths, peak: Floats) -> list[CheckResult]:
    hard = float(np.quantile(peak, 0.95))
    held, parts = found.held, found.parts
    checks: list[CheckResult] = []
    if np.isnan(held.force).any():
        ask = held.question or Say("name the anchor of this set")
        checks.append(check_unknown("anchor", "force", held.why, ask, origins=held.origins, limit=hard))
    else:
        why = Say(
            "{why:say}: about {strength:force} against lunges of {pull:force}, hard ones more",
            why=held.why, strength=float(np.median(held.force)), pull=float(np.median(peak)),
        )  # fmt: skip
        stays = lunges_survived(context, held.force, peak)
        checks.append(
            check_margin("anchor", stays, limit("anchor"), "share", why, mend=held.mend, origins=held.origins)
        )
    if parts.question is not None:
        checks.append(check_unknown("tackle", "force", parts.why, parts.question, origins=parts.origins, limit=hard))
    elif not np.isnan(parts.force).any():
        why = Say(
            "weakest part: {part:word}, about {strength:force} in a jerk against {pull:force}",
            part=parts.weakest, strength=float(np.median(parts.force)), pull=float(np.median(peak)),
        )  # fmt: skip
        mend = Say("replace the {part:word}", part=parts.weakest)
        stays = lunges_survived(context, parts.force, peak)
        checks.append(check_margin("tackle", stays, limit("anchor"), "share", why, mend=mend, origins=parts.origins))
    return checks
