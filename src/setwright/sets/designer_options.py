"""What may be tried at one site: traps with their tuning, placements, covers and tackle, with the minutes of each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.sets import tables
from setwright.sets.changes import OUT, depths_to_try, narrower
from setwright.sets.context import Context, Kept, limit
from setwright.sets.evaluate import Person
from setwright.sets.fire import pan_depth
from setwright.sets.hold import lunges_survived
from setwright.sets.lunged import pull
from setwright.sets.model import AnchorRig, Chain, Rig, SlideRig, TrapRig, Treated
from setwright.sets.naming import cover_name
from setwright.sets.rank import Options, kinds
from setwright.sets.retune import (
    TRIED,
    more_springs,
    other_forces,
    other_jaws,
    tried,
    with_force,
    with_jaws,
    with_springs,
)
from setwright.sets.strength import strengths
from setwright.sets.submerge import CLEAR_OF_BED, SUBMERGED, profile_of, slide_of, submersion
from setwright.water.submersion import bank_end_needed

# Minutes of work, common practice and modelling choices: bench first, then at the site.
FORCE_MINUTES, SPRING_MINUTES, JAW_MINUTES = 5.0, 20.0, 45.0
MOVED_MINUTES, GUIDE_MINUTES, DEPTH_MINUTES = 5.0, 5.0, 10.0
COVER_MINUTES, BOARD_MINUTES, SLIDE_MINUTES = 12.0, 5.0, 20.0
ANCHOR_MINUTES = {"stake": 4.0, "crossed": 8.0, "plate": 10.0, "tree": 3.0, "sapling": 3.0, "weight": 5.0}
# Sets that can be made on any ground or bank; the others need a trail, a dam, a lodge, ice.
ANYWHERE = {"land": ("dirt-hole", "flat", "scent-post", "cubby"), "water": ("pocket", "castor-mound")}
MOUND_BUILDERS = ("beaver",)
# Tackle whose shares differ by less than this is alike.
STEP = 0.02
UNSET = Quantity(0.01, "m", TRIED)


@dataclass(frozen=True)
class Tuned:
    """A kind of owned trap after work on the bench; `forces` is it with its pan as read, then set otherwise."""

    trap_ids: tuple[str, ...]
    trap: TrapRig
    forces: tuple[TrapRig, ...]
    minutes: float
    words: tuple[Say, ...]


@dataclass(frozen=True)
class Placement:
    """A way to place the trap at the site, as a site of its own."""

    context: Context
    minutes: float
    words: tuple[Say, ...]


@dataclass(frozen=True)
class Bed:
    """What lies over and under the trap."""

    cover: str | None
    cover_depth: Quantity | None
    board: bool
    minutes: float
    words: tuple[Say, ...]
    treated: Treated | None = None


@dataclass(frozen=True)
class Tackle:
    """Chain, anchor and slide cable."""

    chain: Chain | None
    anchor: AnchorRig | None
    slide: SlideRig | None
    minutes: float
    words: tuple[Say, ...]


@dataclass(frozen=True)
class Pick:
    """One combination by the places of its parts in the menu."""

    tuned: int
    force: int
    placement: int
    bed: int
    tackle: int


@dataclass(frozen=True)
class Menu:
    """Everything that may be combined at a site; `tackle_seen` counts tackle before the no better was left out."""

    tuned: tuple[Tuned, ...]
    placements: tuple[Placement, ...]
    beds: tuple[Bed, ...]
    tackle: tuple[Tackle, ...]
    tackle_seen: int

    @property
    def sizes(self) -> tuple[int, int, int, int, int]:
        """Number of traps, of pan settings (the most of any trap), placements, beds and tackle."""
        forces = max((len(one.forces) for one in self.tuned), default=0)
        return len(self.tuned), forces, len(self.placements), len(self.beds), len(self.tackle)

    def rig(self, pick: Pick) -> Rig:
        """The rig of one combination."""
        lies, held = self.beds[pick.bed], self.tackle[pick.tackle]
        trap = self.tuned[pick.tuned].forces[pick.force]
        return Rig(
            trap, held.chain, held.anchor, held.slide, lies.cover, lies.cover_depth, lies.board, treated=lies.treated
        )

    def parts(self, pick: Pick) -> tuple[Tuned, Placement, Bed, Tackle]:
        """What one combination is made of."""
        return (
            self.tuned[pick.tuned],
            self.placements[pick.placement],
            self.beds[pick.bed],
            self.tackle[pick.tackle],
        )

    def minutes(self, pick: Pick) -> float:
        """Minutes of work on the bench and at the site."""
        return (FORCE_MINUTES if pick.force else 0.0) + sum(part.minutes for part in self.parts(pick))

    def words(self, pick: Pick) -> tuple[Say, ...]:
        """What is done to the trap and at the site, beyond setting it as it is."""
        tuned, placement, bed, tackle = self.parts(pick)
        said = list(tuned.words)
        if pick.force:
            said.append(Say("set the pan to {force:force}", force=tuned.forces[pick.force].trip_force.number))
        return (*said, *placement.words, *bed.words, *tackle.words)


def menu_of(context: Context, options: Options, standing: Rig | None, person: Person) -> Menu:
    """Everything of the outfit that may be combined at this site; `standing` is the rig stated there, or None."""
    tuned = tuple(_tuned(context, options))
    every = tuple(_tackle(context, options, standing))
    kept = _worth(context, tuned[0].trap, every, _asked(person)) if tuned else every
    return Menu(tuned, tuple(_placements(context)), tuple(_beds(context, options)), kept, len(every))


def _tuned(context: Context, options: Options) -> Iterator[Tuned]:
    medium = context.site.medium
    for group in kinds(options.traps).values():
        first, ids = group[0], tuple(trap.trap_id for trap in group)
        more = more_springs(first)
        for springs in (None, more) if more is not None else (None,):
            for jaws in (None, *other_jaws(first, medium)):
                trap, minutes, words = first, 0.0, []
                if springs is not None:
                    trap, minutes = with_springs(trap, springs), SPRING_MINUTES
                    words.append(Say("fit two more coils" if trap.family == "coil" else "fit a second spring"))
                if jaws is not None:
                    trap, minutes = with_jaws(trap, jaws), minutes + JAW_MINUTES
                    words.append(Say("give it {jaws:word} jaws", jaws=jaws))
                forces = (trap, *(with_force(trap, force) for force in other_forces(context, trap)))
                yield Tuned(ids, trap, forces, minutes, tuple(words))


def _placements(context: Context) -> Iterator[Placement]:
    site, types = context.site, tables.set_types()
    chosen = [site.set_type]
    for key in ANYWHERE[site.medium]:
        if key not in chosen and (key != "castor-mound" or site.target in MOUND_BUILDERS):
            chosen.append(key)
    for key in chosen:
        moved = key != site.set_type
        minutes = types.number(key, "minutes") / 60.0 + (MOVED_MINUTES if moved else 0.0)
        words: tuple[Say, ...] = ()
        at = context
        if moved:
            words = (Say("make it a {set:word}", set=types.text(key, "label")), *_baited(key))
            foot = types.text(key, "foot")
            at = _at(context, set_type=key, set_type_stated=True, foot=foot, lane_width=None, **_bait(context, key))
        yield Placement(at, minutes, words)
        narrow = narrower(at)
        if narrow is not None:
            said = Say("narrow the lane to {width:length} with guides", width=narrow)
            yield Placement(_at(at, lane_width=narrow), minutes + GUIDE_MINUTES, (*words, said))
        lane = types.text(key, "form") == "lane"
        yield from _depths(at, minutes, words, both_feet=lane)


def _depths(at: Context, minutes: float, words: tuple[Say, ...], *, both_feet: bool) -> Iterator[Placement]:
    """The pan at other depths: for the foot meant, and where animals pass along a lane for the other one."""
    water, foot = at.site.water, at.site.foot
    if water is None:
        return
    other = "hind" if foot == "fore" else "fore"
    for way in (foot, other) if both_feet else (foot,):
        taken = at if way == foot else _at(at, foot=way)
        now = pan_depth(taken)
        for depth in depths_to_try(taken):
            if way == foot and now.known and abs(now.number - depth) < 0.005:
                continue
            said = Say("bed the pan {depth:length} under the level, for a {foot:word} foot", depth=depth, foot=way)
            lower = replace(water, pan_depth=tried(depth, "m"))
            yield Placement(_at(taken, water=lower), minutes + DEPTH_MINUTES, (*words, said))


def _at(context: Context, **fields: Any) -> Context:
    return replace(context, site=replace(context.site, **fields), kept=Kept())


def _bait(context: Context, key: str) -> dict[str, Any]:
    """What draws animals to another set type: bait out of sight from above, lure, or nothing."""
    draws = tables.set_types().text(key, "draws")
    kind = "none"
    if draws.endswith("scented"):
        kind = "lure"
    elif draws.endswith("baited"):
        kind = "plant" if context.target.class_ == "rodent" else "meat"
    return {"bait": kind, "bait_visible": False}


def _baited(key: str) -> tuple[Say, ...]:
    draws = tables.set_types().text(key, "draws")
    return (Say("bait covered, out of sight from above"),) if draws.endswith("baited") else ()


def _beds(context: Context, options: Options) -> Iterator[Bed]:
    site = context.site
    depth = site.cover_depth if site.cover_depth is not None and site.cover_depth.known else UNSET
    covers = [site.cover]
    if site.medium == "land":
        covers += [kind for kind in options.covers if kind != site.cover]
    for cover in covers:
        own = cover == site.cover
        words = () if own else (Say("bed it in {cover:word}", cover=cover_name(cover)),)
        minutes = 0.0 if own else COVER_MINUTES
        laid = site.cover_depth if own else depth
        treated = site.treated if own else None
        yield Bed(cover, laid, False, minutes, words, treated)
        if options.boards and site.soils and site.medium == "water":
            yield Bed(
                cover, laid, True, minutes + BOARD_MINUTES, (*words, Say("lay a board or mesh under it")), treated
            )


def _tackle(context: Context, options: Options, standing: Rig | None) -> Iterator[Tackle]:
    chains: list[Chain | None] = list(options.chains)
    # A tree cannot be carried along: it is offered where the book has one in use.
    anchors: list[AnchorRig | None] = [one for one in options.anchors if one.kind in ("stake", "crossed", "plate")]
    if standing is not None:
        chains += [] if standing.chain in chains else [standing.chain]
        anchors += [] if standing.anchor in anchors or standing.anchor is None else [standing.anchor]
    weight = next((one for one in options.anchors if one.kind == "weight"), None)
    profile = profile_of(context)
    if standing is not None and standing.slide is not None:
        kind = "stake" if standing.anchor is None else standing.anchor.kind
        as_it_is = (*_tackle_words(standing.chain, standing.anchor), Say("slide cable as it is written down"))
        minutes = ANCHOR_MINUTES.get(kind, 5.0) + SLIDE_MINUTES
        yield Tackle(standing.chain, standing.anchor, standing.slide, minutes, as_it_is)
    for chain in chains or [None]:
        for anchor in anchors or [None]:
            words = _tackle_words(chain, anchor)
            minutes = 0.0 if anchor is None else ANCHOR_MINUTES.get(anchor.kind, 5.0)
            yield Tackle(chain, anchor, None, minutes, words)
            if profile is None or context.target.key not in SUBMERGED or not options.traps:
                continue
            for slide in options.slides:
                for out in (out for out in OUT if out <= min(slide.length, profile.outermost)):
                    laid = replace(slide, deep_out=out, bank_anchor=anchor, deep_anchor=weight)
                    laid = _clear_of_bed(context, options.traps[0], chain, laid)
                    said = Say("on slide cable {slide:word}, deep end {out:length} out", slide=slide.key, out=out)
                    yield Tackle(chain, anchor, laid, minutes + SLIDE_MINUTES, (*words, said))


def _clear_of_bed(context: Context, trap: TrapRig, chain: Chain | None, slide: SlideRig) -> SlideRig:
    profile = profile_of(context)
    assert profile is not None
    needed = bank_end_needed(profile, slide_of(Rig(trap, chain, None, slide), slide), CLEAR_OF_BED)
    return replace(slide, bank_height=round(needed + 0.05, 1)) if needed > slide.bank_height else slide


def _tackle_words(chain: Chain | None, anchor: AnchorRig | None) -> tuple[Say, ...]:
    found = []
    if chain is not None:
        found.append(Say("chain {chain:word}", chain=chain.key))
    if anchor is not None:
        found.append(Say("{anchor:word}", anchor=anchor.label))
    return tuple(found)


def _worth(context: Context, trap: TrapRig, every: Sequence[Tackle], asked: frozenset[str]) -> tuple[Tackle, ...]:
    """Tackle that is not in every way at least matched by other tackle of the same kind before the law.

    Strength and depth do not depend on the tuning of the trap, so one trap stands for all of them.
    """
    held, under = Kept(), Kept()

    def stays(one: Tackle) -> tuple[float, ...]:
        rig = Rig(trap, one.chain, one.anchor, one.slide)
        found = strengths(context, rig)
        peak = pull(context, rig, context.target, found.stiffness)
        shares = [
            np.nan_to_num(lunges_survived(context, force, peak), nan=0.5) for force in (found.anchor, found.tackle)
        ]
        unsure = -float(found.anchor_question is not None or found.tackle_question is not None)
        bound = limit("anchor")
        # Beyond sound the exact share still counts, but only for the weakest of the two.
        sound = [float(np.quantile(share, 0.05) > bound) for share in shares]
        return (float(np.median(np.minimum(*shares))), *sound, unsure)

    def goes_under(one: Tackle) -> float:
        share = submersion(context, Rig(trap, one.chain, one.anchor, one.slide)).share
        return float(np.nan_to_num(share, nan=0.5)[0])

    kept: dict[tuple[object, ...], list[tuple[tuple[float, ...], Tackle]]] = {}
    for one in every:
        slide, chain, anchor = one.slide, one.chain, one.anchor
        cable = None if slide is None else (slide.cable, slide.ends)
        lies = None if slide is None else replace(slide, bank_anchor=None)
        worth = held.get((chain, anchor, cable), partial(stays, one))
        deep = 1.0 if slide is None else under.get((chain, lies), partial(goes_under, one))
        figures = (*(round(x / STEP) for x in (*worth, deep)), -one.minutes)
        swivels = None if chain is None else (chain.swivels, any("swivel" in part for part in chain.parts[:-1]))
        length = chain.length.number if chain is not None and "chain_length" in asked else None
        kind = anchor.kind if anchor is not None and "anchor_kind" in asked else None
        group = kept.setdefault((swivels, length, kind, slide is None), [])
        if any(_matches(other, figures) for other, _ in group):
            continue
        group[:] = [(other, member) for other, member in group if not _matches(figures, other)]
        group.append((figures, one))
    return tuple(one for group in kept.values() for _, one in group)


def _matches(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return all(a >= b for a, b in zip(one, other, strict=True))


def _asked(person: Person) -> frozenset[str]:
    """Features of the tackle, beyond swivels and submersion, that some rule of law speaks of."""
    told = [str(pack.rules) for _, pack in person.packs if pack.kind == "law"]
    return frozenset(name for name in ("chain_length", "anchor_kind") if any(name in words for words in told))
