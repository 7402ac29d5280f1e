"""Weights out and back, and what the boat takes: bags empty or filled, trips, most carcasses on a trip."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.line.kit import Item
from setwright.line.ways_book import Boat
from setwright.sets.model import Rig, SiteFacts

# A person in waders with vest and clothes, and an empty bag (assumed) [kg].
PERSON, EMPTY_BAG = 100.0, 0.1
OWN = ("tools", "safety", "paper")


@dataclass(frozen=True)
class SetGear:
    """What one set weighs on its way out: known mass, what is filled on the spot [kg], parts without a mass."""

    number: int
    by_boat: bool
    mass: float
    fill: float
    unknown: tuple[str, ...]


@dataclass(frozen=True)
class BoatLoad:
    """What the boat takes [kg]; sets in `too_heavy` pass it by themselves with their bags filled."""

    capacity: float
    empty: float
    filled: float
    trips_empty: int | None
    trips_filled: int | None
    too_heavy: tuple[int, ...]
    beavers: int | None


@dataclass(frozen=True)
class Load:
    """Weights of a set-out [kg]: out, back without the sets, parts of unknown mass, the boat when there is one."""

    out: float
    back: float
    unknown: tuple[str, ...]
    boat: BoatLoad | None


def gear_of(sets: Sequence[tuple[SiteFacts, Rig]]) -> list[SetGear]:
    """Gear of every set."""
    found = []
    for site, rig in sets:
        known, fill, unknown = 0.0, 0.0, []
        parts: list[tuple[str, float | None]] = [(rig.trap.label, rig.trap.mass.value)]
        if rig.chain is not None:
            parts.append((f"chain {rig.chain.key}", None))
        anchors = [rig.anchor] if rig.slide is None else [rig.slide.bank_anchor, rig.slide.deep_anchor]
        for anchor in anchors:
            if anchor is None or anchor.kind in ("tree", "sapling"):
                continue
            if anchor.material == "sandbag" and anchor.mass is not None:
                known, fill = known + EMPTY_BAG, fill + anchor.mass
            else:
                parts.append((anchor.label, anchor.mass))
        if rig.slide is not None:
            parts.append((f"slide cable {rig.slide.key}", None))
        for name, mass in parts:
            if mass is None:
                unknown.append(name)
            else:
                known += mass
        found.append(SetGear(site.number, site.access == "boat", known, fill, tuple(unknown)))
    return found


def trips(masses: Sequence[float], capacity: float) -> int | None:
    """Trips that carry whole sets, the heaviest first into the first trip that has room; None when one is too heavy.

    Parameters
    ----------
    masses : sequence of float
        Mass of each set [kg].
    capacity : float
        What one trip takes [kg].

    """
    left: list[float] = []
    for mass in sorted(masses, reverse=True):
        if mass > capacity:
            return None
        place = next((index for index, room in enumerate(left) if room >= mass), None)
        if place is None:
            left.append(capacity - mass)
        else:
            left[place] -= mass
    return len(left)


def most_carcasses(capacity: float, mass: float) -> int:
    """Most carcasses on one trip, by the heavy end of their mass [kg]."""
    return max(0, math.floor(capacity / mass + 1e-9))


def load_of(
    sets: Sequence[tuple[SiteFacts, Rig]], kit: Sequence[Item], boat: Boat | None, beaver: float | None
) -> Load:
    """Weights of a set-out.

    Parameters
    ----------
    sets : sequence of tuple of SiteFacts and Rig
        The sets.
    kit : sequence of Item
        Their pick list.
    boat : Boat or None
        The boat of the outfit.
    beaver : float or None
        Heavy end of a beaver's mass [kg]; None when none is a target.

    """
    gear = gear_of(sets)
    out = sum(item.mass * item.count for item in kit if item.mass is not None)
    back = sum(item.mass * item.count for item in kit if item.mass is not None and item.compartment in OWN)
    unknown = tuple(dict.fromkeys(name for one in gear for name in one.unknown))
    found = None if boat is None or not any(one.by_boat for one in gear) else _boat(boat, gear, back, beaver)
    return Load(out, back, unknown, found)


def _boat(boat: Boat, gear: Sequence[SetGear], own: float, beaver: float | None) -> BoatLoad:
    person = PERSON if boat.person_mass is None else boat.person_mass.number
    fittings = 0.0 if boat.fittings is None else boat.fittings.number
    capacity = boat.plate.number - fittings - boat.persons * person - own
    wet = [one for one in gear if one.by_boat]
    empty, filled = [one.mass for one in wet], [one.mass + one.fill for one in wet]
    return BoatLoad(
        capacity, sum(empty), sum(filled), trips(empty, capacity), trips(filled, capacity),
        tuple(one.number for one in wet if one.mass + one.fill > capacity),
        None if beaver is None else most_carcasses(capacity, beaver),
    )  # fmt: skip
