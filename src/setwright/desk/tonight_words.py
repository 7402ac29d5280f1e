"""Records, light and the trapper himself, in words."""

from __future__ import annotations

import datetime as clock
from collections import Counter

import numpy as np

from setwright.desk import tonight_document as doc
from setwright.desk.wording import render, sentence, show
from setwright.line.night import RecordNote
from setwright.sets.context import Floats
from setwright.sets.model import Night
from setwright.weather.chill import trapper_warning, wind_chill
from setwright.weather.forecast import MOST_AGE
from setwright.weather.heat import heat_index
from setwright.weather.sun import LegalLight, SunTimes, legal_light


def record_of(note: RecordNote, now: clock.datetime) -> doc.EveningRecord:
    """A record with its age at the moment asked for; of a stand-in record no age is told."""
    age = None
    if note.issued is not None and not note.stand_in:
        age = round((now.astimezone(clock.UTC) - note.issued.astimezone(clock.UTC)).total_seconds() / 3600.0, 2)
    stale = note.what == "forecast" and age is not None and not 0 <= age <= MOST_AGE.total_seconds() / 3600.0
    return doc.EveningRecord(
        what=note.what,
        label=note.label,
        origin=note.origin,
        stand_in=note.stand_in,
        issued=None if note.issued is None else note.issued.astimezone(now.tzinfo).isoformat(timespec="minutes"),
        age_hours=age,
        stale=stale,
        remarks=[sentence(render(remark)) for remark in note.remarks],
    )


def light_of(sun: SunTimes | None, next_sun: SunTimes | None) -> doc.Light:
    """Sun of the evening and of the next morning, rounded inward; the rule of the place says what counts from it."""
    this, then = (None if day is None else legal_light(day) for day in (sun, next_sun))
    evening = None if this is None else this.end
    morning = None if then is None else then.begin
    dusk = None if sun is None else sun.dusk
    dawn = None if next_sun is None else next_sun.dawn
    return doc.Light(
        sunset=_stamp(evening), dusk=_stamp(dusk), dawn=_stamp(dawn), sunrise=_stamp(morning),
        say=_light_words(sun, this, then),
    )  # fmt: skip


def _light_words(sun: SunTimes | None, this: LegalLight | None, then: LegalLight | None) -> str:
    if sun is None:
        return "No place is in the book: the sun's hours are not known."
    if this is None or then is None or this.end is None or then.begin is None:
        return "The sun does not rise and set here now: the rule of the place must say which hours count."
    return (
        f"Sunset {this.end:%H:%M}, sunrise {then.begin:%H:%M}, each taken two minutes inward, hills left out. Which "
        "hours the law counts from them stands in the law of the place."
    )


def _stamp(moment: clock.datetime | None) -> str | None:
    return None if moment is None else moment.isoformat(timespec="minutes")


# From here on the index warns of heat: 80 °F, where its chart begins.
WARM = (80.0 - 32.0) / 1.8


def trapper_of(night: Night | None, wind: Floats | None) -> doc.Trapper:
    """What the wait does to a person: coldest air, wind chill on a bare face, and heat at work on a warm day."""
    found = _cold_of(night, wind)
    if night is None or night.humidity is None:
        return found
    felt = heat_index(night.air, night.humidity)
    felt = felt[~np.isnan(felt)]
    if not felt.size or float(felt.max()) < WARM:
        return found
    heat = float(felt.max())
    words = (
        f"By day it feels like {show(heat, 'temperature')} to a person at work in the shade, hotter in the sun: "
        "water, shade and rest, heavy work early; stop at the first dizziness."
    )
    return found.model_copy(update={"heat": heat, "say": f"{found.say} {words}"})


def _cold_of(night: Night | None, wind: Floats | None) -> doc.Trapper:
    if night is None:
        return doc.Trapper(coldest=None, chill=None, say="No weather: dress for worse than you expect.")
    coldest = float(np.min(night.air))
    if wind is None:
        return doc.Trapper(
            coldest=coldest, chill=None,
            say=f"Air down to {show(coldest, 'temperature')}; the wind is not known: it decides what a face feels.",
        )  # fmt: skip
    chills = wind_chill(night.air, wind)
    known = np.flatnonzero(~np.isnan(chills))
    place = int(known[np.argmin(chills[known])]) if known.size else int(np.argmin(night.air))
    warning = render(trapper_warning(float(night.air[place]), float(wind[place])))
    chill = float(chills[place]) if known.size else None
    felt = "" if chill is None else f", {show(chill, 'temperature')} with the wind"
    say = f"Air down to {show(coldest, 'temperature')}{felt}: {warning}. An index for people, none for animals."
    return doc.Trapper(coldest=coldest, chill=chill, say=say)


def say_of(sets: list[doc.EveningSet], work: doc.EveningWork) -> str:
    """The evening in one or two sentences."""
    count: Counter[doc.Fires] = Counter(one.fires for one in sets)
    wet = sum(one.works in ("too deep", "too shallow", "dry") for one in sets)
    alive = sum(one.submerges in ("does not", "cannot tell") for one in sets)
    parts = [f"{len(sets)} sets: {count['fires']} fire tonight"]
    phrases: dict[doc.Fires, str] = {
        "doubtful": "are doubtful", "will not fire": "will not", "cannot tell": "cannot be told",
    }  # fmt: skip
    for word, phrase in phrases.items():
        if count[word]:
            parts.append(f"{count[word]} {phrase}")
    if wet:
        parts.append(f"{wet} stand in the wrong depth")
    if alive:
        parts.append(f"{alive} made to submerge must be taken as sets that hold alive")
    told = ", ".join(parts) + "."
    if work.stops:
        done = [f"keep {work.saved} of them"] if work.saved else []
        up = sum(not stop.saves for stop in work.stops)
        done += [f"take up {up} that must not stand"] if up else []
        told += f" {work.minutes:.0f} minutes before dark {' and '.join(done)}."
    return told
