"""From a line book to planned sets: the night, the run, the chain at every site, advice and allotment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.basis.spread import Draws
from setwright.line.animals import animals_of, mixes_of, posterior_of, rig_records_of, seen_of, species_of
from setwright.line.book import LineBook
from setwright.line.laid import Line, lay_out
from setwright.line.lawbook import NamedPack, closed_species, most_traps, packs_of, person_facts_of, with_law_facts
from setwright.line.night import BOOK_ONLY, Day, Fresh, day_of, run_start
from setwright.line.outfit import anchors_of, chains_of, covers_of, site_facts, slides_of, stated_rig, traps_of
from setwright.line.outfitting import Allotted, allotted
from setwright.line.run import Leg
from setwright.sets.advise import Advised, advise
from setwright.sets.context import Context, Kept
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.model import CheckPlan, Rig, SiteFacts, TrapRig
from setwright.sets.rank import Candidate, Options, rank

DRAWS = 600
SEED = 20
NONE_LEFT = Say("the outfit has no trap left for this site")

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Job:
    """A line made ready for computing: everything but the sets themselves."""

    book: LineBook
    traps: Mapping[str, TrapRig]
    options: Options
    sites: tuple[SiteFacts, ...]
    stated: Mapping[str, Rig]
    contexts: Mapping[str, Context]
    person: Person
    packs: tuple[NamedPack, ...]
    day: Day
    base: tuple[float, float] | None
    start: datetime
    legs: tuple[Leg, ...]
    back: datetime
    total: float
    draws: int
    seed: int


@dataclass(frozen=True)
class PlannedSet:
    """One set of the plan: the rig and its result, its rivals and what would mend it."""

    context: Context
    result: SetResult | None
    candidates: tuple[Candidate, ...] = ()
    advice: tuple[Advised, ...] = ()
    empty_why: Say | None = None


@dataclass(frozen=True)
class Assembly:
    """The computed line."""

    job: Job
    sets: tuple[PlannedSet, ...] = field(default=())
    outfit: tuple[Say, ...] = ()


def prepare(book: LineBook, folder: Path, *, draws: int = DRAWS, seed: int = SEED, fresh: Fresh = BOOK_ONLY) -> Job:
    """Read everything that the sets share, order the check run and make a context for every site.

    `fresh` are files of this evening that go before the book's records.
    """
    animals = animals_of(book)
    mixes, posterior, rig_records = mixes_of(book, animals), posterior_of(book, animals), rig_records_of(book)
    traps = traps_of(book)
    chains, anchors = chains_of(book), anchors_of(book)
    packs = packs_of(book, folder)
    sites = tuple(
        with_law_facts(site_facts(entry, number), entry, packs, book.line.zone)
        for number, entry in enumerate(book.sites, start=1)
    )
    stated: dict[str, Rig] = {}
    for entry, site in zip(book.sites, sites, strict=True):
        if entry.rig is not None:
            rig = stated_rig(book, site, entry.rig, traps, chains, anchors)
            if rig is not None:
                stated[site.key] = rig
    _once(stated)
    zone = book.line.zone
    made = datetime.combine(book.line.date, book.line.set_at, zone)
    base = _base(book)
    rough = datetime.combine(book.line.date + timedelta(days=1), book.line.set_at, zone)
    day = day_of(book, folder, base, rough, made, fresh)
    start = run_start(book, None if day.next_sun is None else day.next_sun.sunrise)
    seen = {site.key: seen_of(book, site) for site in sites}
    species = {site.key: species_of(site, animals, seen[site.key]) for site in sites}
    person_facts = person_facts_of(book)
    shared = Draws(draws, seed, "line")
    line_kept = Kept()

    def context(site: SiteFacts, check: CheckPlan) -> Context:
        return Context(
            site=site,
            conditions=day.under(site.canopy),
            check=check,
            draws=shared.scoped(site.key),
            shared=shared,
            species=species[site.key],
            mixes=mixes,
            records=seen[site.key],
            posterior=posterior,
            rig_records=rig_records,
            wind=day.wind,
            line_kept=line_kept,
        )

    laid = lay_out(Line(book, packs, sites, stated, day, made, start, base, context))
    person = Person(
        packs=tuple((pack.name, pack.pack) for pack in packs),
        traps_out=book.law.traps_out if book.law.traps_out is not None else _traps_out(sites, stated),
        tag_name=book.law.tag_name,
        facts=person_facts,
        closed=closed_species(
            packs, sorted({key for kinds in species.values() for key in kinds}), made, person_facts
        ),
    )
    options = Options(
        traps=tuple(traps.values()),
        chains=tuple(chains.values()),
        anchors=tuple(anchors.values()),
        slides=slides_of(book),
        covers=covers_of(book),
        boards=book.outfit.boards,
    )
    return Job(
        book,
        traps,
        options,
        sites,
        stated,
        laid.contexts,
        person,
        packs,
        day,
        base,
        start,
        laid.legs,
        laid.back,
        laid.total,
        draws,
        seed,
    )


def _once(stated: Mapping[str, Rig]) -> None:
    seen: dict[str, str] = {}
    for key, rig in stated.items():
        for trap in rig.trap_ids:
            if trap in seen:
                raise BadInput("one trap stands at two sites", field=f"sites {seen[trap]} and {key}", found=trap)
            seen[trap] = key


def _traps_out(sites: Sequence[SiteFacts], stated: Mapping[str, Rig]) -> int:
    """Traps that stand when every site has its own: one each, and those of gang sets."""
    return len(sites) + sum(len(rig.gang) for rig in stated.values())


def _base(book: LineBook) -> tuple[float, float] | None:
    if book.line.base is not None:
        return book.line.base.latitude, book.line.base.longitude
    placed = [entry.position for entry in book.sites if entry.position is not None]
    if not placed:
        return None
    return placed[0].latitude, placed[0].longitude


def plan_site(job: Job, site: SiteFacts, rig: Rig | None, *, deep: bool = True) -> PlannedSet:
    """The chain for one site: its stated rig or the best of the outfit, the ranking, and advice when `deep`."""
    context = job.contexts[site.key]
    taken = {trap for key, other in job.stated.items() if key != site.key for trap in other.trap_ids}
    options = replace(job.options, traps=tuple(trap for trap in job.options.traps if trap.trap_id not in taken))
    candidates = rank(context, options, rig, job.person) if deep or rig is None else []
    if rig is not None:
        result = evaluate(context, rig, job.person)
    elif candidates:
        result = candidates[0].result
    else:
        return PlannedSet(context, None, empty_why=NONE_LEFT)
    advice = advise(context, result, options, job.person) if deep else []
    return PlannedSet(context, result, tuple(candidates), tuple(advice))


def plan_line(job: Job, progress: Progress | None = None) -> Assembly:
    """Plan every site: stated rigs as they are, the rest of the outfit allotted to the open sites."""
    chosen = dict(job.stated)
    barred: Mapping[str, Say] = {}
    says: tuple[Say, ...] = ()
    open_sites = [site for site in job.sites if site.key not in job.stated]
    if open_sites:
        found = _allotted(job, open_sites, progress)
        chosen |= found.rigs
        barred, says = found.barred, found.says
    planned: list[PlannedSet] = []
    full = replace(job, stated=chosen)
    for site in job.sites:
        if progress is not None:
            progress(site.name)
        rig = chosen.get(site.key)
        if rig is None:
            planned.append(PlannedSet(job.contexts[site.key], None, empty_why=barred.get(site.key, NONE_LEFT)))
        else:
            planned.append(plan_site(full, site, rig))
    return Assembly(full, tuple(planned), says)


def _allotted(job: Job, open_sites: Sequence[SiteFacts], progress: Progress | None) -> Allotted:
    """Traps of the outfit to the open sites, why a site stays empty, and what one more of anything would bring."""
    taken = {trap for rig in job.stated.values() for trap in rig.trap_ids}
    options = replace(job.options, traps=tuple(trap for trap in job.options.traps if trap.trap_id not in taken))
    ranked: dict[str, list[Candidate]] = {}
    for site in open_sites:
        if progress is not None:
            progress(f"traps for {site.name}")
        ranked[site.key] = rank(job.contexts[site.key], options, None, job.person)
    nights = {site.key: job.contexts[site.key].check.nights for site in open_sites}
    return allotted(job.book, open_sites, ranked, job.traps, job.stated, nights, most_traps(job.packs))
