"""Cover to lay in against frost for a whole season: by the beds of the line and by the rule of the trade."""

from __future__ import annotations

import math
from collections.abc import Mapping

from setwright.basis.errors import BadInput
from setwright.basis.units import pounds
from setwright.desk import cover_season_document as doc
from setwright.desk import tables
from setwright.desk.wording import show
from setwright.line.assemble import Job
from setwright.line.kit import bed_cover
from setwright.line.runplan import StopTime
from setwright.sets.model import Rig
from setwright.sets.naming import cover_name

WEEKS, LEAST_WEEKS, MOST_WEEKS = 10.0, 1.0, 40.0
MOST_ANEW = 7.0
GALLON = 0.003785411784
NOTES = (
    "Fillings: the first, one for every time it is covered anew, and one for every remake that catches and sprung "
    "traps ask for by the plan.",
    "Dry is what counts: dry below, dry in, dry over. Kept under a lid and off the ground; a handful must not clump.",
    "Rain and then hard frost can beat any cover. Salt rusts traps, and some animals will not step there.",
    "What is dug or bought where is asked of the owner and the law first.",
)


def number_of(text: str, name: str, low: float, high: float) -> float:
    """A number from words.

    Raises
    ------
    BadInput
        When it is none, or outside its span.
    """
    try:
        found = float(text)
    except ValueError:
        found = math.nan
    if not low <= found <= high:
        raise BadInput("not a number that can be used", field=name, found=text[:40], allowed=f"{low:g} to {high:g}")
    return found


def season_weeks(job: Job) -> float:
    """Weeks of the season as the book has it; ten where it says nothing."""
    head = job.book.line
    if head.season_open is None or head.season_close is None:
        return WEEKS
    begins = max(head.season_open, head.date)
    return min(max((head.season_close - begins).days / 7.0, LEAST_WEEKS), MOST_WEEKS)


def cover_season(
    job: Job, rigs: Mapping[str, Rig], visits: Mapping[str, StopTime], *, weeks: str = "", anew: str = ""
) -> doc.CoverSeason:
    """How much dry cover a season takes.

    Parameters
    ----------
    job : Job
        The line made ready.
    rigs : mapping of str to Rig
        What stands at every site.
    visits : mapping of str to StopTime
        Chances of a catch and of a sprung trap at a visit, by site; a site without is never remade.
    weeks, anew : str
        Weeks of frost, and times a week that a bed is covered anew; the season of the book and the table when empty.

    Raises
    ------
    BadInput
        When a number is none.
    """
    trade = tables.figures()
    usual = trade["anew_a_week"]
    lasting = number_of(weeks, "weeks", LEAST_WEEKS, MOST_WEEKS) if weeks.strip() else season_weeks(job)
    often = number_of(anew, "anew", 0.0, MOST_ANEW) if anew.strip() else usual.number
    beds = [
        _bed(job, site.key, rigs[site.key], visits.get(site.key), lasting, often)
        for site in job.sites
        if site.medium == "land" and site.key in rigs
    ]
    once, season = sum(bed.once for bed in beds), sum(bed.once * bed.fillings for bed in beds)
    fillings = sum(bed.fillings for bed in beds)
    rule = (
        fillings / trade["sets_per_gallon_high"].number * GALLON,
        fillings / trade["sets_per_gallon_low"].number * GALLON,
    )
    say = "No set of the line stands on land: nothing to lay in."
    if beds:
        say = (
            f"{show(rule[0], 'volume')} to {show(rule[1], 'volume')} of dry cover by the rule of the trade, "
            f"{show(season, 'volume')} by your beds, for {len(beds)} set{'' if len(beds) == 1 else 's'} on land over "
            f"{lasting:.0f} weeks. Lay in the larger."
        )
    return doc.CoverSeason(
        schema=doc.SCHEMA, sets=len(beds), weeks=lasting, anew=often, say=say, once=once, season=season, by_rule=rule,
        rows=_rows(once, max(season, rule[1]), fillings) if beds else [], beds=beds, notes=list(NOTES),
    )  # fmt: skip


def _bed(job: Job, key: str, rig: Rig, visit: StopTime | None, weeks: float, often: float) -> doc.CoverBed:
    site = job.contexts[key].site
    nights = max(job.contexts[key].check.nights, 1e-6)
    # A trap that fired, whatever came of it, is bedded anew.
    remade = 0.0 if visit is None else (visit.caught + visit.sprung) * 7.0 * weeks / nights
    fillings = 1.0 + often * weeks + remade
    once = bed_cover(rig)
    return doc.CoverBed(
        number=site.number, name=site.name, trap=rig.trap.trap_id, cover=cover_name(rig.cover), once=once,
        fillings=fillings, shown=show(once * fillings, "volume"),
    )  # fmt: skip


def _rows(once: float, whole: float, fillings: float) -> list[doc.CoverRow]:
    trade = tables.figures()
    gallons = whole / GALLON
    low, high = (gallons * trade[name].number for name in ("wax_low", "wax_high"))
    layer, days, bucket = trade["dry_layer"], trade["dry_days"], trade["bucket"]
    area = whole / layer.number
    return [
        doc.CoverRow(what="every bed once", shown=show(once, "volume"), note="bed less the trap in it",
                     source="computed from beds of the patterns"),
        doc.CoverRow(what="fillings of the season", shown=f"{fillings:.0f}", note="first, anew, and remakes",
                     source=f"computed; anew: {trade['anew_a_week'].source}"),
        doc.CoverRow(what="to lay in", shown=show(whole, "volume"),
                     note=f"{math.ceil(whole / bucket.number - 1e-9)} buckets of {show(bucket.number, 'volume')}",
                     source=str(trade["sets_per_gallon_low"].source)),
        doc.CoverRow(what="wax, where it is waxed", shown=f"{pounds(low)} to {pounds(high)}", note="to all of it",
                     source=str(trade["wax_low"].source)),
        doc.CoverRow(what="floor to dry it on", shown=_area(area),
                     note=f"{show(layer.number, 'length')} thick, all at once; half of it in two turns",
                     source=str(layer.source)),
        doc.CoverRow(what="days of sun and wind", shown=f"{days.number:.0f} ({days.low:.0f} to {days.high:.0f})",
                     note=days.source.text, source=str(days.source.kind)),
    ]  # fmt: skip


def _area(value: float) -> str:
    from setwright.basis import units

    return f"{value:.1f} m²" if units.metric() else f"{value / 0.09290304:.0f} sq ft"
