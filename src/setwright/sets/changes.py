"""Single changes to a set that are worth trying."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.basis.verdict import Answer, Standing
from setwright.sets import tables
from setwright.sets.context import Context, Kept, limit
from setwright.sets.evaluate import Person, SetResult
from setwright.sets.lawful import facts_of, law_answers
from setwright.sets.level import window_key
from setwright.sets.model import Rig, TrapRig
from setwright.sets.naming import cover_name
from setwright.sets.rank import Options
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
from setwright.sets.submerge import CLEAR_OF_BED, SUBMERGED, profile_of, slide_of, submersion
from setwright.water import tables as water_tables
from setwright.water.submersion import bank_end_needed

Move = Callable[[Context, Rig], tuple[Context, Rig]]
FARTHER = (0.3, 0.6, 0.9, 1.5, 2.4, 3.6)
OUT = (1.2, 1.8, 2.4, 3.0)
AWAY = (8.0, 16.0, 31.0, 46.0, 92.0, 153.0, 305.0)
LEAST_LANE = 0.12


@dataclass(frozen=True)
class Change:
    """One change to a set: what kind of change, in words, how much work, and how it is made."""

    kind: str
    words: Say
    effort: str
    move: Move


def _rig(**fields: Any) -> Move:
    """A move that replaces fields of the rig."""
    return lambda place, rig: (place, replace(rig, **fields))


def _trap(change: Callable[[TrapRig], TrapRig]) -> Move:
    """A move that works on the trap of the rig."""
    return lambda place, rig: (place, replace(rig, trap=change(rig.trap)))


def _site(**fields: Any) -> Move:
    """A move that replaces fields of the site; what was kept for the old site is dropped."""
    return lambda place, rig: (replace(place, site=replace(place.site, **fields), kept=Kept()), rig)


def changes(context: Context, result: SetResult, options: Options, person: Person) -> Iterator[Change]:
    """All single changes worth trying on this set."""
    rig = result.rig
    yield from _trap_changes(context, rig)
    yield from _tackle_changes(rig, options)
    if context.site.medium == "water":
        yield from _slide_changes(context, rig, options)
        yield from _depth_changes(context)
    else:
        if any(check.name == "frost" and check.standing is not Standing.SOUND for check in result.links[2].checks):
            yield from _cover_changes(rig, options)
    yield from _place_changes(context, result, person)
    if any(check.name == "bearing" and check.standing is not Standing.SOUND for check in result.links[2].checks):
        yield Change("board", Say("lay a board or mesh under the trap"), "5 min", _rig(board=True))


def _trap_changes(context: Context, rig: Rig) -> Iterator[Change]:
    name = rig.trap.trap_id
    for force in other_forces(context, rig.trap):
        words = Say("set the pan of {trap:word} to {force:force}", trap=name, force=force)
        yield Change("trip force", words, "bench, 5 min", _trap(partial(with_force, force=force)))
    more = more_springs(rig.trap)
    if more is not None:
        what = (
            "fit two more coils to {trap:word}" if rig.trap.family == "coil" else "fit a second spring to {trap:word}"
        )
        yield Change("springs", Say(what, trap=name), "bench, 20 min", _trap(partial(with_springs, springs=more)))
    for jaws in other_jaws(rig.trap, context.site.medium):
        words = Say("give {trap:word} {jaws:word} jaws", trap=name, jaws=jaws)
        yield Change("jaws", words, "bench, welder", _trap(partial(with_jaws, jaws=jaws)))


def _tackle_changes(rig: Rig, options: Options) -> Iterator[Change]:
    for chain in options.chains:
        if rig.chain is None or chain.key != rig.chain.key:
            words = Say("rig it on chain {chain:word}, {length:length}", chain=chain.key, length=chain.length.number)
            yield Change("chain", words, "10 min", _rig(chain=chain))
    for anchor in options.anchors:
        if (rig.anchor is None or anchor.key != rig.anchor.key) and anchor.kind not in ("drag", "weight"):
            words = Say("anchor it by {anchor:word}", anchor=anchor.label)
            yield Change("anchor", words, "10 min", _rig(anchor=anchor))
    chain_now = rig.chain
    if chain_now is not None and (
        chain_now.swivels is None or rig.trap.base_swivel is not True or chain_now.swivels < 2
    ):
        yield Change("swivels", Say("put swivels at the base and in the chain"), "10 min", _with_swivels)


def _with_swivels(place: Context, rig: Rig) -> tuple[Context, Rig]:
    chain = None if rig.chain is None else replace(rig.chain, swivels=max(rig.chain.swivels or 0, 2))
    return place, replace(rig, trap=replace(rig.trap, base_swivel=True), chain=chain)


def _slide_changes(context: Context, rig: Rig, options: Options) -> Iterator[Change]:
    profile = profile_of(context)
    if rig.slide is not None:
        if profile is not None:
            for farther in FARTHER:
                if rig.slide.deep_out + farther <= profile.outermost:
                    words = Say("let the stop lie {farther:length} farther out", farther=farther)
                    yield Change("stop", words, "15 min", partial(_farther, by=farther))
            needed = bank_end_needed(profile, slide_of(rig, rig.slide), CLEAR_OF_BED)
            if needed > rig.slide.bank_height:
                height = round(needed + 0.05, 1)
                words = Say("tie the bank end of the cable {height:length} above the level", height=height)
                yield Change("bank end", words, "5 min", _rig(slide=replace(rig.slide, bank_height=height)))
        if float(np.nan_to_num(submersion(context, rig).share[0])) < limit("submerge"):
            words = Say("take the slide cable off: a set that holds alive, seen at least daily")
            yield Change("alive", words, "10 min", _rig(slide=None))
    elif profile is not None and context.target.key in SUBMERGED:
        weight = next((anchor for anchor in options.anchors if anchor.kind == "weight"), None)
        for slide in options.slides:
            for out in OUT:
                if out <= min(slide.length, profile.outermost):
                    words = Say(
                        "rig it on slide cable {slide:word}, deep end {out:length} out", slide=slide.key, out=out
                    )
                    laid = replace(slide, deep_out=out, bank_anchor=rig.anchor, deep_anchor=weight)
                    yield Change("slide", words, "20 min", _rig(slide=laid))


def _farther(place: Context, rig: Rig, by: float) -> tuple[Context, Rig]:
    if rig.slide is None:
        return place, rig
    return place, replace(rig, slide=replace(rig.slide, deep_out=rig.slide.deep_out + by))


def depths_to_try(context: Context) -> tuple[float, ...]:
    """Depths over the pan [m] that this foot reaches: the middle of the window, and higher water in reserve."""
    key = window_key(context)
    if context.site.water is None or key is None:
        return ()
    table = water_tables.windows()
    low, high = table.number(key, "depth_low"), table.number(key, "depth_high")
    return 0.5 * (low + high), 0.25 * low + 0.75 * high


def _depth_changes(context: Context) -> Iterator[Change]:
    for wanted in depths_to_try(context):
        assert context.site.water is not None
        water = replace(context.site.water, pan_depth=tried(wanted, "m"))
        words = Say("bed the pan {depth:length} under the level", depth=wanted)
        yield Change("pan depth", words, "15 min", _site(water=water))


def narrower(context: Context) -> float | None:
    """Width [m] to which guides may narrow the lane, or None where there is no lane or no room."""
    site, types = context.site, tables.set_types()
    if types.text(site.set_type, "form") != "lane":
        return None
    width = site.lane_width if site.lane_width is not None else types.number(site.set_type, "lane_width")
    narrow = max(LEAST_LANE, 0.7 * width)
    return narrow if narrow < 0.95 * width else None


def _cover_changes(rig: Rig, options: Options) -> Iterator[Change]:
    depth = rig.cover_depth if rig.cover_depth is not None and rig.cover_depth.known else Quantity(0.01, "m", TRIED)
    for kind in options.covers:
        if kind != rig.cover:
            words = Say("lift the cover and bed it in {kind:word}", kind=cover_name(kind))
            yield Change("cover", words, "12 min", _rig(cover=kind, cover_depth=depth, treated=None))


def _place_changes(context: Context, result: SetResult, person: Person) -> Iterator[Change]:
    site, narrow = context.site, narrower(context)
    if narrow is not None:
        words = Say("narrow the lane to {width:length} with guides", width=narrow)
        yield Change("guides", words, "5 min", _site(lane_width=narrow))
    broken = {finding.rule for finding in result.law if finding.answer is Answer.BREAKS}
    for what, distance in site.near.items() if broken else ():
        for away in AWAY:
            if away <= distance:
                continue
            near = {**site.near, what: away}
            moved = replace(context, site=replace(site, near=near), kept=Kept())
            facts = facts_of(
                moved, result.rig, traps_out=person.traps_out, tag_name=person.tag_name, stated=person.facts
            )
            still = {f.rule for f in law_answers(moved, person.packs, facts) if f.answer is Answer.BREAKS}
            if broken - still:
                words = Say(
                    "move the set to {away:distance} from the {what:word}", away=away, what=what.replace("-", " ")
                )
                yield Change("place", words, "a new site near by", _site(near=near))
                break
