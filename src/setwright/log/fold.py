"""State of every set, trap and duty: a fold over the events as they stand, and nothing else."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from setwright.log import kinds
from setwright.log.amend import Refused, standing
from setwright.log.details import moment
from setwright.log.event import Event


class Phase(StrEnum):
    """What a set is doing, by the last that was written of it."""

    ARMED = "armed"
    SPRUNG = "sprung"
    HOLDING = "holding"
    OUT_OF_ORDER = "out of order"
    PULLED = "pulled"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class SetState:
    """One set.

    Parameters
    ----------
    set_id : str
        Its name.
    phase : Phase
        What it is doing.
    site, set_type, target, medium : str or None
        As written when it was made.
    trap_id, rig_id : str or None
        Trap that lies in it, and its kind with its tuning.
    since : datetime or None
        When it was made.
    armed_at : datetime or None
        Since when it fishes; None when it does not.
    seen : datetime or None
        Last look of any kind.
    seen_in_person : datetime or None
        Last look by a person at the set; a remote signal is not one.
    anchor_moved, proof_pulled : datetime or None
        Last time either was written.
    tag_present : bool or None
        Whether the tag was on.
    events : int
        How many events speak of it.

    """

    set_id: str
    phase: Phase = Phase.UNKNOWN
    site: str | None = None
    set_type: str | None = None
    target: str | None = None
    medium: str | None = None
    trap_id: str | None = None
    rig_id: str | None = None
    since: dt.datetime | None = None
    armed_at: dt.datetime | None = None
    seen: dt.datetime | None = None
    seen_in_person: dt.datetime | None = None
    anchor_moved: dt.datetime | None = None
    proof_pulled: dt.datetime | None = None
    tag_present: bool | None = None
    events: int = 0


@dataclass(frozen=True, slots=True)
class TrapState:
    """One trap.

    Parameters
    ----------
    trap_id : str
        Its name.
    set_id : str or None
        Set that it lies in; None when it is at home or lost.
    trip_force : float or None [N]
        Last reading of the pan.
    read_at : datetime or None
        When that was.
    fired_since : int
        How often it fired since.
    lost : bool
        True when it was missing or stolen at the last look.

    """

    trap_id: str
    set_id: str | None = None
    trip_force: float | None = None
    read_at: dt.datetime | None = None
    fired_since: int = 0
    lost: bool = False


@dataclass(frozen=True, slots=True)
class DutyState:
    """One duty.

    Parameters
    ----------
    duty : str
        Id of the event that it comes from.
    act : str
        What has to be done.
    due : datetime or None
        By when; None when no time was given.
    about : str or None
        Set, trap or animal that it concerns.
    done : datetime or None
        When it was done.

    """

    duty: str
    act: str
    due: dt.datetime | None = None
    about: str | None = None
    done: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class LogState:
    """Everything as it stands.

    Parameters
    ----------
    sets : mapping of str to SetState
        By name of the set.
    traps : mapping of str to TrapState
        By name of the trap.
    duties : mapping of str to DutyState
        By the event that each comes from, open and done ones.
    refused : tuple of Refused
        Corrections and voids without effect.
    settled : mapping of str to datetime
        By the name of a duty when it was done; also of duties that come from elsewhere, such as a law pack.

    """

    sets: Mapping[str, SetState]
    traps: Mapping[str, TrapState]
    duties: Mapping[str, DutyState]
    refused: tuple[Refused, ...]
    settled: Mapping[str, dt.datetime]

    @property
    def open_duties(self) -> tuple[DutyState, ...]:
        """Duties not yet done, the most pressing first."""
        last = dt.datetime.max.replace(tzinfo=dt.UTC)
        waiting = [duty for duty in self.duties.values() if duty.done is None]
        return tuple(sorted(waiting, key=lambda duty: (duty.due or last, duty.duty)))


@dataclass(slots=True)
class _Running:
    sets: dict[str, SetState] = field(default_factory=dict)
    traps: dict[str, TrapState] = field(default_factory=dict)
    duties: dict[str, DutyState] = field(default_factory=dict)
    done: dict[str, dt.datetime] = field(default_factory=dict)
    unwritten: dict[str, str] = field(default_factory=dict)


_PHASES = {
    kinds.SET: Phase.ARMED,
    kinds.RESET: Phase.ARMED,
    kinds.CHECKED: Phase.ARMED,
    kinds.SPRUNG: Phase.SPRUNG,
    kinds.ESCAPE: Phase.SPRUNG,
    kinds.CATCH: Phase.HOLDING,
    kinds.NONTARGET: Phase.HOLDING,
    kinds.INOPERATIVE: Phase.OUT_OF_ORDER,
    kinds.RELEASE: Phase.SPRUNG,
    kinds.DISPATCH: Phase.SPRUNG,
    kinds.SUBMERGED: Phase.SPRUNG,
    kinds.PULLED: Phase.PULLED,
}
NOT_WRITTEN = "write down the injuries of a held animal, also when none were seen"


def by_name(word: str) -> tuple[tuple[int, int, str], ...]:
    """Key that sorts T-2 before T-10.

    Parameters
    ----------
    word : str
        Name of a set or trap.

    """
    return tuple((1, int(part), "") if part.isdecimal() else (0, 0, part) for part in re.split(r"(\d+)", word))


def fold(events: Iterable[Event]) -> LogState:
    """State of every set, trap and duty.

    Parameters
    ----------
    events : iterable of Event
        The log, in any order, with repeats; corrections and voids included.

    """
    now = standing(events)
    running = _Running()
    for event in now.events:
        if event.set_id is not None:
            _set(running, event)
        if event.trap_id is not None or event.set_id is not None:
            _trap(running, event)
        _duty(running, event)
    duties = {
        name: replace(duty, done=running.done[name]) if name in running.done else duty
        for name, duty in running.duties.items()
    }
    return LogState(
        MappingProxyType(running.sets), MappingProxyType(running.traps), MappingProxyType(duties), now.refused,
        MappingProxyType(running.done),
    )  # fmt: skip


def _set(running: _Running, event: Event) -> None:
    name = event.set_id
    assert name is not None
    state = running.sets.get(name) or SetState(name)
    found: dict[str, Any] = {"events": state.events + 1}
    phase = _PHASES.get(event.kind)
    if phase is not None:
        found["phase"] = phase
        if phase is not Phase.ARMED:
            found["armed_at"] = None
        elif event.kind != kinds.CHECKED or state.armed_at is None:
            found["armed_at"] = event.time
    if event.kind == kinds.SET:
        found.update({key: event.details.get(key) for key in ("site", "set_type", "target", "medium", "tag_present")})
        found.update(since=event.time, trap_id=event.trap_id, rig_id=event.rig_id, anchor_moved=None)
    elif event.kind in kinds.OF_A_TRAP and event.trap_id is not None:
        found.update(trap_id=event.trap_id, rig_id=event.rig_id or state.rig_id)
    if event.kind in kinds.LOOKS:
        found["seen"] = event.time
        if event.kind != kinds.CHECKED or event.details["method"] == "in person":
            found["seen_in_person"] = event.time
    elif event.kind == kinds.ANCHOR_MOVED:
        found["anchor_moved"] = event.time
    elif event.kind == kinds.PROOF_PULL:
        found["proof_pulled"] = event.time
    running.sets[name] = replace(state, **found)


def _trap(running: _Running, event: Event) -> None:
    name = event.trap_id
    if name is None and event.set_id is not None:
        name = running.sets[event.set_id].trap_id
    if name is None:
        return
    state = running.traps.get(name) or TrapState(name)
    force = event.details.get("trip_force")
    if event.kind in kinds.DISTURBED:
        state = replace(state, fired_since=state.fired_since + 1)
    if force is not None:
        state = replace(state, trip_force=float(force), read_at=event.time, fired_since=0)
    if event.kind in (kinds.SET, kinds.RESET):
        state = replace(state, set_id=event.set_id, lost=False)
    elif event.kind == kinds.PULLED:
        state = replace(state, set_id=None)
    elif event.kind == kinds.INOPERATIVE:
        lost = event.details["cause"] in ("missing", "stolen")
        state = replace(state, lost=lost, set_id=None if lost else event.set_id)
    running.traps[name] = state


def _duty(running: _Running, event: Event) -> None:
    if event.kind == kinds.DUTY:
        due = event.details["due"]
        running.duties[event.id] = DutyState(
            event.id, event.details["act"] or "", None if due is None else moment(due, "due"),
            event.details.get("about") or event.set_id or event.trap_id,
        )  # fmt: skip
    elif event.kind == kinds.DONE:
        duty = event.details["duty"]
        if duty is not None:
            running.done[duty] = min(event.time, running.done.get(duty, event.time))
    elif event.kind in kinds.CATCHES and event.details.get("injuries") is None:
        running.duties[event.id] = DutyState(event.id, NOT_WRITTEN, event.time, event.set_id)
        running.unwritten[event.set_id or ""] = event.id
    elif event.kind == kinds.RELEASE and event.details.get("injuries") is not None:
        # Often he looks the animal over only when it is let go.
        caught = running.unwritten.pop(event.set_id or "", None)
        if caught is not None:
            running.done[caught] = event.time
