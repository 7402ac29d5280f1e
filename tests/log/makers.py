"""Invented events for the tests of the log."""

from __future__ import annotations

import datetime as dt
import random
import uuid
from typing import Any

from setwright.log import kinds
from setwright.log.event import Event

EAST = dt.timezone(dt.timedelta(hours=-5))
START = dt.datetime(2026, 11, 1, 7, 0, tzinfo=EAST)


def name(number: int) -> str:
    return str(uuid.UUID(int=number))


def event(number: int, kind: str, day: float = 0.0, **given: Any) -> Event:
    """An event with everything unknown that is not given; other words are details."""
    own = {key: given.pop(key) for key in list(given) if key in FIELDS}
    if kind in kinds.OF_A_SET:
        own.setdefault("set_id", "S1")
    if kind == kinds.CHECKED:
        given.setdefault("method", "in person")
    own.setdefault("device", "phone")
    own.setdefault("time", START + dt.timedelta(days=day))
    return Event(id=name(number), kind=kind, details={**kinds.blank(kind), **given}, **own)


FIELDS = ("device", "time", "written", "set_id", "trap_id", "rig_id", "visitor", "visit", "place", "corrects")


def season(seed: int, size: int, sets: int = 40) -> list[Event]:
    """A season made up by dice: no line ever looked like it."""
    dice = random.Random(seed)
    found = [
        event(k, kinds.SET, set_id=f"S{k}", trap_id=f"T{k}", rig_id=f"R{k % 3}", site=f"P{k}") for k in range(sets)
    ]
    number = sets
    while len(found) < size:
        day, place = divmod(len(found) - sets, sets)
        common: dict[str, Any] = {"set_id": f"S{place}", "trap_id": f"T{place}", "rig_id": f"R{place % 3}"}
        seen = 1.0 + day + place / 1440.0
        roll = dice.random()
        if roll < 0.9:
            found.append(event(number, kinds.CHECKED, seen, **common))
        elif roll < 0.93:
            found.append(event(number, kinds.SPRUNG, seen, **common, evidence=dice.choice(kinds.EVIDENCE)))
        else:
            kind, more = (kinds.CATCH, {}) if roll < 0.98 else (kinds.NONTARGET, {"domestic": dice.random() < 0.3})
            injuries = None if dice.random() < 0.2 else []
            found.append(event(number, kind, seen, **common, species="fox", injuries=injuries, **more))
        if roll >= 0.9:
            number += 1
            found.append(event(number, kinds.RESET, seen, place=1, **common, trip_force=9.0))
        number += 1
    return found[:size]
