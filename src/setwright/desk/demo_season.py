"""A season made up for the demo line: who comes and what holds is invented, and every event says so."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from setwright.animal.welfare_tables import injury_scale
from setwright.desk.log import store_place
from setwright.line.book import LineBook, SiteEntry, read_book
from setwright.line.brief import expand, rig_name
from setwright.log import kinds
from setwright.log.event import Event
from setwright.log.simulate import DEVICE, MadeUpAnimal, MadeUpSet, season
from setwright.log.store import Store

SEED, NIGHTS = 20, 42
# Invented: visits a night by the level of sign, and of pets and others that nobody has looked for.
RATES = {"none": 0.003, "old": 0.03, "some": 0.08, "fresh": 0.22, "heavy": 0.5}
INJURIES = ("I01", "I03", "I10", "I22")
CHANCES = (0.12, 0.18, 0.1, 0.05)
PETS = ("dog_medium", "dog_large", "house_cat", "stock")
FORGOTTEN = 0.06


def demo_season(book: Path) -> list[Event]:
    """Events of a season on a line, from its own sign, traps and sites; the same every time.

    Parameters
    ----------
    book : Path
        Line book.
    """
    found, _ = read_book(book)
    open_day = found.line.season_open or found.line.date
    begin = dt.datetime.combine(open_day, dt.time(9, 0), found.line.zone)
    begin = begin.replace(tzinfo=dt.timezone(begin.utcoffset() or dt.timedelta()))
    scale = injury_scale()
    keys = [key for key in INJURIES if key in scale]
    made = [one for number, entry in enumerate(found.sites) if (one := _set(found, entry, number)) is not None]
    events = season(made, begin, NIGHTS, SEED, keys, FORGOTTEN)
    rule = Event(
        id="20202020-2020-4020-8020-202020202020", device=DEVICE, kind=kinds.DECLARED,
        time=begin - dt.timedelta(hours=1), rig_id=made[0].rig_id,
        details={
            "measure": "light_injury", "line": 0.7, "rule": "proof", "severe_stop": 3,
            "note": "made up: declared before the first set was made",
        },
    )  # fmt: skip
    return sorted([rule, *events], key=lambda event: event.order)


def write_demo_season(book: Path) -> Path:
    """Write the made-up season into the log beside a book, once; returns the book.

    Raises
    ------
    StoreFault
        When the log cannot be written.
    """
    with Store(store_place(book)) as place:
        place.append(demo_season(book))
    return book


def _set(book: LineBook, entry: SiteEntry, number: int) -> MadeUpSet | None:
    rig = entry.rig
    trap = next((one for one in book.outfit.traps if rig and rig.trap in expand(one.id, one.count)), None)
    if rig is None or trap is None:
        return None
    animals = {
        key: MadeUpAnimal(
            visits=RATES[level], step=0.35, fire=0.8, hold=0.92 if key == entry.target else 0.8,
            target=key == entry.target, domestic=key in PETS, injury=CHANCES,
        )
        for key, level in entry.sign.items()
    }  # fmt: skip
    return MadeUpSet(
        set_id=entry.id, site=entry.id, set_type=entry.set_type or "pocket", medium=entry.medium,
        target=entry.target, trap_id=rig.trap or "", rig_id=rig_name(trap.pattern, trap.jaws, trap.springs),
        animals=animals, misfires=0.02, trip_force=13.0, by_firing=-0.01, by_day=0.002,
        anchor=1600.0 if entry.medium == "land" else 0.0, loosened=0.55, minutes=6.0 + number % 5,
        cover=None if entry.cover is None else entry.cover.kind,
    )  # fmt: skip
