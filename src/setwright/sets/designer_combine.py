"""Figures of all combinations: every link is computed once for what it depends on, then multiplied."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from numpy.typing import NDArray

from setwright.basis.verdict import Standing
from setwright.sets.close import close_link
from setwright.sets.context import Context, Floats, Kept, limit
from setwright.sets.designer_gates import BREAKS, CANNOT_TELL, MEETS, Codes, Screen, guarded, pets
from setwright.sets.designer_options import Menu, Pick
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.fire import fire_chances, trip_check
from setwright.sets.hold import hold_link
from setwright.sets.level import level_share
from setwright.sets.order import frost_share
from setwright.sets.outcome import MISFIRE, first_to_fire
from setwright.sets.result import CheckResult, LinkResult
from setwright.sets.seat import seat_share
from setwright.sets.step import step_link
from setwright.sets.visit import visit_link

HUNDRED = 100.0


@dataclass(frozen=True)
class Figures:
    """What 100 nights of one combination bring, medians over the draws, and the minutes of work.

    `catch` targets held, `others` firings by any other animal, `pets` and `guarded` among them (guarded: protected,
    or out of season).
    """

    catch: float
    others: float
    pets: float
    guarded: float
    minutes: float


@dataclass(frozen=True)
class Combined:
    """One combination with its figures and the answer of all gates together."""

    pick: Pick
    figures: Figures
    code: int
    others_code: int


@dataclass
class Links:
    """Links of the chain at one site, each kept by what it depends on."""

    menu: Menu
    person: Person
    kept: Kept = field(default_factory=Kept)

    def __post_init__(self) -> None:
        self.home = self.menu.placements[0].context
        feet: dict[str, int] = {}
        for place, placement in enumerate(self.menu.placements):
            feet.setdefault(placement.context.site.foot, place)
        self._first = feet

    def context(self, placement: int) -> Context:
        """The site as it is in a placement."""
        return self.menu.placements[placement].context

    def same_foot(self, placement: int) -> int:
        """The first placement that takes the same foot: grip, closing, frost and tackle ask for no more."""
        return self._first[self.context(placement).site.foot]

    def visit_and_step(self, tuned: int, placement: int) -> dict[str, Floats]:
        """Visits a night with a foot on the pan, by animal."""
        context, trap = self.context(placement), self.menu.tuned[tuned].trap

        def make() -> dict[str, Floats]:
            visit, step = visit_link(context).by_species, self.step(tuned, placement).by_species
            return {key: visit[key] * step[key] for key in context.species}

        return self.kept.get(("visits", placement, trap.pan_radius.number), make)

    def step(self, tuned: int, placement: int) -> LinkResult:
        """The step link."""
        context, trap = self.context(placement), self.menu.tuned[tuned].trap
        return self.kept.get(("step", placement, trap.pan_radius.number), partial(step_link, context, trap))

    def fire(self, tuned: int, force: int, placement: int) -> tuple[dict[str, Floats], CheckResult]:
        """Chances of a foot on the pan to fire it, and the check of the target's."""
        context, trap = self.context(placement), self.menu.tuned[tuned].forces[force]

        def make() -> tuple[dict[str, Floats], CheckResult]:
            chances = fire_chances(context, trap)
            return chances, trip_check(context, trap, chances)

        return self.kept.get(("fire", placement, trap.trip_force), make)

    def seat(self, tuned: int, bed: int) -> tuple[Floats, CheckResult | None]:
        """Does the ground carry the trap."""
        trap, board = self.menu.tuned[tuned].trap, self.menu.beds[bed].board
        rig = self.menu.rig(Pick(tuned, 0, 0, bed, 0))
        return self.kept.get(
            ("seat", trap.pattern, trap.mass, trap.bearing_area, board), partial(seat_share, self.home, rig)
        )

    def frost(self, tuned: int, placement: int, bed: int) -> tuple[Floats, CheckResult | None]:
        """Share of the night in which frost leaves the trap free."""
        first = self.same_foot(placement)
        rig = self.menu.rig(Pick(tuned, 0, first, bed, 0))
        return self.kept.get(("frost", tuned, bed, first), partial(frost_share, self.context(first), rig))

    def level(self, placement: int) -> tuple[Floats, CheckResult | None]:
        """Share of the wait at a depth that the foot reaches."""
        return self.kept.get(("level", placement), partial(level_share, self.context(placement)))

    def close(self, tuned: int, placement: int, bed: int) -> LinkResult:
        """The close link."""
        first = self.same_foot(placement)
        depth = self.menu.beds[bed].cover_depth
        rig = self.menu.rig(Pick(tuned, 0, first, bed, 0))
        return self.kept.get(("close", tuned, depth, first), partial(close_link, self.context(first), rig))

    def hold(self, tuned: int, placement: int, tackle: int) -> LinkResult:
        """The hold link."""
        first = self.same_foot(placement)
        rig = self.menu.rig(Pick(tuned, 0, first, 0, tackle))
        return self.kept.get(("hold", tuned, tackle, first), partial(hold_link, self.context(first), rig))

    def base(self, placement: int, bed: int) -> SetResult:
        """The first trap with the first tackle, evaluated in full: for the hours and what depends on no part."""
        pick = Pick(0, 0, placement, bed, 0)
        return self.kept.get(
            ("base", placement, bed),
            lambda: evaluate(self.context(placement), self.menu.rig(pick), self.person),
        )

    def exposure(self, tuned: int, placement: int, bed: int) -> dict[str, Floats]:
        """Nights in which an animal, or a misfire, finds the trap in order within one wait, shape (n,)."""

        def make() -> dict[str, Floats]:
            timing = self.base(placement, bed).timing
            widths, found = timing.wait.widths, {}
            for key, shares in timing.shares.items():
                order = timing.in_order[key] if isinstance(timing.in_order, Mapping) else timing.in_order
                found[key] = np.asarray(order * shares * widths).sum(axis=1)
            return found

        hours = self.kept.get(("exposure", placement, bed), make)
        if tuned == 0:
            return hours
        # Another trap stands in frost for another share of the night.
        own, first = self.frost(tuned, placement, bed)[0], self.frost(0, placement, bed)[0]
        ratio = np.divide(own, first, out=np.ones_like(own), where=first > 0)
        return {key: nights * ratio for key, nights in hours.items()}


def chain_screens(links: Links, alive: NDArray[np.bool_]) -> list[Screen]:
    """Checks of the chain that fail, over the grid; only traps that something still speaks for are asked."""
    sizes = links.menu.sizes
    wanted = [tuned for tuned in range(sizes[0]) if bool(alive[tuned].any())]
    found: dict[str, Codes] = {}

    def mark(link: str, check: CheckResult | None, place: tuple[int | slice, ...], shape: tuple[int, ...]) -> None:
        if check is None or check.standing is not Standing.FAILS:
            return
        name = f"{link}: {check.name}"
        codes = found.setdefault(f"{name}{shape}", np.full(shape, MEETS, dtype=np.int8))
        codes[place] = BREAKS

    tuned_n, forces_n, placements_n, beds_n, tackle_n = sizes
    for placement in range(placements_n):
        mark("fire", links.level(placement)[1], (0, 0, placement, 0, 0), (1, 1, placements_n, 1, 1))
        for tuned in wanted:
            for check in links.step(tuned, placement).checks:
                mark("step", check, (tuned, 0, placement, 0, 0), (tuned_n, 1, placements_n, 1, 1))
            for force in range(len(links.menu.tuned[tuned].forces)):
                check = links.fire(tuned, force, placement)[1]
                mark("fire", check, (tuned, force, placement, 0, 0), (tuned_n, forces_n, placements_n, 1, 1))
            for bed in range(beds_n):
                for link, checks in (
                    ("fire", (links.frost(tuned, placement, bed)[1], links.seat(tuned, bed)[1])),
                    ("close", links.close(tuned, placement, bed).checks),
                ):
                    for found_check in checks:
                        mark(link, found_check, (tuned, 0, placement, bed, 0), (tuned_n, 1, placements_n, beds_n, 1))
            for tackle in range(tackle_n):
                for check in links.hold(tuned, placement, tackle).checks:
                    mark("hold", check, (tuned, 0, placement, 0, tackle), (tuned_n, 1, placements_n, 1, tackle_n))
    return [Screen(name.split("(")[0], codes) for name, codes in found.items()]


def combine(links: Links, codes: Codes) -> Iterator[Combined]:
    """Every combination that no law, gate or check of the chain bars, with its figures.

    `codes` are the answers of all other gates over the grid; the gate on other animals is told here.
    """
    menu, bound = links.menu, limit("selective")
    per_night = HUNDRED / links.home.check.nights
    for tuned, one in enumerate(menu.tuned):
        for placement in range(menu.sizes[2]):
            context = links.context(placement)
            target = context.site.target
            for bed in range(menu.sizes[3]):
                cells = codes[tuned, : len(one.forces), placement, bed]
                if not bool((cells > BREAKS).any()):
                    continue
                rates = links.visit_and_step(tuned, placement)
                nights = links.exposure(tuned, placement, bed)
                seat = links.seat(tuned, bed)[0]
                hazard = {key: rate * seat * nights[key] for key, rate in rates.items()}
                hazard[MISFIRE] = links.base(placement, bed).timing.misfire * nights[MISFIRE]
                closes = links.close(tuned, placement, bed).by_species[target]
                for force in range(len(one.forces)):
                    open_tackle = np.flatnonzero(cells[force] > BREAKS)
                    if open_tackle.size == 0:
                        continue
                    chances = links.fire(tuned, force, placement)[0]
                    fired = {key: rate * chances.get(key, 1.0) for key, rate in hazard.items()}
                    first, _ = first_to_fire(fired, np.ones(context.n))
                    held = [links.hold(tuned, placement, int(k)).by_species[target] for k in open_tackle]
                    catch = np.median(first[target] * closes * np.stack(held), axis=1)
                    others = firings_of(context, first, links.person.closed)
                    risk = np.quantile(HUNDRED * (others[1] + others[2]), (0.5, 0.95))
                    code = MEETS if risk[1] <= bound else BREAKS if risk[0] > bound else CANNOT_TELL
                    total, pet, guard = (per_night * float(np.median(one)) for one in others)
                    for place, tackle in enumerate(open_tackle):
                        pick = Pick(tuned, force, placement, bed, int(tackle))
                        figures = Figures(per_night * float(catch[place]), total, pet, guard, menu.minutes(pick))
                        yield Combined(pick, figures, min(code, int(cells[force, tackle])), code)


def firings_of(
    context: Context, first: Mapping[str, Floats], closed: frozenset[str]
) -> tuple[Floats, Floats, Floats]:
    """First firings in one wait by all other animals, by pets, and by protected ones or those out of season, (n,)."""
    nothing = np.zeros(context.n)

    def together(keys: tuple[str, ...]) -> Floats:
        return np.asarray(nothing + sum((first[key] for key in keys), nothing))

    others = tuple(key for key in context.species if key != context.site.target)
    return together(others), together(pets(context)), together(guarded(context, closed))


def figures_of(context: Context, result: SetResult, minutes: float, closed: frozenset[str]) -> Figures:
    """The same figures of a rig that was evaluated in full."""
    per_night = HUNDRED / context.check.nights
    firsts = {key: found.first for key, found in result.outcome.items()}
    total, pet, guard = (per_night * float(np.median(one)) for one in firings_of(context, firsts, closed))
    return Figures(per_night * float(np.median(result.held)), total, pet, guard, minutes)
