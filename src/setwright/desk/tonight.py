"""Which sets will work tonight, which still submerge, and what to do about it before dark."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import line_of
from setwright.desk import caution_words as words
from setwright.desk import tonight_document as doc
from setwright.desk.cautions import treated_cautions
from setwright.desk.document import Caution
from setwright.desk.tonight_cover import additive_of, cover_totals
from setwright.desk.tonight_nights import coming_of
from setwright.desk.tonight_set import SetFound, evening_set, found_of
from setwright.desk.tonight_words import light_of, record_of, say_of, trapper_of
from setwright.desk.tonight_work import work_of
from setwright.desk.wording import clock, show
from setwright.line.assemble import SEED, Job, prepare
from setwright.line.book import read_book
from setwright.line.records import Fresh
from setwright.weather.tables import checked_additive

DRAWS = 300
# Sets in the order in which they need a look.
NEEDS = {
    "breaks": 0, "will not fire": 0, "does not": 0, "dry": 0, "too shallow": 1, "too deep": 1, "cannot tell": 2,
    "doubtful": 3,
}  # fmt: skip
NOTES = (
    "Frost is computed hour by hour under nine nights: 2 K colder to 2 K milder, cover drier to wetter; that makes "
    "the bands. The strength of frozen cover was never measured and may be half or twice what is taken.",
    "The level goes as in whole waits of the record; nothing rarer than the record holds is in the figures.",
    "Ice over a pan is computed, never measured: no figure here says what ice carries.",
    "Nothing here is legal advice; the law of the place and licensed practice come first.",
)


def read_evening(
    path: Path, fresh: Fresh, *, now: datetime | None = None, draws: int = DRAWS, seed: int = SEED
) -> Job:
    """Read a book for one evening; `now` goes before the day and hour that the book says.

    Raises
    ------
    BadInput
        When the book or a file of the evening cannot be used.
    """
    book, raw = read_book(path)
    if now is not None:
        local = (now if now.tzinfo is not None else now.replace(tzinfo=book.line.zone)).astimezone(book.line.zone)
        head = book.line.model_copy(
            update={"date": local.date(), "set_at": local.time().replace(second=0, microsecond=0, tzinfo=None)}
        )
        book = book.model_copy(update={"line": head})
    try:
        return prepare(book, path.resolve().parent, draws=draws, seed=seed, fresh=fresh)
    except BadInput as error:
        if error.file is not None:
            raise
        steps = tuple(int(s) if s.isdigit() else s for s in (error.field or "").replace(" ", ".").split("."))
        raise error.at(file=path, line=line_of(raw, steps)) from None


def tonight(
    path: Path,
    *,
    fresh: Fresh | None = None,
    now: datetime | None = None,
    minutes: float | None = None,
    additive: str | None = None,
    nights: int = 0,
    draws: int = DRAWS,
    seed: int = SEED,
    progress: Callable[[str], None] | None = None,
) -> doc.Tonight:
    """Answer for every set that stands: does it fire, does it work, does it submerge, and what saves it.

    Parameters
    ----------
    path : Path
        Line book.
    fresh : Fresh, optional
        Forecast and gauge of the evening, which go before the book's records.
    now : datetime, optional
        Moment asked for; the day and hour of the book when not given.
    minutes : float, optional
        Minutes left for work; to sunset when not given.
    additive : str, optional
        What may be mixed into covers, such as `sodium-chloride`: how much it would take, and what it does besides.
    nights : int
        Coming nights to look at in every cover of the line, 0 to 7.

    Raises
    ------
    BadInput
        When a file cannot be used, when no set stands, and for an additive that is refused.
    """
    if minutes is not None and not 0.0 <= minutes <= 1440.0:
        raise BadInput("minutes of one evening", field="--minutes", found=minutes, allowed="0 to 1440")
    if additive is not None:
        checked_additive(additive)
    if not 0 <= nights <= 7:
        raise BadInput("coming nights", field="--nights", found=nights, allowed="0 to 7")
    job = read_evening(path, Fresh() if fresh is None else fresh, now=now, draws=draws, seed=seed)
    if not job.stated:
        raise BadInput(
            "no set stands: no site of this book has a rig with a trap", file=path, field="sites",
            allowed="rig: {trap: ...} at a site, or `setwright plan` for what to set",
        )  # fmt: skip
    found: list[SetFound] = []
    for site in job.sites:
        if site.key in job.stated:
            if progress is not None:
                progress(site.name)
            found.append(found_of(job, site.key))
    sets = [evening_set(job, one) for one in found]
    order = {leg.place.key: rank for rank, leg in enumerate(job.legs)}
    sets.sort(key=lambda one: (urgency(one), order[one.site]))
    made = found[0].context.check.made
    work = work_of(job, found, sets, minutes)
    empty = [site.number for site in job.sites if site.key not in job.stated]
    notes = list(NOTES)
    if job.day.conditions.soil_temperature is None and any(one.frost is not None for one in found):
        notes.append(
            "Nobody read the ground: its warmth was followed through the record, or guessed from this night. A "
            "reading two inches down when the sets are made decides the first night."
        )
    if empty:
        notes.append(
            f"No trap is stated for {len(empty)} of the sites (numbers {', '.join(map(str, empty))}): left out here."
        )
    return doc.Tonight(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        seed=job.seed,
        draws=job.draws,
        line=job.book.line.name,
        place=job.book.line.place or "place not stated",
        invented=job.book.line.invented,
        now=made.isoformat(timespec="minutes"),
        check=f"seen on the run of {clock(job.start)}",
        say=say_of(sets, work),
        counts=_counts(sets),
        records=[record_of(note, made) for note in job.day.records],
        light=light_of(job.day.sun, job.day.next_sun),
        trapper=trapper_of(job.day.conditions.night, job.day.wind),
        sets=sets,
        work=work,
        covers=cover_totals(sets),
        additive=None if additive is None else additive_of(additive, found, sets),
        coming=coming_of(job, found, nights) if nights else None,
        cautions=_cautions(job, found),
        notes=notes,
    )


def urgency(one: doc.EveningSet) -> int:
    """How soon a set needs a look: 0 out of order or holding alive against its purpose, 9 in order."""
    said = (one.fires, one.works, one.submerges, "breaks" if one.law == "breaks" else None)
    return min((NEEDS[word] for word in said if word in NEEDS), default=9)


def _counts(sets: list[doc.EveningSet]) -> dict[str, int]:
    found = dict.fromkeys(("fires", "doubtful", "will not fire", "cannot tell"), 0)
    for one in sets:
        found[one.fires] += 1
    found["water out of reach"] = sum(one.works in ("too deep", "too shallow", "dry") for one in sets)
    found["does not submerge"] = sum(one.submerges == "does not" for one in sets)
    found["submersion not told"] = sum(one.submerges == "cannot tell" for one in sets)
    return found


def _cautions(job: Job, found: list[SetFound]) -> list[Caution]:
    """What must be read before anybody goes out at dusk, gravest first."""
    wet = [one for one in found if one.context.site.medium == "water"]
    night = job.day.conditions.night
    told = []
    if wet:
        told.append(Caution(head="You, in the water", text=words.WADING))
        told.append(Caution(head="Cold water", text=words.COLD_WATER))
    if wet and (night is None or float(np.min(night.air)) < 0.0):
        told.append(Caution(head="Ice", text=words.ICE))
    if any(one.rig.slide is not None for one in found):
        told.append(Caution(head="Submersion", text=words.SUBMERSION))
    told.append(Caution(head="Your hands", text=words.HANDS))
    told += treated_cautions([one.rig for one in found])
    if night is not None and float(np.min(night.air)) <= -10.0:
        low = show(float(np.min(night.air)), "temperature")
        told.append(Caution(head="Hard cold", text=words.HARD_COLD.format(low=low)))
    return told
