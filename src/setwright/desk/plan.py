"""The plan of a line: read the book, compute every set, and put it all into one document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from ruamel.yaml.comments import CommentedMap

import setwright
from setwright.basis.errors import BadInput
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
from setwright.desk.plan_line import kit_of, line_of_plan, load_of_line, run_of
from setwright.desk.trip_curve import trip_curve
from setwright.desk.wording import render, sentence
from setwright.line.assemble import DRAWS, SEED, Assembly, Job, PlannedSet, plan_line, plan_site, prepare
from setwright.line.book import LineBook, read_book
from setwright.sets import submerge
from setwright.sets.evening_frost import frost_evening
from setwright.sets.evening_water import water_evening
from setwright.sets.record import NOTHING
from setwright.sets.under import takes_under

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
        site=site_of(context),
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
        load=load_of_line(assembly),
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
    as_is = "1 stands as it is" if good == 1 else f"{good} stand as they are"
    words = [f"{len(sets)} set{'' if len(sets) == 1 else 's'}: {as_is}"]
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
