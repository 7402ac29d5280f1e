"""What the log teaches the next plan: each quantity before and after, and the same line with what was learned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import numpy as np

from setwright.animal.contacts import MODEL_WEIGHT, step_update
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.spread import band
from setwright.desk import season_document as doc
from setwright.desk.learning_book import row_of, with_findings, with_minutes
from setwright.line.assemble import Job, prepare
from setwright.log import learn
from setwright.log.amend import standing
from setwright.log.event import Event
from setwright.log.evidence import SiteEvidence, anchors, pans, sites
from setwright.log.waits import read
from setwright.sets import tables as set_tables
from setwright.sets.context import Context, Kept, SiteRecord
from setwright.sets.evaluate import SetResult, evaluate
from setwright.sets.model import Rig, TrapRig
from setwright.sets.strength import strengths

FACTOR = "cyclic"


@dataclass(frozen=True)
class Lesson:
    """The line with what was learned, and every quantity before and after."""

    job: Job
    rows: tuple[doc.Learned, ...]


def learned_job(job: Job, folder: Path, events: Sequence[Event], now: datetime, only: str | None = None) -> Lesson:
    """The same line after the log has been read.

    Parameters
    ----------
    job : Job
        The line as the book has it.
    folder : Path
        Where the book lies.
    events : sequence of Event
        The log.
    now : datetime
        Present time: pans drift up to it.
    only : str, optional
        Learn visits of this site alone, when no other is asked about.

    Notes
    -----
    Visits and steps of a site, the working-loose factor of anchors, the drift of pans, minutes of visits, and what
    held animals showed: that reaches the welfare gates. The book's own record of a site counts on top: what stands
    in both is counted twice, so write it in one place.
    """
    now_events = standing(events).events
    waits, _ = read(now_events)
    book, minute_rows = with_minutes(job.book, job.sites, now_events)
    book, finding_rows = with_findings(book, job.traps, now_events)
    fresh = job if book is job.book else prepare(book, folder, draws=job.draws, seed=job.seed)
    fresh, pan_rows = _pans(fresh, now_events, now)
    fresh, anchor_rows = _anchors(fresh, now_events)
    fresh, visit_rows = _visits(fresh, sites(now_events, waits), only)
    return Lesson(fresh, (*visit_rows, *anchor_rows, *finding_rows, *pan_rows, *minute_rows))


def _of(draws: object) -> learn.Band:
    return learn.Band(*band(np.asarray(draws, dtype=float)))


def _pans(job: Job, events: Sequence[Event], now: datetime) -> tuple[Job, list[doc.Learned]]:
    segments = pans(events)
    if not segments:
        return job, []
    found = learn.drift(segments)
    nothing = learn.drift([])
    rows = [
        row_of(
            f"drift of the pan {words}", "all traps", "%", _percent(nothing.band(place)), _percent(found.band(place)),
            f"{found.readings} readings after the first of each pan",
        )
        for place, words in ((0, "at each firing"), (1, "each day"))
    ]  # fmt: skip
    instant = int(now.timestamp() * 1e6)
    forces: dict[str, Quantity] = {}
    for one in segments:
        if one.trap_id in job.traps:
            now_force = learn.drifted(one, instant, found)
            words = f"log, {len(one.force)} readings since it was tuned, drift of the line's pans"
            source = Source(Kind.MEASURED, words, "stated")
            forces[one.trap_id] = Quantity(now_force.median, "N", source, now_force.low, now_force.high)
            before = job.traps[one.trap_id].trip_force.with_spread(0.15)
            if before.value is not None and before.low is not None and before.high is not None:
                old = learn.Band(before.value, before.low, before.high)
                rows.append(row_of("pan trips at", one.trap_id, "N", old, now_force, words))

    def moved(trap: TrapRig) -> TrapRig:
        return replace(trap, trip_force=forces[trap.trap_id]) if trap.trap_id in forces else trap

    return replace(
        job,
        traps={name: moved(trap) for name, trap in job.traps.items()},
        options=replace(job.options, traps=tuple(moved(trap) for trap in job.options.traps)),
        stated={key: replace(rig, trap=moved(rig.trap)) for key, rig in job.stated.items()},
    ), rows


def _percent(found: learn.Band) -> learn.Band:
    return learn.Band(*(100.0 * float(np.expm1(value)) for value in (found.median, found.low, found.high)))


def _anchors(job: Job, events: Sequence[Event]) -> tuple[Job, list[doc.Learned]]:
    """The working-loose factor of the whole line, from pulls after animals had worked at anchors that were known."""
    stories, static = [], []
    for story in anchors(events):
        rig, context = job.stated.get(story.set_id), job.contexts.get(story.set_id)
        # A plate is not worked loose, and trees and drags have no such factor.
        if not story.after or rig is None or context is None or rig.anchor is None:
            continue
        if rig.anchor.kind not in ("stake", "crossed"):
            continue
        stories.append(story)
        static.append(_static(context, rig))
    usual = set_tables.figures()[FACTOR]
    pulls = sum(len(story.after) for story in stories)
    if not pulls:
        return job, []
    any_context = next(iter(job.contexts.values()))
    draws = any_context.shared.quantity(f"learn.{FACTOR}", usual)
    after = learn.weighted_band(draws, learn.loosening(draws, stories, static))
    source = Source(Kind.MEASURED, f"log, {pulls} pulls after animals had worked at anchors", "stated")
    quantity = Quantity(after.median, "one", source, after.low, after.high)
    row = row_of("working-loose factor", "stakes of the line", "", _of(draws), after, source.text)
    return _with(job, {FACTOR: quantity}), [row]


def _static(context: Context, rig: Rig) -> tuple[float, float]:
    """Median [N] and log-normal scatter of the anchor before any animal worked at it."""
    one = {FACTOR: Quantity(1.0, "one")}
    unproved = None if rig.anchor is None else replace(rig.anchor, proof=None)
    force = strengths(replace(context, learned=one, kept=Kept()), replace(rig, anchor=unproved)).anchor
    if not (np.isfinite(force) & (force > 0)).all():
        return float("nan"), float("nan")
    return float(np.median(force)), float(np.std(np.log(force)))


def _with(job: Job, figures: Mapping[str, Quantity]) -> Job:
    """The job with figures of the chain that the log has moved; nothing that was kept from before is used again."""
    line_kept = Kept()
    contexts = {
        key: replace(context, learned=figures, kept=Kept(), line_kept=line_kept)
        for key, context in job.contexts.items()
    }
    return replace(job, contexts=contexts)


def _visits(job: Job, found: Mapping[str, SiteEvidence], only: str | None) -> tuple[Job, list[doc.Learned]]:
    contexts, rows = dict(job.contexts), []
    line_kept = Kept()
    for key, context in job.contexts.items():
        seen, rig = found.get(key), job.stated.get(key)
        if seen is None or not seen.nights > 0 or rig is None or only not in (None, key):
            contexts[key] = replace(context, kept=Kept(), line_kept=line_kept)
            continue
        records, own = _records(context, seen, evaluate(context, rig, job.person))
        rows += own
        contexts[key] = replace(context, records={**context.records, **records}, kept=Kept(), line_kept=line_kept)
    return replace(job, contexts=contexts), rows


def _records(
    context: Context, seen: SiteEvidence, result: SetResult
) -> tuple[dict[str, SiteRecord], list[doc.Learned]]:
    """Records of one site with the log's own on top, and the rows of its target."""
    links = {link.link: link for link in result.links}
    records: dict[str, SiteRecord] = {}
    rows: list[doc.Learned] = []
    for key, species in context.species.items():
        feet = seen.feet.get(key)
        contacts, refusals = (feet.contacts, feet.refusals) if feet else (0, 0)
        step = _mean(links["step"].by_species.get(key))
        fire = _mean(links["fire"].by_species.get(key))
        share = 1.0 if seen.tracked else step * fire
        nights, visits = seen.nights * share, contacts + refusals
        old = context.records.get(key)
        counted = old is not None and old.nights is not None
        told = seen.tracked and visits > 0
        old_contacts = old.contacts if old is not None and counted else None
        records[key] = SiteRecord(
            visits=visits + (old.visits if old is not None and counted else 0),
            contacts=contacts + (old_contacts or 0) if told or old_contacts is not None else None,
            nights=nights + (old.nights or 0.0 if old is not None and counted else 0.0),
            origin=_origin(seen, nights, share),
        )
        if key != context.target.key and not visits:
            continue
        prior = links["visit"].by_species[key]
        after = learn.gamma_band(*learn.visit_rate(prior, visits, nights))
        words = f"{visits} visits in {seen.nights:.0f} trap-nights; {records[key].origin}"
        about = f"{context.site.name}: {species.name.lower()}"
        rows.append(row_of("visits a night", about, "1/night", _of(prior), after, words))
        if told and 0.0 < step < 1.0:
            belief = step_update(contacts, visits, step, MODEL_WEIGHT)
            before = learn.beta_band(MODEL_WEIGHT * step, MODEL_WEIGHT * (1.0 - step))
            words = f"a foot on the pan in {contacts} of {visits} visits"
            rows.append(
                row_of("a foot on the pan", about, "", before, learn.beta_band(belief.hits, belief.misses), words)
            )
    return records, rows


def _mean(draws: object) -> float:
    value = np.asarray(1.0 if draws is None else draws, dtype=float)
    return float(np.nanmean(value)) if np.isfinite(value).any() else 1.0


def _origin(seen: SiteEvidence, nights: float, share: float) -> str:
    if share == 1.0:
        return "log, tracks written down as well"
    return f"log; only feet that fired are written, so {seen.nights:.0f} trap-nights count for {nights:.1f}"
