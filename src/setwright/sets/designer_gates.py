"""Law and welfare over all combinations at once: each rule is asked only for what it reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from setwright.basis.verdict import Answer
from setwright.law.answer import Finding, judge
from setwright.law.compose import compose
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack
from setwright.sets.context import Context
from setwright.sets.designer_options import Menu, Pick
from setwright.sets.evaluate import Person
from setwright.sets.gates import gates
from setwright.sets.lawful import facts_of
from setwright.sets.outcome import MISFIRE, NOTHING
from setwright.sets.record import NOTHING as NO_RECORD
from setwright.sets.result import OutcomeDraws

Codes = NDArray[np.int8]
# Order of the answers: the least of several is their conjunction.
BREAKS, CANNOT_TELL, MEETS = 0, 1, 2
CODE = {Answer.BREAKS: BREAKS, Answer.CANNOT_TELL: CANNOT_TELL, Answer.MEETS: MEETS}
AXES = 5


@dataclass(frozen=True)
class Screen:
    """One gate or rule over the grid of combinations; an axis of length 1 stands for all its places."""

    name: str
    codes: Codes


class Watched(Facts):
    """Facts that remember which of them were asked for."""

    def __init__(self, values: Mapping[str, Fact]) -> None:
        super().__init__(values)
        object.__setattr__(self, "asked", set())

    def __getitem__(self, name: str) -> Fact:
        self.asked.add(name)
        return super().__getitem__(name)

    asked: set[str]


def pets(context: Context) -> tuple[str, ...]:
    """Animals at this site that are pets."""
    return tuple(key for key, kind in context.species.items() if "pet" in kind.roles)


def guarded(context: Context, closed: frozenset[str]) -> tuple[str, ...]:
    """Animals but the target and pets that are protected, or whose season is `closed`."""
    return tuple(
        key
        for key, kind in context.species.items()
        if key != context.site.target
        and "pet" not in kind.roles
        and (key in closed or ("protected" in kind.roles and "target" not in kind.roles))
    )


def law_screens(menu: Menu, person: Person) -> list[Screen]:
    """Every rule of law over the grid; without a law pack one screen that cannot tell."""
    packs = [pack for _, pack in person.packs if pack.kind == "law"]
    if not packs:
        return [Screen("no law pack", np.full((1,) * AXES, CANNOT_TELL, dtype=np.int8))]
    permits = [(name, pack) for name, pack in person.packs if pack.sets_aside]
    facts_at = _facts_of(menu, person)
    moved = _moved(menu.sizes, facts_at)
    context = menu.placements[0].context
    found: list[Screen] = []
    for pack in packs:
        for name, part, wanted in _parts(pack):
            answer = _answer_of(part, permits, wanted, context)
            found.append(Screen(name, _over_grid(menu.sizes, moved, facts_at, answer)))
    return found


def _facts_of(menu: Menu, person: Person) -> Callable[[tuple[int, ...]], Mapping[str, Fact]]:
    """Facts by place in the grid; what placement and bed change in them is the same for every trap."""
    known: dict[tuple[int, ...], Mapping[str, Fact]] = {}

    def whole(place: tuple[int, ...]) -> Mapping[str, Fact]:
        pick = Pick(place[0], min(place[1], len(menu.tuned[place[0]].forces) - 1), *place[2:])
        context = menu.placements[pick.placement].context
        return facts_of(
            context, menu.rig(pick), traps_out=person.traps_out, tag_name=person.tag_name, stated=person.facts
        ).values

    def changed(place: tuple[int, ...]) -> Mapping[str, Fact]:
        usual, other = at((0,) * AXES), whole(place)
        return {name: fact for name, fact in other.items() if usual.get(name) != fact}

    def kept(place: tuple[int, ...], make: Callable[[tuple[int, ...]], Mapping[str, Fact]]) -> Mapping[str, Fact]:
        if place not in known:
            known[place] = make(place)
        return known[place]

    def at(place: tuple[int, ...]) -> Mapping[str, Fact]:
        tuned, force, placement, bed, tackle = place
        found = dict(kept((tuned, force, 0, 0, tackle), whole))
        if placement:
            found.update(kept((0, 0, placement, 0, 0), changed))
        if bed:
            found.update(kept((0, 0, 0, bed, 0), changed))
        return found

    return at


def _parts(pack: Pack) -> list[tuple[str, Pack, frozenset[str]]]:
    """A pack taken apart: rules of one topic may set one another aside and stay together; then all the rest."""
    topics = list(dict.fromkeys(rule.topic for rule in pack.rules))
    parts = []
    for topic in topics:
        rules = [rule for rule in pack.rules if rule.topic == topic]
        for rule in rules:
            together = [rule, *(other for other in rules if other is not rule and other.priority > rule.priority)]
            parts.append((rule.id, pack.model_copy(update={"rules": together}), frozenset({rule.id})))
    return [*parts, ("season and open questions", pack.model_copy(update={"rules": []}), frozenset())]


def _answer_of(
    part: Pack, permits: Sequence[tuple[str, Pack]], wanted: frozenset[str], context: Context
) -> Callable[[Facts], int]:
    on, species = context.conditions.on, context.site.target

    def answer(facts: Facts) -> int:
        found: Sequence[Finding] = judge(part, facts, on=on, species=species)
        if permits:
            whole = compose([("", part), *permits], facts, on=on, species=species)
            found = [one.finding for one in whole if one.pack == ""]
        codes = [CODE[one.answer] for one in found if not wanted or one.rule in wanted]
        return min(codes, default=MEETS)

    return answer


def _moved(sizes: tuple[int, ...], facts_at: Callable[[tuple[int, ...]], Mapping[str, Fact]]) -> list[set[str]]:
    """Features that move along each axis; tackle is held against every trap, for swivels stand in both."""
    found: list[set[str]] = []
    for axis, size in enumerate(sizes):
        names: set[str] = set()
        for tuned in range(sizes[0] if axis == AXES - 1 else 1):
            start = [tuned if axis == AXES - 1 else 0, 0, 0, 0, 0]
            base = facts_at(tuple(start))
            for place in range(1, size):
                start[axis] = place
                other = facts_at(tuple(start))
                names |= {name for name in other if other[name] != base.get(name)}
        found.append(names)
    # A trip force that is set anew hides in a trap whose pan has only one setting.
    found[1].add("pan_trip_force")
    found[0] |= {"swivel_count"}
    found[4] |= {"swivel_count"}
    return found


def _over_grid(
    sizes: tuple[int, ...],
    moved: Sequence[set[str]],
    facts_at: Callable[[tuple[int, ...]], Mapping[str, Fact]],
    answer: Callable[[Facts], int],
) -> Codes:
    """Answers over the axes that matter to a rule; the same facts are asked once."""
    axes: set[int] = set()
    # Answers by the features that were read and their facts.
    heard: dict[tuple[str, ...], dict[tuple[Fact | None, ...], int]] = {}
    while True:
        asked: set[str] = set()
        shape = [size if axis in axes else 1 for axis, size in enumerate(sizes)]
        codes = np.empty(shape, dtype=np.int8)
        for place in product(*(range(size) for size in shape)):
            facts = facts_at(place)
            code = _heard(heard, facts)
            if code is None:
                watched = Watched(facts)
                code = answer(watched)
                names = tuple(sorted(watched.asked))
                heard.setdefault(names, {})[tuple(facts.get(name) for name in names)] = code
                asked |= watched.asked
            codes[place] = code
        wider = axes | {axis for axis in range(AXES) if moved[axis] & asked}
        if wider == axes:
            return codes
        axes = wider


def _heard(
    heard: Mapping[tuple[str, ...], Mapping[tuple[Fact | None, ...], int]], facts: Mapping[str, Fact]
) -> int | None:
    for names, answers in heard.items():
        code = answers.get(tuple(facts.get(name) for name in names))
        if code is not None:
            return code
    return None


def welfare_screens(menu: Menu, closed: frozenset[str]) -> list[Screen]:
    """Gates that do not depend on who fires it first, over the grid; `others` is for the outcome to tell."""
    tuned, _, placements, _, tackle = menu.sizes
    quiet = _quiet(menu.placements[0].context)
    found: dict[str, Codes] = {}
    by_foot: dict[str, int] = {}
    for place, placement in enumerate(menu.placements):
        by_foot.setdefault(placement.context.site.foot, place)
    for foot, first in by_foot.items():
        rows = [p for p in range(placements) if menu.placements[p].context.site.foot == foot]
        context = menu.placements[first].context
        for trap, held in product(range(tuned), range(tackle)):
            rig = menu.rig(Pick(trap, 0, first, 0, held))
            for gate in gates(context, rig, quiet, closed, context.rig_records.get(rig.trap.pattern, NO_RECORD)):
                codes = found.setdefault(gate.name, np.full((tuned, 1, placements, 1, tackle), MEETS, dtype=np.int8))
                codes[trap, 0, rows, 0, held] = CODE[gate.answer]
    return [Screen(name, codes) for name, codes in found.items() if name != "others"]


def _quiet(context: Context) -> dict[str, OutcomeDraws]:
    """An outcome in which nothing comes."""
    zero = np.zeros(context.n)
    none = OutcomeDraws(zero, zero, zero)
    return dict.fromkeys((*context.species, MISFIRE, NOTHING), none)
