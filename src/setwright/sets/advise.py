"""What would mend a set: a search over single changes and pairs, on the same draws."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.verdict import Answer, Standing
from setwright.sets import tables
from setwright.sets.context import Context, Floats, Kept
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.fire import carried
from setwright.sets.lawful import facts_of, law_answers
from setwright.sets.level import window_key
from setwright.sets.model import Rig
from setwright.sets.rank import ANSWERS, STANDINGS, Options, Score, score
from setwright.sets.retune import with_jaws, with_springs
from setwright.sets.submerge import SUBMERGED, profile_of
from setwright.water import tables as water_tables

Move = Callable[[Context, Rig], tuple[Context, Rig]]
LBF = 4.4482216152605
FORCES = tuple(LBF * pounds for pounds in (0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0))
FARTHER = (0.3, 0.6, 0.9, 1.5, 2.4, 3.6)
OUT = (1.2, 1.8, 2.4, 3.0)
AWAY = (8.0, 16.0, 31.0, 46.0, 92.0, 153.0, 305.0)
TRIED = Source(Kind.ASSUMED, "tried by the advice")
# A gain that shows in fewer than four of five paired draws, or in less than one wait of 200, is not offered.
SURE, WORTH = 0.8, 0.005
SINGLES, PAIRS, MOST = 4, 2, 4
# Changes that keep a submersion set one.
UNDER = ("stop", "chain")


@dataclass(frozen=True)
class Change:
    """One change to a set: what kind of change, in words, how much work, and how it is made."""

    kind: str
    words: Say
    effort: str
    move: Move


@dataclass(frozen=True)
class Advised:
    """A change or a pair of them with what it brings, on paired draws."""

    changes: tuple[Change, ...]
    before: SetResult
    after: SetResult
    score: Score

    @property
    def gain(self) -> Floats:
        """Share held with the change less without it, shape (n,)."""
        return np.asarray(self.after.held - self.before.held)

    @property
    def mends(self) -> tuple[str, ...]:
        """Names of checks, gates and rules that were bad before and are good after."""
        bad = (Standing.FAILS, Standing.CANNOT_TELL, Standing.THIN)
        found = []
        for link, now in zip(self.before.links, self.after.links, strict=True):
            after = {check.name: check.standing for check in now.checks}
            found += [
                check.name
                for check in link.checks
                if check.standing in bad
                and STANDINGS[after.get(check.name, Standing.SOUND)] > STANDINGS[check.standing]
            ]
        gates = {gate.name: gate.answer for gate in self.after.gates}
        found += [
            gate.name
            for gate in self.before.gates
            if gate.name in gates and ANSWERS[gates[gate.name]] > ANSWERS[gate.answer]
        ]
        rules = {(finding.pack, finding.rule): finding.answer for finding in self.after.law}
        found += [
            finding.rule
            for finding in self.before.law
            if ANSWERS[rules.get((finding.pack, finding.rule), Answer.MEETS)] > ANSWERS[finding.answer]
        ]
        return tuple(dict.fromkeys(found))


def advise(context: Context, result: SetResult, options: Options, person: Person) -> list[Advised]:
    """Ranked changes to a rig, singles first, then pairs that bring more than either alone.

    Every change is run through the whole chain. The best of each kind is kept; the best of the kinds are
    tried in pairs. Nothing is offered that worsens an answer of law or welfare.
    """
    base = score(result)
    best: dict[str, Advised] = {}
    for change in changes(context, result, options, person):
        tried = _try(context, result, (change,), person)
        if _better(tried, base) and (change.kind not in best or tried.score > best[change.kind].score):
            best[change.kind] = tried
    if any(kind in best and best[kind].score[:3] >= best["alive"].score[:3] for kind in UNDER if "alive" in best):
        # A rig that can be made to hold under need not be given up.
        del best["alive"]
    singles = sorted(best.values(), key=lambda advised: advised.score, reverse=True)
    pairs: list[Advised] = []
    if not singles or not _is_whole(singles[0]):
        for one, two in combinations(singles[:5], 2):
            tried = _try(context, result, (*one.changes, *two.changes), person)
            if _better(tried, base) and _adds(tried, one) and _adds(tried, two):
                pairs.append(tried)
    pairs.sort(key=lambda advised: advised.score, reverse=True)
    more = _extend(context, result, singles, pairs, person)
    return [*singles[:SINGLES], *pairs[:PAIRS], *more]


def _extend(
    context: Context, result: SetResult, singles: list[Advised], pairs: list[Advised], person: Person
) -> list[Advised]:
    """One longer list of changes where no pair makes the set whole: what still adds is added, best first."""
    if not pairs or _is_whole(pairs[0]):
        return []
    best = pairs[0]
    for single in singles[:6]:
        kinds = {change.kind for change in best.changes}
        if len(best.changes) < MOST and single.changes[0].kind not in kinds:
            tried = _try(context, result, (*best.changes, *single.changes), person)
            if _adds(tried, best):
                best = tried
    return [] if best is pairs[0] else [best]


def _try(context: Context, result: SetResult, made: tuple[Change, ...], person: Person) -> Advised:
    place, rig = context, result.rig
    for change in made:
        place, rig = change.move(place, rig)
    after = evaluate(place, rig, person)
    return Advised(made, result, after, score(after))


def _is_whole(advised: Advised) -> bool:
    return advised.score[:3] == (ANSWERS[Answer.MEETS], ANSWERS[Answer.MEETS], STANDINGS[Standing.SOUND])


def _better(tried: Advised, base: Score) -> bool:
    if tried.score[0] < base[0] or tried.score[1] < base[1]:
        return False
    if tried.score[:4] > base[:4]:
        return True
    gain = tried.gain
    return tried.score[:4] == base[:4] and float(np.median(gain)) >= WORTH and float(np.mean(gain > 0)) >= SURE


def _adds(pair: Advised, single: Advised) -> bool:
    if pair.score[:4] != single.score[:4]:
        return pair.score[:4] > single.score[:4]
    more = pair.after.held - single.after.held
    return float(np.median(more)) >= WORTH and float(np.mean(more > 0)) >= SURE


def changes(context: Context, result: SetResult, options: Options, person: Person) -> Iterator[Change]:
    """All single changes worth trying on this set."""
    rig = result.rig
    yield from _trap_changes(context, rig)
    yield from _tackle_changes(rig, options)
    if context.site.medium == "water":
        yield from _water_changes(context, rig, options)
    else:
        yield from _cover_changes(rig, options)
    yield from _place_changes(context, result, person)
    if any(check.name == "bearing" and check.standing is not Standing.SOUND for check in result.links[2].checks):
        yield Change(
            "board",
            Say("lay a board or mesh under the trap"),
            "5 min",
            lambda place, rig: (place, replace(rig, board=True)),
        )


def _trap_changes(context: Context, rig: Rig) -> Iterator[Change]:
    if carried(context, context.target) is not None:
        for force in FORCES:
            reading = Quantity(force, "N", TRIED, 0.85 * force, 1.15 * force)
            if not _in_band(context, force):
                continue
            if rig.trap.trip_force.known and abs(force - rig.trap.trip_force.number) < 0.1 * force:
                continue
            yield Change(
                "trip force",
                Say("set the pan of {trap:word} to {force:force}", trap=rig.trap.trap_id, force=force),
                "bench, 5 min",
                lambda place, rig, reading=reading: (place, replace(rig, trap=replace(rig.trap, trip_force=reading))),
            )
    more = {("coil", 2): 4, ("long", 1): 2}.get((rig.trap.family, rig.trap.springs))
    if more is not None:
        words = (
            "fit two more coils to {trap:word}" if rig.trap.family == "coil" else "fit a second spring to {trap:word}"
        )
        yield Change(
            "springs",
            Say(words, trap=rig.trap.trap_id),
            "bench, 20 min",
            lambda place, rig, more=more: (place, replace(rig, trap=with_springs(rig.trap, more))),
        )
    if rig.trap.jaws == "regular" and context.site.medium == "land":
        kinds = ("offset", "laminated", "offset laminated")
    elif "offset" in rig.trap.jaws and context.site.medium == "water":
        kinds = ("regular",)
    else:
        kinds = ()
    for jaws in kinds:
        yield Change(
            "jaws",
            Say("give {trap:word} {jaws:word} jaws", trap=rig.trap.trap_id, jaws=jaws),
            "bench, welder",
            lambda place, rig, jaws=jaws: (place, replace(rig, trap=with_jaws(rig.trap, jaws))),
        )


def _in_band(context: Context, force: float) -> bool:
    """Whether a trip force lies in the band in use for the target: a slack pan is fired by anything."""
    low, high = context.target.pan_low, context.target.pan_high
    return not (low.known and high.known) or 0.99 * low.number <= force <= 1.01 * high.number


def _tackle_changes(rig: Rig, options: Options) -> Iterator[Change]:
    for chain in options.chains:
        if rig.chain is None or chain.key != rig.chain.key:
            yield Change(
                "chain",
                Say("rig it on chain {chain:word}, {length:length}", chain=chain.key, length=chain.length.number),
                "10 min",
                lambda place, rig, chain=chain: (place, replace(rig, chain=chain)),
            )
    for anchor in options.anchors:
        if (rig.anchor is None or anchor.key != rig.anchor.key) and anchor.kind not in ("drag", "weight"):
            yield Change(
                "anchor",
                Say("anchor it by {anchor:word}", anchor=anchor.label),
                "10 min",
                lambda place, rig, anchor=anchor: (place, replace(rig, anchor=anchor)),
            )
    if rig.chain is not None and (
        rig.chain.swivels is None or rig.trap.base_swivel is not True or rig.chain.swivels < 2
    ):
        yield Change(
            "swivels",
            Say("put swivels at the base and in the chain"),
            "10 min",
            lambda place, rig: (
                place,
                replace(
                    rig,
                    trap=replace(rig.trap, base_swivel=True),
                    chain=None if rig.chain is None else replace(rig.chain, swivels=max(rig.chain.swivels or 0, 2)),
                ),
            ),
        )


def _water_changes(context: Context, rig: Rig, options: Options) -> Iterator[Change]:
    water = context.site.water
    profile = profile_of(context)
    if rig.slide is not None and profile is not None:
        for farther in FARTHER:
            if rig.slide.deep_out + farther <= float(np.max(profile.x)):
                yield Change(
                    "stop",
                    Say("let the stop lie {farther:length} farther out", farther=farther),
                    "15 min",
                    lambda place, rig, farther=farther: (
                        place,
                        rig
                        if rig.slide is None
                        else replace(rig, slide=replace(rig.slide, deep_out=rig.slide.deep_out + farther)),
                    ),
                )
    if rig.slide is not None:
        yield Change(
            "alive",
            Say("take the slide cable off: a set that holds alive, seen at least daily"),
            "10 min",
            lambda place, rig: (place, replace(rig, slide=None)),
        )
    elif profile is not None and context.target.key in SUBMERGED:
        for slide in options.slides:
            for out in OUT:
                if out <= min(slide.length, float(np.max(profile.x))):
                    yield Change(
                        "slide",
                        Say(
                            "rig it on slide cable {slide:word}, deep end {out:length} out", slide=slide.key, out=out
                        ),
                        "20 min",
                        lambda place, rig, slide=slide, out=out: (
                            place,
                            replace(rig, slide=replace(slide, deep_out=out, bank_anchor=rig.anchor)),
                        ),
                    )
    key = window_key(context)
    if water is not None and key is not None:
        table = water_tables.windows()
        middle = 0.5 * (table.number(key, "depth_low") + table.number(key, "depth_high"))
        for wanted in (middle, 0.5 * (middle + table.number(key, "depth_high"))):
            reading = Quantity(wanted, "m", TRIED, 0.85 * wanted, 1.15 * wanted)
            yield Change(
                "pan depth",
                Say("bed the pan {depth:length} under the level", depth=wanted),
                "15 min",
                lambda place, rig, reading=reading: (
                    replace(
                        place,
                        site=replace(
                            place.site,
                            water=None if place.site.water is None else replace(place.site.water, pan_depth=reading),
                        ),
                        kept=Kept(),
                    ),
                    rig,
                ),
            )


def _cover_changes(rig: Rig, options: Options) -> Iterator[Change]:
    depth = rig.cover_depth if rig.cover_depth is not None and rig.cover_depth.known else Quantity(0.01, "m", TRIED)
    for kind in options.covers:
        if kind != rig.cover:
            yield Change(
                "cover",
                Say("lift the cover and bed it in {kind:word}", kind=kind.replace("-", " ")),
                "12 min",
                lambda place, rig, kind=kind: (place, replace(rig, cover=kind, cover_depth=depth)),
            )


def _place_changes(context: Context, result: SetResult, person: Person) -> Iterator[Change]:
    site = context.site
    if tables.set_types().text(site.set_type, "form") == "lane":
        width = (
            site.lane_width if site.lane_width is not None else tables.set_types().number(site.set_type, "lane_width")
        )
        narrow = max(0.12, 0.7 * width)
        if narrow < 0.95 * width:
            yield Change(
                "guides",
                Say("narrow the lane to {width:length} with guides", width=narrow),
                "5 min",
                lambda place, rig, narrow=narrow: (
                    replace(place, site=replace(place.site, lane_width=narrow), kept=Kept()),
                    rig,
                ),
            )
    broken = {finding.rule for finding in result.law if finding.answer is Answer.BREAKS}
    for what, distance in site.near.items():
        for away in AWAY:
            if away <= distance:
                continue
            moved = replace(context, site=replace(site, near={**site.near, what: away}), kept=Kept())
            facts = facts_of(moved, result.rig, traps_out=person.traps_out, tag_name=person.tag_name)
            still = {f.rule for f in law_answers(moved, person.packs, facts) if f.answer is Answer.BREAKS}
            if broken - still:
                yield Change(
                    "place",
                    Say(
                        "move the set to {away:distance} from the {what:word}", away=away, what=what.replace("-", " ")
                    ),
                    "a new site near by",
                    lambda place, rig, what=what, away=away: (
                        replace(place, site=replace(place.site, near={**place.site.near, what: away}), kept=Kept()),
                        rig,
                    ),
                )
                break
