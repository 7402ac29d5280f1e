"""From events to arrays: every wait between two looks at a set, and every animal."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.log import kinds
from setwright.log.amend import Standing, standing
from setwright.log.details import moment
from setwright.log.event import Event

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
DAY = 86_400_000_000.0
EXPLAINED = ("frost heave", "stock", "thief", "water")
SIGN = ("hair", "toe mark", "digging")
GROUPS = ("set_id", "rig_id", "trap_id", "set_type", "site", "cover", "target", "month")


@dataclass(frozen=True, slots=True, eq=False)
class Waits:
    """Waits of sets, each from armed to the next look; n of them.

    Parameters
    ----------
    nights : array (n,) [night]
        Length, less the time out of order.
    fired : array (n,)
        True when the trap was found sprung, whatever fired it.
    armed_nights : array (n,) [night]
        Time armed where it is known to the hour: a trap not fired, or an alarm or camera tells; NaN otherwise.
    target : array (n,)
        True when a target animal was held.
    labels : mapping of str to array (n,) of str
        For each of `GROUPS` what the wait belongs to, `not known` where nothing was written.
    unclear : int
        Looks at a trap of which it is not known since when it was armed: left out.
    instant : array (n,) of int [µs]
        The look that ends the wait, since 1970 in UTC.

    """

    nights: Floats
    fired: Flags
    armed_nights: Floats
    target: Flags
    labels: dict[str, NDArray[np.str_]]
    unclear: int
    instant: NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Visitors:
    """What fired the traps; n of them.

    Parameters
    ----------
    held, target, domestic, escaped : array (n,)
        Whether it was held; a target; a pet or stock; gripped and gone.
    sprung, sign, explained : array (n,)
        Whether the trap was sprung and empty; with sign of a furbearer; by frost, stock, water or people.
    injuries : tuple of tuple of str, or None
        What was found on each held animal; None where nothing was written down, which is never *none*.
    looked_over : tuple of str
        `whole`, `part`, `not`, or empty.
    species : tuple of str
        As written, empty when not known.
    labels : mapping of str to array (n,) of str
        As for `Waits`.
    instant : array (n,) of int [µs]
        When it was found.

    """

    held: Flags
    target: Flags
    domestic: Flags
    escaped: Flags
    sprung: Flags
    sign: Flags
    explained: Flags
    injuries: tuple[tuple[str, ...] | None, ...]
    looked_over: tuple[str, ...]
    species: tuple[str, ...]
    labels: dict[str, NDArray[np.str_]]
    instant: NDArray[np.int64]


class _Set:
    """What is known of one set while its events go by."""

    __slots__ = ("armed", "facts", "last_caught", "lost")

    def __init__(self) -> None:
        self.armed: int | None = None
        self.lost = 0.0
        self.facts: dict[str, str] = {}
        self.last_caught: int | None = None


def read(events: Iterable[Event] | Standing) -> tuple[Waits, Visitors]:
    """Waits and visitors of a log.

    Parameters
    ----------
    events : iterable of Event, or Standing
        In any order, with repeats, corrections and voids.

    Notes
    -----
    A trap found out of order takes the span since it last worked out of the wait when that is dated, half of the
    wait otherwise. A set that was fired and of which no reset was written is out of the count until it is set again
    or found armed.

    """
    sets: dict[str, _Set] = {}
    waits: list[tuple[float, bool, float, bool]] = []
    wait_facts: list[tuple[dict[str, str], int]] = []
    seen: list[tuple[bool, ...]] = []
    seen_facts: list[tuple[dict[str, str], int]] = []
    injuries: list[tuple[str, ...] | None] = []
    looked: list[str] = []
    species: list[str] = []
    unclear = 0
    for event in standing(events).events:
        name = event.set_id
        if name is None:
            continue
        state = sets.get(name)
        if state is None:
            state = sets[name] = _Set()
        kind = event.kind
        if kind == kinds.SET or kind == kinds.RESET:
            facts = _facts(state.facts, event)
            if facts != state.facts:
                state.facts = facts
            state.armed = event.instant
        elif kind in kinds.LOOKS:
            if kind in kinds.DISTURBED:
                seen.append(_visitor(event))
                seen_facts.append((state.facts, event.instant))
                found = event.details.get("injuries")
                state.last_caught = len(injuries) if kind in kinds.CATCHES and found is None else None
                injuries.append(None if found is None else tuple(found))
                looked.append(event.details.get("looked_over") or "")
                species.append(event.details.get("species") or event.details.get("species_guess") or "")
            if state.armed is None:
                # A second event of one visit speaks of the same wait; a trap found armed fishes from now on.
                unclear += kind == kinds.CHECKED
                state.armed = event.instant if kind == kinds.CHECKED else None
                continue
            waits.append(_wait(event, state.armed))
            wait_facts.append((state.facts, event.instant))
            state.armed = event.instant if kind == kinds.CHECKED else None
        elif kind == kinds.PULLED:
            if state.armed is not None and event.instant > state.armed:
                nights = (event.instant - state.armed) / DAY
                waits.append((nights, False, nights, False))
                wait_facts.append((state.facts, event.instant))
            state.armed = None
        elif kind == kinds.RELEASE and state.last_caught is not None:
            found = event.details.get("injuries")
            if found is not None:
                injuries[state.last_caught] = tuple(found)
                looked[state.last_caught] = event.details.get("looked_over") or looked[state.last_caught]
    array = np.array(waits, dtype=float).reshape(-1, 4)
    flags = np.array(seen, dtype=bool).reshape(-1, 7)
    return (
        Waits(
            array[:, 0], array[:, 1] > 0, array[:, 2], array[:, 3] > 0, _labels(wait_facts), unclear,
            _instants(wait_facts),
        ),
        Visitors(
            held=flags[:, 0], target=flags[:, 1], domestic=flags[:, 2], escaped=flags[:, 3], sprung=flags[:, 4],
            sign=flags[:, 5], explained=flags[:, 6], injuries=tuple(injuries), looked_over=tuple(looked),
            species=tuple(species), labels=_labels(seen_facts), instant=_instants(seen_facts),
        ),
    )  # fmt: skip


def _facts(before: dict[str, str], event: Event) -> dict[str, str]:
    facts = dict(before) if event.kind == kinds.RESET else {"set_id": event.set_id or ""}
    for name in ("rig_id", "trap_id"):
        value = getattr(event, name)
        if value is not None:
            facts[name] = value
    for name in ("set_type", "site", "cover", "target"):
        value = event.details.get(name)
        if value is not None:
            facts[name] = value
    return facts


def _wait(event: Event, armed: int) -> tuple[float, bool, float, bool]:
    nights = (event.instant - armed) / DAY
    kind, details = event.kind, event.details
    if kind == kinds.CHECKED:
        return nights, False, nights, False
    if kind == kinds.INOPERATIVE:
        working = details.get("last_working")
        left = 0.5 * nights if working is None else _until(working, armed, nights)
        return left, False, left, False
    fired_at = details.get("sprung_at") or details.get("first_seen")
    # `first_seen` of an animal seen at the visit itself tells nothing of when the trap fired.
    known = _until(fired_at, armed, nights) if fired_at is not None else math.nan
    return nights, True, known if known < nights else math.nan, kind == kinds.CATCH


def _until(text: str, armed: int, nights: float) -> float:
    instant = moment(text, "time").timestamp() * 1e6
    return min(max((instant - armed) / DAY, 0.0), nights)


def _visitor(event: Event) -> tuple[bool, ...]:
    kind, details = event.kind, event.details
    held, empty = kind in kinds.CATCHES, kind == kinds.SPRUNG
    evidence = details.get("evidence")
    guessed = bool(details.get("species_guess")) and not details.get("doubtful")
    return (
        held, kind == kinds.CATCH, held and bool(details.get("domestic")), kind == kinds.ESCAPE,
        empty, empty and (evidence in SIGN or guessed), empty and evidence in EXPLAINED,
    )  # fmt: skip


def _instants(facts: list[tuple[dict[str, str], int]]) -> NDArray[np.int64]:
    return np.array([instant for _, instant in facts], dtype=np.int64)


def _labels(facts: list[tuple[dict[str, str], int]]) -> dict[str, NDArray[np.str_]]:
    # Most waits of a set share one record of it: each is looked at once.
    unique: dict[int, int] = {}
    kept: list[dict[str, str]] = []
    codes = np.empty(len(facts), dtype=np.intp)
    for row, (each, _) in enumerate(facts):
        code = unique.setdefault(id(each), len(kept))
        if code == len(kept):
            kept.append(each)
        codes[row] = code
    found = {
        name: np.array([each.get(name, "not known") for each in kept] or [""], dtype=str)[codes]
        for name in GROUPS
        if name != "month"
    }
    moments = np.array([instant for _, instant in facts], dtype="datetime64[us]")
    found["month"] = np.datetime_as_string(moments.astype("datetime64[M]")).astype(str)
    return found
