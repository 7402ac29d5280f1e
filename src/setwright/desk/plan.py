"""The plan of a line: read the book, compute every set, and put it all into one document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from ruamel.yaml.comments import CommentedMap

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.units import fahrenheit
from setwright.basis.verdict import Answer, Standing
from setwright.basis.yamlfile import line_of
from setwright.desk import describe
from setwright.desk import document as doc
from setwright.desk.cautions import cautions, lesson_cautions, release_steps, steps
from setwright.desk.facts import rig_of, site_of
from setwright.desk.figure import figure_of
from setwright.desk.footing import footing_of
from setwright.desk.gang import gang_of
from setwright.desk.hour_figures import frost_part, level_part
from setwright.desk.load import load_shown
from setwright.desk.trip_curve import trip_curve
from setwright.desk.wording import clock, hours, render, sentence, show
from setwright.line.assemble import DRAWS, SEED, Assembly, Job, PlannedSet, plan_line, plan_site, prepare
from setwright.line.book import LineBook, read_book
from setwright.line.kit import pick_list
from setwright.line.load import load_of
from setwright.line.run import Leg
from setwright.sets import submerge
from setwright.sets.evening_frost import frost_evening
from setwright.sets.evening_water import water_evening
from setwright.sets.model import Rig, SiteFacts
from setwright.sets.record import NOTHING
from setwright.sets.under import takes_under
from setwright.weather.sun import SunTimes

STANDING_ORDER = (Standing.SOUND, Standing.THIN, Standing.CANNOT_TELL, Standing.FAILS)
# Heads of cautions that belong to a line as much as to one set, gravest first.
LINE_HEADS = (
    "Your hands",
    "You, in the water",
    "Ice",
    "Cold water",
    "If a dog is held",
    "Dispatch",
    "Submersion",
    "People",
    "Hard cold",
    "Heat",
    "Bank ice",
    "Disease",
    "Hares and rabbits",
    "Mange",
    "Fleas",
)
NOTES = (
    "Mechanics figures are for comparing your own rigs until bench readings calibrate them.",
    "Visits are guesses from sign until two weeks are logged; every band is 90 %.",
    "Nothing here is legal advice; the law of the place and licensed practice come first.",
    "Welfare is judged by the rules of practice shown, never from a force.",
)


def read_job(path: Path, *, draws: int = DRAWS, seed: int = SEED) -> Job:
    """Read a line book and make it ready; errors name the file and, where it can be found, the line."""
    book, raw = read_book(path)
    return job_of(book, raw, path, draws=draws, seed=seed)


def job_of(book: LineBook, raw: CommentedMap, path: Path, *, draws: int = DRAWS, seed: int = SEED) -> Job:
    """Make a line book ready that was read from `path`, or is to stand there."""
    try:
        return prepare(book, path.resolve().parent, draws=draws, seed=seed)
    except BadInput as error:
        if error.file is not None:
            raise
        steps_in = tuple(int(s) if s.isdigit() else s for s in (error.field or "").replace(" ", ".").split("."))
        raise error.at(file=path, line=line_of(raw, steps_in)) from None


def learned_from(job: Job, path: Path, log: str | None, only: str | None = None) -> tuple[Job, str]:
    """The line after a log was read, and what to say of it; the line as it is when no log is named."""
    if log is None:
        return job, ""
    from setwright.desk.learning import learned_job
    from setwright.desk.log import BESIDE, read, store_place

    place = store_place(path, None if log == BESIDE else log)
    events = read(path, place)
    now = datetime.now(job.book.line.zone)
    lesson = learned_job(job, path.resolve().parent, events, now, only)
    return lesson.job, (
        f"Learned from {len(events)} events of the log: {len(lesson.rows)} quantities, before and after in the "
        "season book; --no-learning plans without it."
    )


def plan(
    path: Path,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
    progress: Callable[[str], None] | None = None,
    log: str | None = None,
) -> doc.Plan:
    """Plan the line of a book.

    Parameters
    ----------
    path : Path
        Line book.
    draws, seed : int
        Number and seed of the draws.
    progress : callable, optional
        Called with the name of every site when its turn comes.
    log : str, optional
        Log to learn from: a file, a URL, or `beside` for the one beside the book.

    Raises
    ------
    BadInput
        When the book or a file that it names cannot be used, or the line has no site yet.
    """
    job, told = learned_from(read_job(path, draws=draws, seed=seed), path, log)
    if not job.sites:
        raise BadInput(
            "the line has no site yet: there is nothing to plan", file=path, field="sites", found="none",
            allowed="one site or more; `setwright web` helps to add them",
        )  # fmt: skip
    found = document(plan_line(job, progress))
    return found.model_copy(update={"notes": [*found.notes, told]}) if told else found


def one_set(path: Path, site: str, *, draws: int = DRAWS, seed: int = SEED, log: str | None = None) -> doc.SetPlan:
    """Explain one set of a book: its stated rig, or the best of the outfit for it, after a log was read."""
    job = read_job(path, draws=draws, seed=seed)
    facts = next((s for s in job.sites if site in (s.key, str(s.number))), None)
    if facts is None:
        raise BadInput("no such site in the book", file=path, found=site, allowed=", ".join(s.key for s in job.sites))
    job, _ = learned_from(job, path, log, facts.key)
    facts = next(s for s in job.sites if s.key == facts.key)
    planned = plan_site(job, facts, job.stated.get(facts.key))
    if planned.result is None:
        raise BadInput(render(planned.empty_why), file=path, field=f"sites.{facts.number - 1}")
    return set_of(job, planned)


def set_of(job: Job, planned: PlannedSet) -> doc.SetPlan:
    """One planned set as its part of the document."""
    context, result = planned.context, planned.result
    assert result is not None
    record = context.rig_records.get(result.rig.trap.pattern, NOTHING)
    killing = submerge.is_intended(context, result.rig)
    dogs = any(key.startswith("dog") for key in context.species)
    in_water = context.site.medium == "water"
    frost = None if in_water else frost_evening(context, result.rig)
    return doc.SetPlan(
        site=site_of(context, job.base),
        rig=rig_of(context, result.rig),
        standing=result.standing.value,
        law_answer=result.lawful.value,
        welfare_answer=result.welfare.value,
        restraining=takes_under(context, result.rig) is not Answer.MEETS,
        say=describe.headline(context, result),
        must=describe.must(context, result),
        links=[describe.link_of(link) for link in result.links],
        outcome=describe.outcomes(context, result),
        trip_curve=trip_curve(context, result),
        hours_held=describe.hours_held(result),
        gang=gang_of(context, result, job.person),
        rigs=describe.ranked(planned.candidates, result.rig.trap.trap_id),
        law=describe.law_of(result),
        welfare=describe.welfare_of(result),
        bearing=describe.bearing_of(result.facts),
        record=describe.record_of(result.facts, record, killing=killing),
        advice=describe.advice_of(planned),
        cautions=cautions(context, result),
        release=list(release_steps()) if dogs else [],
        steps=steps(context, result),
        figure=figure_of(context, result),
        frost=None if frost is None else frost_part(frost, job.book.line.zone),
        level=level_part(context, water_evening(context, result.rig, cured=False)) if in_water else None,
        footing=footing_of(context, result),
        questions=describe.questions(result),
    )


def document(assembly: Assembly) -> doc.Plan:
    """The whole plan as a document."""
    job = assembly.job
    sets = [set_of(job, planned) for planned in assembly.sets if planned.result is not None]
    counts = Counter(found.standing for found in sets)
    barred = sum("breaks" in (found.law_answer, found.welfare_answer) for found in sets)
    empty = [planned for planned in assembly.sets if planned.result is None]
    run = run_of(job, frozenset(planned.context.site.key for planned in empty))
    questions = [
        doc.Question(site=found.site.id, text=text, why=f"set {found.site.number}, {found.site.name}")
        for found in sets
        for text in found.questions
    ]
    questions += [
        doc.Question(
            site=planned.context.site.key,
            text=sentence(render(planned.empty_why)),
            why=f"set {planned.context.site.number}, {planned.context.site.name}: stays empty in this plan",
        )
        for planned in empty
    ]
    notes = list(NOTES)
    if any(site.latitude is None for site in job.sites):
        notes.append(
            "Sites without a position are taken to lie at the start: distances and times of the run are too short."
        )
    return doc.Plan(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        made=datetime.now(job.book.line.zone).isoformat(timespec="seconds"),
        seed=job.seed,
        draws=job.draws,
        line=line_of_plan(job),
        say=_say(sets, barred, run),
        counts={
            **{standing.value: counts.get(standing.value, 0) for standing in STANDING_ORDER},
            "barred": barred,
            "empty": len(empty),
        },
        sets=sets,
        run=run,
        kit=kit_of(assembly),
        load=_load(assembly),
        outfit=[sentence(render(say)) for say in assembly.outfit],
        questions=questions,
        cautions=_line_cautions(sets),
        lesson=lesson_cautions(),
        notes=notes,
    )


def _say(sets: list[doc.SetPlan], barred: int, run: doc.Run) -> str:
    good = sum(
        found.standing == "sound" and found.law_answer == "meets" and found.welfare_answer == "meets"
        for found in sets
    )
    words = [f"{len(sets)} set{'' if len(sets) == 1 else 's'}: {good} stand as they are"]
    if barred:
        words.append(f"{barred} must not be made as described")
    mended = sum(
        bool(found.advice) for found in sets if not (found.standing == "sound" and found.law_answer == "meets")
    )
    if mended:
        words.append(f"{mended} can be mended from what you own")
    return f"{', '.join(words)}. {run.say}"


def _line_cautions(sets: list[doc.SetPlan]) -> list[doc.Caution]:
    """Cautions that many sets share, once, gravest first."""
    found: dict[tuple[int, str], doc.Caution] = {}
    for planned in sets:
        for caution in planned.cautions:
            if caution.head in LINE_HEADS:
                found.setdefault((LINE_HEADS.index(caution.head), caution.text[:20]), caution)
    return [found[place] for place in sorted(found, key=lambda place: place[0])]


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


def _load(assembly: Assembly) -> doc.Load | None:
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
        base=job.base or (0.0, 0.0),
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
