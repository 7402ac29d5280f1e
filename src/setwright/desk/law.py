"""A law pack by itself, and a line judged by it set by set and rule by rule."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Literal

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.verdict import Answer
from setwright.desk import law_document as doc
from setwright.desk.law_spare import spare
from setwright.desk.plan import read_job
from setwright.desk.wording import render, sentence
from setwright.law import tables as law_tables
from setwright.law.answer import plan_answer
from setwright.law.applies import stale
from setwright.law.compose import PackFinding, compose, together
from setwright.law.lint import coverage, lint
from setwright.law.pack import Pack
from setwright.line.assemble import Job
from setwright.sets import tables as set_tables
from setwright.sets.lawful import facts_of
from setwright.sets.model import SiteFacts
from setwright.sets.naming import plain_name

# The contexts of the sites are needed, not the bands.
DRAWS = 4
NOTES = (
    "This is no legal advice. A pack says what somebody read on a day; the text of the law, and the officer who "
    "explains it, come first.",
    "Cannot tell is an answer: nothing that is open was taken to be allowed.",
)
NO_TRAP = "no trap is named in the book: what hangs on it is open"
INVENTED = "A pack here is of an invented place: it is law nowhere, and no set may rest on it."


def law(pack: str, *, book: Path | None = None, site: str | None = None, on: date | None = None) -> doc.LawSheet:
    """Look a pack over, and judge the sets of a book by it.

    Parameters
    ----------
    pack : str
        Name of a pack that comes with the program, or path of a file.
    book : Path, optional
        Line book. Its permits, landowner's terms and profile are judged beside the pack; its own packs of law only
        when `pack` is no law itself.
    site : str, optional
        Id or number of the one site to judge.
    on : date, optional
        Day that is asked about; the day of the book, or today.

    Raises
    ------
    BadInput
        When a file cannot be used, or the book has no such site.

    """
    found = _read(pack)
    if book is None:
        if site is not None:
            raise BadInput(
                "a site is judged with its book", field="--site", found=site, allowed="--book BOOK --site SITE"
            )
        day = on or date.today()
        return _sheet([(_name(pack), found)], found, day, [])
    job = read_job(book, draws=DRAWS)
    day = on or job.book.line.date
    packs = _together(pack, found, job)
    chosen = [s for s in job.sites if site is None or site in (s.key, str(s.number))]
    if not chosen:
        raise BadInput("no such site in the book", file=book, found=site, allowed=", ".join(s.key for s in job.sites))
    return _sheet(packs, found, day, [(s, _judged(job, s, packs, day)) for s in chosen], job)


def _name(pack: str) -> str:
    return pack if pack in law_tables.shipped_packs() else Path(pack).name


def _read(pack: str) -> Pack:
    if pack in law_tables.shipped_packs():
        return law_tables.shipped_pack(pack)
    path = Path(pack)
    if "/" not in pack and "\\" not in pack and not path.suffix and not path.exists():
        return law_tables.shipped_pack(pack)
    return law_tables.read_pack_file(path)


def _together(name: str, pack: Pack, job: Job) -> list[tuple[str, Pack]]:
    """The asked pack with those of the book that are not replaced by it."""
    beside = [(one.name, one.pack) for one in job.packs if one.name not in (name, _name(name))]
    if pack.kind == "law":
        return [(_name(name), pack), *((key, other) for key, other in beside if other.kind != "law")]
    return [*((key, other) for key, other in beside if other.kind == "law"), (_name(name), pack),
            *((key, other) for key, other in beside if other.kind != "law")]  # fmt: skip


def _judged(job: Job, site: SiteFacts, packs: Sequence[tuple[str, Pack]], on: date) -> tuple[PackFinding, ...]:
    context = job.contexts[site.key]
    facts = facts_of(
        context, job.stated.get(site.key), traps_out=job.person.traps_out, tag_name=job.person.tag_name,
        stated=job.person.facts,
    )  # fmt: skip
    place = None if site.latitude is None or site.longitude is None else (site.latitude, site.longitude)
    return compose(packs, facts, on=on, species=site.target, place=place)


def _sheet(
    packs: Sequence[tuple[str, Pack]],
    asked: Pack,
    on: date,
    judged: Sequence[tuple[SiteFacts, tuple[PackFinding, ...]]],
    job: Job | None = None,
) -> doc.LawSheet:
    sets = [_set(site, found, packs, job) for site, found in judged]
    remarks = [
        doc.Remark(
            level=remark.level, place=remark.place, text=sentence(render(remark.text)),
            mend=sentence(render(remark.mend)),
        )
        for remark in lint(asked, on)
    ]  # fmt: skip
    topics = [
        doc.Topic(topic=c.topic, state=c.state, rules=list(c.rules), citation=c.citation, needed=c.needed)
        for c in coverage(asked)
    ]
    idle = [] if job is None else spare(job, packs, on, _rule, [site for site, _ in judged])
    notes = [*NOTES, *([INVENTED] if any(pack.invented for _, pack in packs) else [])]
    return doc.LawSheet(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        on=on.isoformat(),
        packs=[_head(name, pack, on) for name, pack in packs],
        remarks=remarks,
        topics=topics,
        sets=sets,
        spare=idle,
        ask=_asked(sets, packs, judged, on, "authority", job),
        look=_asked(sets, packs, judged, on, "trapper", job),
        say=_say(sets, remarks, topics),
        notes=notes,
    )


def _head(name: str, pack: Pack, on: date) -> doc.PackHead:
    start, end = pack.effective.start, pack.effective.end
    when = "never" if pack.checked_on is None else f"on {pack.checked_on.isoformat()}"
    return doc.PackHead(
        name=name,
        kind=pack.kind,
        title=pack.title,
        jurisdiction=pack.jurisdiction,
        authority=pack.authority,
        invented=pack.invented,
        in_force=f"{start or 'any day'} to {end or 'any day'}" if start or end else "no dates",
        checked=f"checked by {pack.checked_by or 'nobody'}, {when}" if pack.kind != "profile" else "good practice",
        stale=stale(pack, on) or "",
    )


_ORDER = {Answer.BREAKS: 0, Answer.CANNOT_TELL: 1, Answer.MEETS: 2}


def _set(
    site: SiteFacts, found: Sequence[PackFinding], packs: Sequence[tuple[str, Pack]], job: Job | None
) -> doc.JudgedSet:
    rig = None if job is None else job.stated.get(site.key)
    place = {name: number for number, (name, _) in enumerate(packs)}
    practice = [one.finding for one in found if one.kind == "profile"]
    order = sorted(found, key=lambda one: (_ORDER[one.finding.answer], place[one.pack]))
    return doc.JudgedSet(
        site=site.key,
        number=site.number,
        name=site.name,
        target=_target(site, job),
        rig=NO_TRAP if rig is None else f"{rig.trap.trap_id}, {rig.trap.label}",
        law=together(found).value,
        practice=plan_answer(practice).value if practice else "cannot tell",
        rules=[_rule(one) for one in order],
    )


def _rule(one: PackFinding) -> doc.RuleAnswer:
    finding = one.finding
    asks: Literal["", "authority", "trapper"] = "authority" if finding.open_text else "trapper"
    if finding.answer is not Answer.CANNOT_TELL:
        asks = ""
    return doc.RuleAnswer(
        pack=one.pack,
        kind=one.kind,
        rule=finding.rule,
        topic=finding.topic,
        answer=finding.answer.value,
        text=finding.text,
        reason=sentence(render(finding.reason)),
        citation=finding.citation,
        cure=sentence(render(finding.cure)),
        question=sentence(render(finding.question)),
        asks=asks,
        aside=one.aside,
    )


def _asked(
    sets: Sequence[doc.JudgedSet],
    packs: Sequence[tuple[str, Pack]],
    judged: Sequence[tuple[SiteFacts, tuple[PackFinding, ...]]],
    on: date,
    who: str,
    job: Job | None,
) -> list[doc.WardenQuestion]:
    """Open questions once each, with the sets that they are for."""
    named = dict(packs)
    sites = {site.key: site for site, _ in judged}
    found: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for one in sets:
        for rule in one.rules:
            if rule.asks == who:
                pack = named[rule.pack]
                to = pack.authority if who == "authority" else "yourself"
                words = _words(rule, pack) if who == "authority" else rule.question
                found.setdefault((to, words), []).append((one.site, one.number))
    asked = []
    for (to, words), where in found.items():
        text = words
        if who == "authority":
            kinds = dict.fromkeys(_kind(sites[key], job) for key, _ in where)
            text = f"{words} It is about {'; '.join(kinds)}, on {on.isoformat()}."
        asked.append(doc.WardenQuestion(to=to, text=text, sets=[number for _, number in where]))
    return asked


def _words(rule: doc.RuleAnswer, pack: Pack) -> str:
    if not rule.text:
        return f"In {pack.jurisdiction}: {rule.question[0].lower()}{rule.question[1:]}"
    return f"{rule.citation} says: “{rule.text}” {rule.question}"


def _target(site: SiteFacts, job: Job | None) -> str:
    return site.target if job is None else plain_name(job.contexts[site.key].target)


def _kind(site: SiteFacts, job: Job | None) -> str:
    label = set_tables.set_types().text(site.set_type, "label")
    return f"a {label} {'on land' if site.medium == 'land' else 'in water'} for {_target(site, job).lower()}"


def _say(sets: Sequence[doc.JudgedSet], remarks: Sequence[doc.Remark], topics: Sequence[doc.Topic]) -> str:
    faults = sum(remark.level == "fault" for remark in remarks)
    gaps = [topic.topic.replace("-", " ") for topic in topics if topic.needed and topic.state == "unknown"]
    words = []
    if sets:
        counts = {answer: sum(one.law == answer for one in sets) for answer in ("meets", "breaks", "cannot tell")}
        words.append(
            f"Sets that meet the law as the packs have it: {counts['meets']}; that break it: {counts['breaks']}; "
            f"that cannot be told: {counts['cannot tell']}."
        )
    words.append(
        f"The pack has {faults} fault{'' if faults == 1 else 's'}." if faults else "The pack has no fault of form."
    )
    if gaps:
        words.append(f"It does not know what the rules say on {', '.join(gaps)}.")
    return " ".join(words)
