"""The parts of a plan that belong to the line as a whole: its head, the check run, the kit, the load."""

from __future__ import annotations

from datetime import datetime

from setwright.basis.units import fahrenheit
from setwright.desk import document as doc
from setwright.desk.load import load_shown
from setwright.desk.wording import clock, hours, show
from setwright.line.assemble import Assembly, Job
from setwright.line.kit import pick_list
from setwright.line.load import load_of
from setwright.line.run import Leg
from setwright.sets.model import Rig, SiteFacts
from setwright.weather.sun import SunTimes


def run_of(job: Job, empty: frozenset[str] = frozenset()) -> doc.Run:
    """The check run with its times; sites in `empty` hold no set, but the times still count them."""
    zone = job.book.line.zone
    stops = [_stop(job, leg, order, leg.place.key in empty) for order, leg in enumerate(job.legs, start=1)]
    held = [stop for stop in stops if stop.site not in empty]
    late = [stop for stop in held if stop.late]
    tight = min(
        (stop for stop in held if stop.left_hours is not None), key=lambda s: s.left_hours or 0.0, default=None
    )
    say = f"Leave {clock(job.start.astimezone(zone))}, back {clock(job.back.astimezone(zone))}"
    if late:
        say += f"; reached too late: {len(late)}"
    elif tight is not None and tight.left_hours is not None:
        say += f"; the tightest is set {tight.number} with {hours(tight.left_hours)} in hand"
    sunset = None if job.day.next_sun is None else job.day.next_sun.sunset
    warnings = []
    if sunset is not None and job.back > sunset:
        warnings.append("The run ends after sunset.")
    if job.base is None:
        warnings.append("No positions are in the book: the run is only a list.")
    return doc.Run(
        start=job.start.astimezone(zone).isoformat(timespec="minutes"),
        finish=job.back.astimezone(zone).isoformat(timespec="minutes"),
        light=_light(job.day.next_sun),
        total_distance=job.total,
        stops=stops,
        say=say + ".",
        warnings=warnings,
    )


def _light(sun: SunTimes | None) -> dict[str, str | None]:
    names = ("dawn", "sunrise", "sunset", "dusk")
    if sun is None:
        return dict.fromkeys(names)
    moments = {name: getattr(sun, name) for name in names}
    return {
        name: None if moment is None else moment.isoformat(timespec="minutes") for name, moment in moments.items()
    }


def _stop(job: Job, leg: Leg, order: int, empty: bool) -> doc.Stop:
    site = next(s for s in job.sites if s.key == leg.place.key)
    zone = job.book.line.zone
    why = "holds alive" if leg.place.restraining else "submersion"
    if leg.left is not None and leg.left < 3:
        why += ", limit near"
    if empty:
        why = "no set is planned here; the times still count the stop"
    return doc.Stop(
        order=order,
        site=site.key,
        number=site.number,
        name=site.name,
        arrive=leg.arrive.astimezone(zone).isoformat(timespec="minutes"),
        leave=leg.leave.astimezone(zone).isoformat(timespec="minutes"),
        limit=None if leg.place.limit is None else leg.place.limit.astimezone(zone).isoformat(timespec="minutes"),
        left_hours=None if leg.left is None else round(leg.left, 2),
        distance=round(leg.distance, 1),
        bearing_deg=round(leg.bearing, 1),
        mode=leg.place.access,
        restraining=leg.place.restraining,
        why=why,
        late=leg.late,
    )


def _rigs(assembly: Assembly) -> list[tuple[SiteFacts, Rig]]:
    return [
        (planned.context.site, rig)
        for planned in assembly.sets
        if planned.result is not None
        for rig in planned.result.rig.singles
    ]


def load_of_line(assembly: Assembly) -> doc.Load | None:
    """Weights of the set-out; a beaver is taken by the heavy end of its mass."""
    sets = _rigs(assembly)
    if not sets:
        return None
    masses = [planned.context.target.mass for planned in assembly.sets if planned.context.site.target == "beaver"]
    heavy = max((mass.high or mass.number for mass in masses if mass.known), default=None)
    return load_shown(load_of(sets, pick_list(sets), assembly.job.book.outfit.boat, heavy))


def kit_of(assembly: Assembly) -> list[doc.KitItem]:
    """The pick list of the planned sets."""
    sets = _rigs(assembly)
    return [
        doc.KitItem(
            compartment=item.compartment,
            item=item.name,
            count=item.count,
            unit=item.unit,
            mass=item.mass,
            sites=", ".join(str(number) for number in item.sites),
            note=item.note if item.volume is None else f"{show(item.volume, 'volume')}; {item.note}",
        )
        for item in pick_list(sets)
    ]


def line_of_plan(job: Job) -> doc.Line:
    """Head of the plan."""
    head, night = job.book.line, job.day.conditions.night
    season = "not stated"
    if head.season_open is not None and head.season_close is not None:
        season = f"{head.season_open:%d %b %Y} to {head.season_close:%d %b %Y}"
    weather = "no weather record: frost cannot be told"
    if night is not None:
        low, rain = float(night.air.min()), float(night.rain.sum() + night.before_rain[-24:].sum())
        weather = f"air down to {fahrenheit(low)} by the check, {rain:.1f} mm of rain on the day and in the night"
        if night.assumed_sky:
            weather += "; sky assumed"
    records = []
    for note in job.day.records:
        words = "stand-in record: real, but of another place and year" if note.stand_in else "record of this place"
        records.append(
            doc.Record(
                what=note.what,
                label=note.label,
                origin=note.origin,
                licence=note.licence,
                stand_in=note.stand_in,
                say=words,
            )
        )
    packs = [pack for pack in job.packs if not pack.profile]
    return doc.Line(
        name=head.name,
        place=head.place or "place not stated",
        invented=head.invented,
        date=head.date.isoformat(),
        timezone=head.timezone,
        base=job.base,
        season=season,
        check=f"set {clock(_made(job))}, seen on the run of {clock(job.start)}",
        weather=weather,
        law_pack="; ".join(pack.title for pack in packs) or "none: every legal question is open",
        law_checked="; ".join(pack.checked for pack in packs),
        records=records,
    )


def _made(job: Job) -> datetime:
    head = job.book.line
    return datetime.combine(head.date, head.set_at, head.zone)
