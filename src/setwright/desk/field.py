"""The pack for the field: what the plan, the law and the log say of every set, to be read where no signal is."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path
from typing import Any

import setwright
from setwright.animal.tables import species, split_roles
from setwright.basis.units import metric
from setwright.desk import caution_words
from setwright.desk import document as plan_doc
from setwright.desk import field_document as doc
from setwright.desk.field_clocks import clocks
from setwright.desk.log import store_place
from setwright.desk.log_due import duties
from setwright.desk.log_sprung import SEEN
from setwright.desk.log_sync import has_log
from setwright.desk.log_words import now_in
from setwright.line.animals import animals_of
from setwright.line.assemble import Job
from setwright.line.brief import Brief, BriefSite, read_brief
from setwright.log.event import Event
from setwright.log.fold import LogState, SetState, fold
from setwright.log.sprung import ENOUGH, MOST_LOOKS
from setwright.log.store import Store
from setwright.log.tables import sprung_tree

LETTING_GO = (
    "Your own safety first: catch-pole or board between, cover over the head, both levers or springs in one press. "
    "Look the foot over before it goes; a hurt animal is a matter for the warden or a vet, not for guessing."
)
Drawn = Callable[[plan_doc.Figure], tuple[str, Sequence[tuple[str, str]]]]


def field_pack(
    book: Path,
    job: Job,
    plan: plan_doc.Plan,
    drawn: Drawn,
    *,
    name: str,
    role: str,
    may: Collection[str],
    store: str | None = None,
    now: dt.datetime | None = None,
) -> doc.FieldPack:
    """Put together what goes along.

    Parameters
    ----------
    book : Path
        Line book.
    job : Job
        The same book, read and made ready.
    plan : Plan
        Its plan.
    drawn : callable
        Draws the section of a set; gives the drawing and the words of its letters.
    name, role, may : str, str, collection of str
        Who takes it along, and what his role allows; positions go only to whoever may see `places`.
    store : str, optional
        File or URL of the log; the file beside the book otherwise.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When book or log cannot be read.
    """
    brief = read_brief(book)
    moment = now or now_in(brief.zone)
    named = _animals(job)
    events: list[Event] = []
    last = 0
    if has_log(book, store):
        with Store(store_place(book, store), create=False) as place:
            last = place.last()
            events = place.read()
    state = fold(events)
    looks, _ = duties(job.book, job.packs, events, moment)
    due = {one.about: one for one in looks if one.what == "look at the set"}
    stops = {stop.site: stop for stop in plan.run.stops}
    sites = {site.key: site for site in brief.sites}
    places = "places" in may
    found: dict[str, Any] = {
        "line": _line(plan, brief),
        "run": _run(plan, places),
        "sets": [
            _set(part, brief, sites[part.site.id], stops.get(part.site.id), due, state, drawn, places)
            for part in plan.sets
        ],
        "animals": [
            doc.FieldAnimal(key=key, name=words, domestic=bool({"pet", "stock"} & set(roles)))
            for key, (words, roles) in sorted(named.items(), key=lambda pair: pair[1])
        ],
        "tree": tree(),
        "clocks": clocks(job.packs, list(named)),
        "dog_release": list(caution_words.DOG_RELEASE),
        "letting_go": LETTING_GO,
        "dispatch": caution_words.DISPATCH,
        "disease": [plan_doc.Caution(head="Disease", text=caution_words.RABIES)],
        "cautions": plan.cautions,
        "questions": [entry.text for entry in plan.questions],
    }
    shown = {
        key: part.model_dump(mode="json") if hasattr(part, "model_dump") else [_plain(one) for one in part]
        for key, part in found.items()
        if not isinstance(part, str)
    }
    words = json.dumps([shown, places, setwright.__version__], sort_keys=True, ensure_ascii=False)
    return doc.FieldPack(
        schema=doc.SCHEMA, program=f"setwright {setwright.__version__}", made=moment.isoformat(), planned=plan.made,
        digest=hashlib.sha256(words.encode()).hexdigest(), log_last=last,
        person=doc.FieldPerson(name=name, role=role, may=sorted(may)), **found,
    )  # fmt: skip


def _animals(job: Job) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Name and roles of every animal that the table or the book knows."""
    table = species()
    found = {key: (table.text(key, "name"), split_roles(table.text(key, "role"))) for key in table}
    return found | {key: (one.name, one.roles) for key, one in animals_of(job.book).items()}


def _plain(part: Any) -> Any:
    return part.model_dump(mode="json") if hasattr(part, "model_dump") else part


def _line(plan: plan_doc.Plan, brief: Brief) -> doc.FieldLine:
    line = plan.line
    return doc.FieldLine(
        name=brief.name, place=line.place, invented=line.invented, zone=line.timezone, date=line.date,
        season=line.season, check=line.check, law=line.law_pack, law_checked=line.law_checked,
        units="metric" if metric() else "us",
    )  # fmt: skip


def _run(plan: plan_doc.Plan, places: bool) -> doc.FieldRun:
    run = plan.run
    say = run.say if places else f"{len(run.stops)} sets in the order of the run."
    return doc.FieldRun(say=say, start=run.start, finish=run.finish, warnings=run.warnings if places else [])


def _set(
    part: plan_doc.SetPlan, brief: Brief, site: BriefSite, stop: plan_doc.Stop | None, due: Mapping[str, Any],
    state: LogState, drawn: Drawn, places: bool,
) -> doc.FieldSet:  # fmt: skip
    here = part.site
    drawing, keys = drawn(part.figure)
    known = state.sets.get(here.id)
    trap = site.trap or part.rig.trap or None
    return doc.FieldSet(
        id=here.id, number=here.number, name=here.name,
        latitude=here.latitude if places else None, longitude=here.longitude if places else None,
        access=here.access if places else "", medium=here.medium, target=here.target, target_name=here.target_name,
        set_words=here.set_type, holds_alive=part.restraining, say=part.say, must=part.must, standing=part.standing,
        law_answer=part.law_answer, welfare_answer=part.welfare_answer,
        law=[
            doc.FieldFinding(
                name=one.rule, answer=one.answer, reason=one.reason, source=one.citation, question=one.question
            )
            for one in part.law
        ],
        welfare=[
            doc.FieldFinding(name=one.gate, answer=one.answer, reason=one.reason, source=one.source)
            for one in part.welfare
        ],
        links=[
            doc.FieldLink(link=one.link, standing=one.standing, governs=one.governs, why=one.why, mend=one.mend)
            for one in part.links
        ],
        expected=doc.FieldExpected(
            trap=trap, rig=None if trap is None else brief.rigs.get(trap), label=part.rig.label,
            set_type=site.set_type, target=site.target, anchor=site.anchor, chain=site.chain, cover=site.cover,
            swivels=part.rig.swivels, facts=part.rig.facts,
        ),
        animals=[one.species for one in part.outcome if one.species not in ("misfire", "nothing", here.target)],
        steps=part.steps, cautions=part.cautions, drawing=drawing, keys=list(keys),
        stop=None if stop is None else doc.FieldStop(order=stop.order, arrive=stop.arrive, limit=stop.limit),
        due=_due(due.get(here.id), stop), state=None if known is None else _state(known),
    )  # fmt: skip


def _due(found: Any, stop: plan_doc.Stop | None) -> doc.FieldDue:
    if found is not None:
        return doc.FieldDue(by=None if found.by is None else found.by.isoformat(), why=found.why, told_by="the log")
    if stop is not None:
        return doc.FieldDue(by=stop.limit, why=stop.why, told_by="the plan")
    return doc.FieldDue(by=None, why="neither log nor plan says by when; look daily", told_by="nobody")


def _state(one: SetState) -> doc.FieldState:
    def said(moment: dt.datetime | None) -> str | None:
        return None if moment is None else moment.isoformat()

    return doc.FieldState(
        phase=one.phase.value, trap=one.trap_id, rig=one.rig_id, since=said(one.since), seen=said(one.seen_in_person)
    )


def tree() -> doc.FieldTree:
    """Looks and causes of a trap that lies sprung and empty."""
    found = sprung_tree()
    return doc.FieldTree(
        causes=[
            doc.FieldCause(
                medium=one.medium, share=one.share, label=one.label, evidence=one.evidence, change=one.change
            )
            for one in found.causes
        ],
        looks=[
            doc.FieldLook(
                key=one.key, question=one.question, answers={word: list(row) for word, row in one.answers.items()}
            )
            for one in found.looks
        ],
        enough=ENOUGH, most=MOST_LOOKS, seen=[(look, answer, words) for (look, answer), words in SEEN.items()],
    )  # fmt: skip
