"""What the log teaches, drawn out of its events: feet on pans, readings of pans, pulls at anchors, minutes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from setwright.log import effort, kinds
from setwright.log.event import Event
from setwright.log.waits import Waits

DAY = 86_400_000_000.0


@dataclass(slots=True)
class Feet:
    """Visits of one animal at one site while the trap was armed.

    Parameters
    ----------
    contacts : int
        Visits with a foot on the pan: fired, or a track on it.
    refusals : int
        Visits with tracks at the set and none on the pan.

    """

    contacts: int = 0
    refusals: int = 0


@dataclass(slots=True)
class SiteEvidence:
    """What was written of one site.

    Parameters
    ----------
    nights : float [night]
        Trap-nights armed.
    feet : dict of str to Feet
        By animal.
    tracked : bool
        True when tracks without a foot on the pan are written down here: only then do refusals tell anything.

    """

    nights: float = 0.0
    feet: dict[str, Feet] = field(default_factory=dict)
    tracked: bool = False


@dataclass(frozen=True, slots=True)
class Segment:
    """Readings of one pan between two times that it was tuned, the first one as it was tuned.

    Parameters
    ----------
    trap_id : str
        The trap.
    began : int [µs]
        When it was tuned.
    days : tuple of float [d]
        Since then.
    firings : tuple of int
        Since then.
    force : tuple of float [N]
        Trip force read.
    open_firings : int
        Firings up to the last event of the trap.

    """

    trap_id: str
    began: int
    days: tuple[float, ...]
    firings: tuple[int, ...]
    force: tuple[float, ...]
    open_firings: int


@dataclass(frozen=True, slots=True)
class AnchorStory:
    """Pulls at the anchor of one set, before an animal worked at it and after.

    Parameters
    ----------
    set_id : str
        The set.
    before, after : tuple of (float, bool)
        Force [N] and whether it held.
    animals : int
        Animals held between the first pull and the last.

    """

    set_id: str
    before: tuple[tuple[float, bool], ...]
    after: tuple[tuple[float, bool], ...]
    animals: int


def sites(events: Sequence[Event], waits: Waits) -> dict[str, SiteEvidence]:
    """Feet and trap-nights by site.

    Parameters
    ----------
    events : sequence of Event
        As they stand, in order.
    waits : Waits
        Of the same events.

    """
    found: dict[str, SiteEvidence] = defaultdict(SiteEvidence)
    names, code = np.unique(waits.labels["site"], return_inverse=True)
    for number, name in enumerate(names):
        here = code == number
        nights = effort.armed(waits.nights[here], waits.fired[here], waits.armed_nights[here])
        if np.isnan(nights):
            nights = effort.corrected(waits.nights[here], waits.fired[here], waits.armed_nights[here])
        found[str(name)].nights = nights
    place: dict[str, str] = {}
    for event in events:
        if event.set_id is None:
            continue
        if event.kind == kinds.SET:
            place[event.set_id] = event.details.get("site") or event.set_id
            continue
        contact = event.kind in kinds.DISTURBED or event.kind == kinds.TRACK
        if not contact and event.kind != kinds.REFUSED:
            continue
        one = found[place.get(event.set_id, event.set_id)]
        one.tracked = one.tracked or event.kind == kinds.REFUSED
        name = event.details.get("species") or event.details.get("species_guess")
        if name is None or event.details.get("doubtful"):
            continue
        feet = one.feet.setdefault(name, Feet())
        feet.contacts += contact
        feet.refusals += not contact
    return dict(found)


def pans(events: Iterable[Event]) -> list[Segment]:
    """Readings of pans, in segments that begin when a pan is tuned.

    Parameters
    ----------
    events : iterable of Event
        As they stand, in order.

    """
    lies: dict[str, str] = {}
    running: dict[str, tuple[int, list[float], list[int], list[float]]] = {}
    fired: dict[str, int] = defaultdict(int)
    found: list[Segment] = []

    def close(trap: str) -> None:
        began, days, firings, force = running.pop(trap)
        found.append(Segment(trap, began, tuple(days), tuple(firings), tuple(force), fired[trap]))

    for event in events:
        trap = event.trap_id or lies.get(event.set_id or "")
        if event.set_id is not None and event.trap_id is not None:
            lies[event.set_id] = event.trap_id
        if trap is None:
            continue
        if event.kind in kinds.DISTURBED:
            fired[trap] += 1
        force = event.details.get("trip_force")
        if force is None:
            continue
        if event.kind in (kinds.SET, kinds.RESET) or trap not in running:
            if trap in running:
                close(trap)
            fired[trap] = 0
            running[trap] = (event.instant, [0.0], [0], [float(force)])
        else:
            began, days, firings, forces = running[trap]
            days.append((event.instant - began) / DAY)
            firings.append(fired[trap])
            forces.append(float(force))
    for trap in list(running):
        close(trap)
    return found


def anchors(events: Iterable[Event]) -> list[AnchorStory]:
    """Pulls at anchors, one story for each making of a set that has a pull.

    Parameters
    ----------
    events : iterable of Event
        As they stand, in order.

    """
    running: dict[str, tuple[list[tuple[float, bool]], list[tuple[float, bool]], int]] = {}
    found: list[AnchorStory] = []

    def close(name: str) -> None:
        before, after, animals = running.pop(name)
        if before or after:
            found.append(AnchorStory(name, tuple(before), tuple(after), animals))

    for event in events:
        name = event.set_id
        if name is None:
            continue
        if event.kind in (kinds.SET, kinds.PULLED):
            if name in running:
                close(name)
            if event.kind == kinds.SET:
                running[name] = ([], [], 0)
        elif name not in running:
            continue
        elif event.kind in kinds.CATCHES:
            before, after, animals = running[name]
            running[name] = (before, after, animals + 1)
        elif event.kind == kinds.PROOF_PULL:
            force, held = event.details.get("force"), event.details.get("held")
            if force is not None and held is not None and force > 0:
                before, after, animals = running[name]
                (after if animals else before).append((float(force), bool(held)))
    for name in list(running):
        close(name)
    return found


def minutes(events: Iterable[Event]) -> dict[str, list[float]]:
    """Minutes of every visit at which they were written, by set.

    Parameters
    ----------
    events : iterable of Event
        As they stand, in order.

    """
    visits: dict[tuple[str, str], float] = defaultdict(float)
    for event in events:
        spent = event.details.get("minutes")
        if spent is not None and spent > 0 and event.set_id is not None and event.kind != kinds.SET:
            visits[(event.set_id, event.visit or event.id)] += float(spent)
    found: dict[str, list[float]] = defaultdict(list)
    for (name, _), spent in visits.items():
        found[name].append(spent)
    return dict(found)
