"""What would mend the nearest miss: another place, more visits, something bought; each one recomputed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial
from itertools import combinations
from typing import Any

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import unknown
from setwright.basis.verdict import Answer, Standing
from setwright.ground import tables as ground_tables
from setwright.sets.changes import changes
from setwright.sets.context import Context, Kept, limit
from setwright.sets.designer_combine import HUNDRED, firings_of
from setwright.sets.designer_gates import guarded, pets
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.model import AnchorRig, Rig, TrapKnowledge, TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.rank import Options
from setwright.sets.retune import other_forces, with_force
from setwright.trap import tables as trap_tables

Move = Callable[[Context, Rig], tuple[Context, Rig]]
# How many of each kind go into pairs, and how many mends are told.
EACH, TOLD = 3, 3
SIZES = ("length", "width", "perimeter", "yield_moment", "plate_width", "plate_length", "mass")
WITHIN = timedelta(hours=23)
JAWS = {"land": ("offset", "laminated", "regular"), "water": ("regular",)}


@dataclass(frozen=True)
class Mend:
    """One change that no tuning of the outfit is: its kind, its words, how much of an act it is, how it is made."""

    kind: str
    words: Say
    size: int
    move: Move


@dataclass(frozen=True)
class Mended:
    """The nearest miss after one to three such changes, computed in full; `whole` when nothing breaks or fails."""

    mends: tuple[Mend, ...]
    context: Context
    result: SetResult
    whole: bool


def shortfall(context: Context, result: SetResult, closed: frozenset[str]) -> tuple[int, int, float, float]:
    """How far a rig is from standing: broken and failing, open answers, missing margin, and catch against it.

    A margin is missing as a share of its limit; law says how far a rule is broken in no one measure.
    """
    broken = sum(one.answer is Answer.BREAKS for one in result.law if not one.profile)
    broken += sum(gate.answer is Answer.BREAKS for gate in result.gates)
    firsts = {key: outcome.first for key, outcome in result.outcome.items()}
    _, pet, guard = firings_of(context, firsts, closed)
    missing = max(HUNDRED * float(np.median(pet + guard)) / limit("selective") - 1.0, 0.0)
    for link in result.links[1:]:
        for check in link.checks:
            if check.standing is Standing.FAILS:
                broken += 1
                if check.margin is not None and not np.isnan(check.margin).any():
                    scale = abs(check.limit) if check.limit else 1.0
                    missing += max(-float(np.median(check.margin)) / scale, 0.0)
    open_ = sum(one.answer is Answer.CANNOT_TELL for one in result.law if not one.profile)
    open_ += sum(gate.answer is Answer.CANNOT_TELL for gate in result.gates)
    return broken, open_, missing, -float(np.median(result.held))


def mend(context: Context, result: SetResult, options: Options, person: Person) -> list[Mended]:
    """Smallest changes that make a miss stand, smallest first; if none does, the one that comes closest.

    Single changes first, then pairs and threes of the best of each kind.
    """
    singles = [_made(context, result.rig, (one,), person) for one in _mends(context, result, options, person)]
    whole = sorted((one for one in singles if one.whole), key=_size)
    if whole:
        return _one_of_each(whole)[:TOLD]
    found = list(singles)
    kinds: dict[str, list[Mended]] = {}

    def left(one: Mended) -> tuple[int, int, float, float]:
        return shortfall(one.context, one.result, person.closed)

    now = shortfall(context, result, person.closed)
    for one in sorted(singles, key=left):
        if left(one)[:3] < now[:3]:
            kinds.setdefault(one.mends[0].kind, []).append(one)
    useful = [one.mends[0] for members in kinds.values() for one in members[:EACH]]
    for many in (2, 3):
        for together in combinations(useful, many):
            if len({one.kind for one in together}) == many:
                found.append(_made(context, result.rig, together, person))
        whole = sorted((one for one in found if one.whole), key=_size)
        if whole:
            return _one_of_each(whole)[:TOLD]
    return sorted(found, key=left)[:1]


def _size(one: Mended) -> tuple[int, int, float]:
    return len(one.mends), sum(part.size for part in one.mends), -float(np.median(one.result.held))


def _one_of_each(found: Sequence[Mended]) -> list[Mended]:
    """The first of each kind of change."""
    kept: dict[tuple[str, ...], Mended] = {}
    for one in found:
        kept.setdefault(tuple(part.kind for part in one.mends), one)
    return list(kept.values())


def _made(context: Context, rig: Rig, made: tuple[Mend, ...], person: Person) -> Mended:
    for part in made:
        context, rig = part.move(context, rig)
    result = evaluate(context, rig, person)
    meets = result.lawful is Answer.MEETS and result.welfare is Answer.MEETS
    return Mended(made, context, result, meets and result.standing is not Standing.FAILS)


def _mends(context: Context, result: SetResult, options: Options, person: Person) -> Iterator[Mend]:
    for change in changes(context, result, options, person):
        if change.kind in ("place", "swivels", "alive"):
            yield Mend(change.kind, change.words, 2 if change.kind == "place" else 1, change.move)
    yield from _animals(context, result, person)
    if context.check.hours > WITHIN.total_seconds() / 3600.0:
        yield Mend("visit", Say("see it within a day"), 1, _visited)
    yield from _other_anchors(result, options)
    yield from _bought(context, options)


def _animals(context: Context, result: SetResult, person: Person) -> Iterator[Mend]:
    """Where animals that must not be taken come, only another place or better knowledge of this one helps."""
    answer = next((gate.answer for gate in result.gates if gate.name == "others"), Answer.MEETS)
    if answer is Answer.MEETS:
        return
    risky = (*pets(context), *guarded(context, person.closed))
    coming = [key for key in risky if context.site.sign.get(key) not in (None, "none")]
    unlooked = [key for key in risky if key not in context.site.sign]
    for keys, kind, words, size in (
        (
            coming,
            "without",
            "take another place with the same sign, where no {names:word} was seen by one who looked",
            3,
        ),
        (unlooked, "look", "look here, and find no {names:word}", 1),
    ):
        if keys:
            names = " and no ".join(plain_name(context.species[key]) for key in keys)
            yield Mend(kind, Say(words, names=names), size, partial(_without, keys=tuple(keys)))


def _without(context: Context, rig: Rig, keys: tuple[str, ...]) -> tuple[Context, Rig]:
    sign = {**context.site.sign, **dict.fromkeys(keys, "none")}
    return replace(context, site=replace(context.site, sign=sign), kept=Kept()), rig


def _visited(context: Context, rig: Rig) -> tuple[Context, Rig]:
    check = replace(context.check, visit=min(context.check.visit, context.check.made + WITHIN))
    return replace(context, check=check, kept=Kept()), rig


def _other_anchors(result: SetResult, options: Options) -> Iterator[Mend]:
    """Stakes and plates of the table that are not owned, where the anchor fails."""
    failing = {check.name for check in result.links[4].checks if check.standing is Standing.FAILS}
    if "anchor" not in failing:
        return
    table = ground_tables.stakes()
    for key in table:
        record, label = table.record(key), table.text(key, "label")
        sizes: dict[str, Any] = {name: record[name].value for name in SIZES if name in record}
        for kind in ("stake", "crossed") if table.text(key, "kind") == "stake" else ("plate",):
            words = f"two crossed stakes ({label})" if kind == "crossed" else label
            if not any(owned.kind == kind and owned.label == words for owned in options.anchors):
                anchor = AnchorRig(key, kind, words, source=table.get(key, "length").source, **sizes)
                said = Say("buy and drive: {anchor:word}", anchor=words)
                yield Mend("anchor", said, 2, partial(_anchored, anchor=anchor))


def _anchored(context: Context, rig: Rig, anchor: AnchorRig) -> tuple[Context, Rig]:
    return context, replace(rig, anchor=anchor)


def _bought(context: Context, options: Options) -> Iterator[Mend]:
    """Patterns of the table that are not owned, with jaws that suit the medium and the pan in its band."""
    owned = {trap.knowledge.key for trap in options.traps}
    target, table = context.target, trap_tables.patterns()
    for key in table:
        spread = table.number(key, "spread")
        suits = not (target.jaw_low.known and target.jaw_high.known) or (
            target.jaw_low.number <= spread <= target.jaw_high.number
        )
        if key in owned or not suits:
            continue
        for jaws in JAWS[context.site.medium]:
            trap = bought(key, jaws)
            forces = tuple(other_forces(context, trap))
            # The lowest, the middle and the highest of the band stand for it.
            few = dict.fromkeys((forces[0], forces[len(forces) // 2], forces[-1]) if forces else ())
            for force in few:
                said = Say(
                    "buy a {trap:word} with {jaws:word} jaws, pan at {force:force}",
                    trap=trap.label, jaws=jaws, force=force,
                )  # fmt: skip
                yield Mend("trap", said, 2, partial(_set_with, trap=with_force(trap, force)))
            if not forces:
                said = Say("buy a {trap:word} with {jaws:word} jaws", trap=trap.label, jaws=jaws)
                yield Mend("trap", said, 2, partial(_set_with, trap=trap))


def _set_with(context: Context, rig: Rig, trap: TrapRig) -> tuple[Context, Rig]:
    return context, replace(rig, trap=replace(trap, tag=rig.trap.tag))


def bought(key: str, jaws: str) -> TrapRig:
    """A new trap of a pattern by the table alone: smooth jaws, a swivel at the base, pan not read."""
    table = trap_tables.patterns()
    dimensions = trap_tables.dimensions(key, jaws=jaws, swivel_place="base")
    return TrapRig(
        trap_id="new",
        pattern=key,
        label=table.text(key, "label"),
        family=table.text(key, "family"),
        dimensions=dimensions,
        knowledge=TrapKnowledge(key, dimensions),
        spread=table.get(key, "spread"),
        jaws=jaws,
        springs=int(dimensions.springs),
        trip_force=unknown("N", "trip force not read"),
        pan_radius=table.get(key, "pan_radius"),
        mass=table.get(key, "mass"),
        bearing_area=table.get(key, "bearing_area"),
        bed_length=table.number(key, "bed_length"),
        bed_width=table.number(key, "bed_width"),
        bed_depth=table.number(key, "bed_depth"),
        set_height=table.number(key, "set_height"),
        base_swivel=True,
        toothed=False,
        nominal=table.text(key, "nominal"),
    )
