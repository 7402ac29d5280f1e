"""The whole chain for one rig at one site: links, outcome, gates and law."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from setwright.basis.verdict import Answer, Standing, all_of, worst
from setwright.law.pack import Pack
from setwright.sets import tables
from setwright.sets.check import check_link
from setwright.sets.close import close_link
from setwright.sets.context import Context, Floats, limit
from setwright.sets.fire import fire_chances, trip_check
from setwright.sets.gates import gates
from setwright.sets.hold import hold_link
from setwright.sets.lawful import facts_of, law_answers
from setwright.sets.level import level_share
from setwright.sets.model import Rig
from setwright.sets.order import frost_share
from setwright.sets.outcome import outcome
from setwright.sets.result import CheckResult, Gate, LawAnswer, LinkResult, OutcomeDraws
from setwright.sets.seat import seat_share
from setwright.sets.step import step_link
from setwright.sets.visit import visit_link

CHAIN = ("visit", "step", "fire", "close", "hold", "check")


@dataclass(frozen=True)
class Person:
    """Packs that bind, what the book says about the trapper, and animals whose season the packs close."""

    packs: Sequence[tuple[str, Pack]] = ()
    traps_out: int | None = None
    tag_name: bool | None = None
    closed: frozenset[str] = frozenset()


@dataclass(frozen=True)
class SetResult:
    """Everything found about one rig at one site."""

    rig: Rig
    links: tuple[LinkResult, ...]
    outcome: Mapping[str, OutcomeDraws]
    gates: tuple[Gate, ...]
    law: tuple[LawAnswer, ...]
    target: str

    @property
    def held(self) -> Floats:
        """P(the target is first, taken and held) over the check interval, shape (n,)."""
        return self.outcome[self.target].held

    @property
    def welfare(self) -> Answer:
        """Answer of all gates together."""
        return all_of(gate.answer for gate in self.gates)

    @property
    def lawful(self) -> Answer:
        """Answer of all rules of law together; a profile of good practice is shown beside it, never mixed in."""
        return all_of(finding.answer for finding in self.law if not finding.profile)

    @property
    def standing(self) -> Standing:
        """Standing of the set: the worst link after the visit, whose rate only the log can tell."""
        return worst(link.standing for link in self.links[1:])

    @property
    def weakest(self) -> LinkResult:
        """The link that decides the standing, the earliest of the worst."""
        order = (Standing.FAILS, Standing.CANNOT_TELL, Standing.THIN, Standing.SOUND)
        return min(self.links[1:], key=lambda link: order.index(link.standing))


def evaluate(context: Context, rig: Rig, person: Person) -> SetResult:
    """Run the chain *visit → step → fire → close → hold → check* for a rig at a site.

    Every figure rests on the same draws for every rig, so that differences between rigs are paired.
    """
    visit = visit_link(context)
    step = step_link(context, rig.trap)
    fire = _fire(context, rig)
    close = close_link(context, rig)
    hold = hold_link(context, rig)
    check = check_link(context)
    firing = {key: visit.by_species[key] * step.by_species[key] * fire.by_species[key] for key in context.species}
    misfire = context.kept.get(
        "misfire",
        lambda: context.drawn("misfire", tables.set_types().get(context.site.set_type, "misfire")),
    )
    # Hours out of order are off the clock.
    in_order = np.ones(context.n) if fire.in_order is None else fire.in_order
    nights = context.check.nights * in_order
    result = outcome(firing, close.by_species, hold.by_species, misfire, nights)
    facts = facts_of(context, rig, traps_out=person.traps_out, tag_name=person.tag_name)
    return SetResult(
        rig,
        (visit, step, fire, close, hold, check),
        result,
        gates(context, rig, result, person.closed),
        law_answers(context, person.packs, facts),
        context.site.target,
    )


def _fire(context: Context, rig: Rig) -> LinkResult:
    """fire: the foot trips the pan, the ground carries the trap, frost and level leave it free."""
    chances = fire_chances(context, rig.trap)
    seat, seat_check = seat_share(context, rig)
    frost, frost_check = frost_share(context, rig)
    level, level_check = level_share(context)
    target = context.site.target
    by_species = {key: np.asarray(chance * seat) for key, chance in chances.items()}
    checks: list[CheckResult] = [trip_check(context, rig.trap, chances)]
    checks.extend(found for found in (seat_check, frost_check, level_check) if found is not None)
    return LinkResult(
        "fire", by_species[target], "share", limit("fire"), tuple(checks), by_species, in_order=frost * level
    )
