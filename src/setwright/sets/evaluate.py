"""The whole chain for one rig at one site: links, outcome, gates and law."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from setwright.basis.verdict import Answer, Standing, all_of, worst
from setwright.law.facts import Fact
from setwright.law.pack import Pack
from setwright.sets import tables
from setwright.sets.check import check_link
from setwright.sets.chest import chest_share
from setwright.sets.close import close_link
from setwright.sets.context import Context, Floats, limit
from setwright.sets.current import current_check
from setwright.sets.fire import crusted_chances, fire_chances, reasons, trip_check
from setwright.sets.gates import gates
from setwright.sets.hold import hold_link
from setwright.sets.hours import Wait, held_for, hourly_shares, misfire_shares, over_wait, wait_of
from setwright.sets.lawful import facts_of, law_answers
from setwright.sets.level import level_order, level_share
from setwright.sets.model import Rig
from setwright.sets.order import frost_order, frost_share
from setwright.sets.outcome import MISFIRE, TimedOutcome, outcome_by_hour
from setwright.sets.pan_fit import level_of_pan
from setwright.sets.record import NOTHING
from setwright.sets.result import CheckResult, Gate, LawAnswer, LinkResult, OutcomeDraws
from setwright.sets.seat import seat_share
from setwright.sets.steady import steady_check
from setwright.sets.step import step_link
from setwright.sets.visit import visit_link
from setwright.sets.welfare import RiskFact, risk_facts

CHAIN = ("visit", "step", "fire", "close", "hold", "check")


@dataclass(frozen=True)
class Person:
    """Packs that bind, what the book says about the trapper, and animals whose season the packs close."""

    packs: Sequence[tuple[str, Pack]] = ()
    traps_out: int | None = None
    tag_name: bool | None = None
    facts: Mapping[str, Fact] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()


@dataclass(frozen=True, eq=False)
class Timing:
    """What the outcome in time is made of: rates a night, shares of the hours and order, by cause.

    Kept in place of the chances by cause, draw and hour, which take far more room; `timed` makes those.
    """

    firing: Mapping[str, Floats]
    close: Mapping[str, Floats]
    hold: Mapping[str, Floats]
    misfire: Floats
    shares: Mapping[str, Floats]
    in_order: Floats | Mapping[str, Floats]
    wait: Wait

    def timed(self) -> TimedOutcome:
        """The outcome by cause, draw and hour."""
        return outcome_by_hour(
            self.firing, self.close, self.hold, self.misfire, self.shares, self.in_order, self.wait.widths
        )


@dataclass(frozen=True)
class SetResult:
    """Everything found about one rig at one site.

    `by_hour` is the chance of each cause to be the first to fire in each hour of the wait, the mean of all draws,
    shape (h,); `facts` bear on a held animal and are no gates.
    """

    rig: Rig
    links: tuple[LinkResult, ...]
    outcome: Mapping[str, OutcomeDraws]
    gates: tuple[Gate, ...]
    law: tuple[LawAnswer, ...]
    target: str
    timing: Timing
    by_hour: Mapping[str, Floats]
    facts: tuple[RiskFact, ...] = ()

    @property
    def timed(self) -> TimedOutcome:
        """Who fires it first by cause, draw and hour, made anew on every call."""
        return self.timing.timed()

    def hours_held(self, key: str, share: float = 0.5) -> float:
        """Time from firing to visit that this animal does not exceed with a chance of `share` [h]; NaN if never."""
        return held_for(self.by_hour[key], self.timing.wait, share)

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

    Every figure rests on the same draws for every rig, so that differences between rigs are paired. The outcome goes
    hour by hour: when each animal is about, and when frost and level leave the trap in order.
    """
    visit = visit_link(context)
    step = step_link(context, rig.trap)
    fire = _fire(context, rig)
    close = close_link(context, rig)
    hold = hold_link(context, rig)
    firing = {key: visit.by_species[key] * step.by_species[key] * fire.by_species[key] for key in context.species}
    misfire = context.kept.get("misfire", lambda: _misfires(context, visit))
    shares = context.kept.get(("shares", context.check.visit), lambda: _shares(context))
    order = _order(context, rig)
    timing = Timing(firing, close.by_species, hold.by_species, misfire, shares, order, wait_of(context))
    timed = timing.timed()
    by_hour = dict(zip(timed.causes, timed.risk.first.mean(axis=1), strict=True))
    target = context.site.target
    held = (held_for(by_hour[target], timing.wait, 0.5), held_for(by_hour[target], timing.wait, 0.95))
    facts = facts_of(context, rig, traps_out=person.traps_out, tag_name=person.tag_name, stated=person.facts)
    record = context.rig_records.get(rig.trap.pattern, NOTHING)
    return SetResult(
        rig,
        (visit, step, fire, close, hold, check_link(context, held)),
        timed.by_cause,
        gates(context, rig, timed.by_cause, person.closed, record),
        law_answers(context, person.packs, facts),
        target,
        timing,
        by_hour,
        risk_facts(context, rig, record, context.wind),
    )


def _misfires(context: Context, visit: LinkResult) -> Floats:
    """Firings a night by no foot: heave, debris, and the chests of those that swim in."""
    chests = sum((visit.by_species[key] * chest_share(context, one) for key, one in context.species.items()), 0.0)
    return np.asarray(context.drawn("misfire", tables.set_types().get(context.site.set_type, "misfire")) + chests)


def _shares(context: Context) -> dict[str, Floats]:
    """Share of a night's visits in each hour, every animal, and of a night's misfires."""
    found = {key: hourly_shares(context, species) for key, species in context.species.items()}
    return {**found, MISFIRE: misfire_shares(context)}


def _order(context: Context, rig: Rig) -> Floats | Mapping[str, Floats]:
    """Part of each hour in which the trap is in order, shape (n, h); by cause where a crust lies over the pan."""
    wait = wait_of(context)
    hours = wait.widths.size
    level, frost = level_order(context, wait.middles), frost_order(context, rig)
    free = np.ones((context.n, hours)) if level is None else level
    if frost is None:
        return free
    free = free * over_wait(frost.free, hours)
    crust = over_wait(frost.crust, hours)
    if not bool(crust.any()):
        return free
    return {MISFIRE: free, **{key: free * part for key, part in crusted_chances(context, rig.trap, crust).items()}}


def _fire(context: Context, rig: Rig) -> LinkResult:
    """fire: the foot trips the pan, the ground carries the trap, frost and level leave it free."""
    chances = fire_chances(context, rig.trap)
    seat, seat_check = seat_share(context, rig)
    frost, frost_check = frost_share(context, rig)
    level, level_check = level_share(context)
    target = context.site.target
    by_species = {key: np.asarray(chance * seat) for key, chance in chances.items()}
    checks: list[CheckResult] = [trip_check(context, rig.trap, chances)]
    found = (
        seat_check, steady_check(rig), level_of_pan(context, rig), frost_check, level_check,
        current_check(context, rig),
    )  # fmt: skip
    checks.extend(check for check in found if check is not None)
    return LinkResult(
        "fire", by_species[target], "share", limit("fire"), tuple(checks), by_species,
        in_order=frost * level, reasons=reasons(context),
    )  # fmt: skip
