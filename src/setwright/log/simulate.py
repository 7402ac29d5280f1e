"""A season made up from a known truth: for rehearsal, and to prove that the estimators give the truth back."""

from __future__ import annotations

import datetime as dt
import math
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from setwright.log import kinds
from setwright.log.event import Event

DEVICE = "simulated"
# What a person with a lever can pull [N] (assumed).
PULL_LIMIT = 4500.0


@dataclass(frozen=True, slots=True)
class MadeUpAnimal:
    """Truth of one animal at one set.

    Parameters
    ----------
    visits : float [1/night]
        How often it comes.
    step, fire, hold : float [-]
        Chance of a foot on the pan, that this foot fires, that it is then held.
    target, domestic : bool
        What it is.
    injury : tuple of float
        Chances that a held one shows each of the `injuries` given to `season`.

    """

    visits: float
    step: float
    fire: float = 1.0
    hold: float = 1.0
    target: bool = True
    domestic: bool = False
    injury: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class MadeUpSet:
    """Truth of one set.

    Parameters
    ----------
    set_id, site, set_type, medium, target, trap_id, rig_id : str
        Its names.
    animals : mapping of str to MadeUpAnimal
        Who comes.
    misfires : float [1/night]
        Firings by anything else.
    trip_force : float [N]
        Pan as tuned.
    by_firing, by_day : float
        Its drift in logarithms.
    anchor, loosened : float [N], [-]
        Strength of the anchor, and its factor when an animal has worked at it; 0 N without pulls.
    minutes, spread : float [min], [-]
        Median visit and its log-normal scatter.
    cover : str or None
        As written.

    """

    set_id: str
    site: str
    set_type: str
    medium: str
    target: str
    trap_id: str
    rig_id: str
    animals: Mapping[str, MadeUpAnimal] = field(default_factory=dict)
    misfires: float = 0.0
    trip_force: float = 12.0
    by_firing: float = 0.0
    by_day: float = 0.0
    anchor: float = 0.0
    loosened: float = 1.0
    minutes: float = 8.0
    spread: float = 0.5
    cover: str | None = None


def season(
    sets: Sequence[MadeUpSet],
    begin: dt.datetime,
    nights: int,
    seed: int,
    injuries: Sequence[str] = (),
    forgotten: float = 0.0,
    read_every: int = 7,
) -> list[Event]:
    """Events of a season in which every set is looked at each morning.

    Parameters
    ----------
    sets : sequence of MadeUpSet
        The truth.
    begin : datetime
        When all sets are made.
    nights : int [night]
        Length of the season.
    seed : int
        Same seed, same season.
    injuries : sequence of str
        Entries of the injury scale that may be seen.
    forgotten : float [-]
        Chance that nobody writes injuries down.
    read_every : int [d]
        Days from one reading of a pan to the next.

    """
    found: list[Event] = []
    for number, one in enumerate(sets):
        rng = np.random.default_rng([seed, number])
        found += _Story(one, begin, rng, injuries, forgotten, read_every).told(nights)
    return found


class _Story:
    def __init__(
        self,
        one: MadeUpSet,
        begin: dt.datetime,
        rng: np.random.Generator,
        injuries: Sequence[str],
        forgotten: float,
        read_every: int,
    ) -> None:
        self.one, self.begin, self.rng = one, begin, rng
        self.injuries, self.forgotten, self.read_every = injuries, forgotten, read_every
        self.events: list[Event] = []
        self.fired = self.since = self.animals = 0

    def write(self, kind: str, day: float, place: int, visit: str, **details: Any) -> None:
        """One event more."""
        one = self.one
        trap = one.trap_id if kind in kinds.OF_A_TRAP else None
        self.events.append(
            Event(
                id=self.name(), device=DEVICE, kind=kind, time=self.begin + dt.timedelta(days=day), set_id=one.set_id,
                trap_id=trap, rig_id=one.rig_id if trap else None, visit=visit, place=place,
                details={**kinds.blank(kind), **details},
            )
        )  # fmt: skip

    def name(self) -> str:
        """A UUID from the dice, so that the same seed writes the same events."""
        return str(uuid.UUID(bytes=self.rng.bytes(16), version=4))

    def told(self, nights: int) -> list[Event]:
        """The whole season of the set."""
        one = self.one
        more: dict[str, Any] = {"cover": one.cover} if one.cover else {}
        self.write(
            kinds.SET, 0.0, 0, self.name(), site=one.site, medium=one.medium, set_type=one.set_type,
            target=one.target, anchor="made up", tag_present=True, trip_force=self.reading(0.0), **more,
        )  # fmt: skip
        if one.anchor > 0:
            self.pull(0.0, 1, self.name())
        for night in range(1, nights + 1):
            self.morning(night)
        self.write(kinds.PULLED, nights + 0.01, 0, self.name(), reason="end of the season")
        return self.events

    def reading(self, day: float) -> float:
        """Trip force read with its scatter."""
        level = math.log(self.one.trip_force) + self.one.by_firing * self.fired + self.one.by_day * (day - self.since)
        return float(np.exp(level + 0.12 * self.rng.standard_normal()))

    def pull(self, day: float, place: int, visit: str) -> None:
        """A proof pull near where it tells most."""
        strength = self.one.anchor * (self.one.loosened if self.animals else 1.0)
        force = self.one.anchor * float(np.exp(self.rng.uniform(-0.9, 0.1 if self.animals else -0.3)))
        force = min(force, PULL_LIMIT)
        held = math.log(strength / force) + 0.10 * self.rng.standard_normal() > 0
        self.write(kinds.PROOF_PULL, day, place, visit, force=force, held=bool(held))

    def night(self) -> tuple[str | None, bool, list[tuple[str, bool]]]:
        """Who fired the trap and whether it was held; tracks of who came before, with a foot on the pan or not."""
        arrivals: list[tuple[float, str | None]] = []
        for kind, coming in self.one.animals.items():
            arrivals += [(float(self.rng.random()), kind) for _ in range(self.rng.poisson(coming.visits))]
        arrivals += [(float(self.rng.random()), None) for _ in range(self.rng.poisson(self.one.misfires))]
        tracks: list[tuple[str, bool]] = []
        for _, name in sorted(arrivals, key=lambda pair: pair[0]):
            if name is None:
                return "", False, tracks
            animal = self.one.animals[name]
            if self.rng.random() >= animal.step:
                tracks.append((name, False))
            elif self.rng.random() >= animal.fire:
                tracks.append((name, True))
            else:
                return name, bool(self.rng.random() < animal.hold), tracks
        return None, False, tracks

    def morning(self, day: int) -> None:
        """What is found and done at one visit."""
        one, visit, place = self.one, self.name(), 0
        by, held, tracks = self.night()
        spent = float(np.exp(math.log(one.minutes) + one.spread * self.rng.standard_normal()))
        spent = min(max(spent, 0.05), 1400.0)
        for name, on_pan in tracks:
            self.write(kinds.TRACK if on_pan else kinds.REFUSED, day, place, visit, species_guess=name)
            place += 1
        if by is None:
            self.write(kinds.CHECKED, day, place, visit, method="in person", minutes=spent)
            if day % self.read_every == 0:
                # The pan is read as it is found, and nothing is done to it.
                self.write(kinds.MEASURED, day, place + 1, visit, trip_force=self.reading(day))
            return
        self.fired += 1
        if held:
            self.held(by, day, place, visit, spent)
        elif by == "":
            self.write(kinds.SPRUNG, day, place, visit, evidence="frost heave", minutes=spent)
        else:
            self.write(kinds.ESCAPE, day, place, visit, species_guess=by, minutes=spent)
        if held and one.anchor > 0:
            self.pull(day, place + 2, visit)
        self.write(kinds.RESET, day, place + 3, visit)
        self.write(kinds.MEASURED, day, place + 4, visit, trip_force=self.reading(day))

    def held(self, name: str, day: int, place: int, visit: str, spent: float) -> None:
        """An animal in the trap, and what became of it."""
        animal = self.one.animals[name]
        self.animals += 1
        seen = [key for key, chance in zip(self.injuries, animal.injury, strict=False) if self.rng.random() < chance]
        written = None if self.rng.random() < self.forgotten else seen
        kind = kinds.CATCH if animal.target else kinds.NONTARGET
        more: dict[str, Any] = {} if animal.target else {"domestic": animal.domestic}
        self.write(
            kind, day, place, visit, species=name, sex=("female", "male")[int(self.rng.integers(2))],
            age=("young", "adult")[int(self.rng.random() < 0.6)], part="fore foot", alive=True, injuries=written,
            looked_over="whole", minutes=spent, **more,
        )  # fmt: skip
        if animal.target:
            self.write(kinds.DISPATCH, day, place + 1, visit, method="firearm")
        else:
            self.write(kinds.RELEASE, day, place + 1, visit, condition="walked off", means="catch pole")
