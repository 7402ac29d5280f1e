"""The check run laid out: intervals, places, legs and the contexts that their times make."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from setwright.basis.errors import BadInput
from setwright.basis.source import Quantity, Source, assumed
from setwright.basis.verdict import Answer
from setwright.law.clock import next_limit
from setwright.line.book import LineBook
from setwright.line.lawbook import NamedPack, interval_of, person_facts_of
from setwright.line.night import Day
from setwright.line.run import SPEEDS, Leg, Place, check_run
from setwright.line.ways import Network, network
from setwright.line.ways_book import BASE
from setwright.sets import tables as set_tables
from setwright.sets.context import Context
from setwright.sets.model import CheckPlan, Rig, SiteFacts
from setwright.sets.under import takes_under

NO_PLACE = (0.0, 0.0)
WAITING = assumed("not yet looked up")


@dataclass(frozen=True)
class Laid:
    """The check run in order, when he is back, the distance [m], and a context for every site."""

    legs: tuple[Leg, ...]
    back: datetime
    total: float
    contexts: Mapping[str, Context]


@dataclass(frozen=True)
class Line:
    """What the laying out needs: sites and their stated rigs, when they were made, when and where the run starts.

    `context` makes a site's context from its check plan.
    """

    book: LineBook
    packs: Sequence[NamedPack]
    sites: Sequence[SiteFacts]
    stated: Mapping[str, Rig]
    day: Day
    made: datetime
    start: datetime
    base: tuple[float, float] | None
    context: Callable[[SiteFacts, CheckPlan], Context]


def lay_out(line: Line) -> Laid:
    """Lay the run out as the rigs are meant; then, where one does not hold under, as the set that holds alive.

    A slide set that does not take the animal under at every level of its wait has the check interval of a set that
    holds alive; where that cannot be told, the stricter of the two.
    """
    slides = {site.key: site for site in line.sites if site.key in line.stated and line.stated[site.key].slide}
    # When each is seen is not known before the run is laid out: first as if all were seen when it leaves.
    first = {key: line.context(site, _check(line, line.start, ("", WAITING), None)) for key, site in slides.items()}
    under = {key: takes_under(context, line.stated[key]) for key, context in first.items()}
    laid = _laid(line, under)
    found = {key: takes_under(laid.contexts[key], line.stated[key]) for key in slides}
    return laid if found == under else _laid(line, found)


def _laid(line: Line, under: Mapping[str, Answer]) -> Laid:
    intervals = {site.key: _interval(line, site, under.get(site.key)) for site in line.sites}
    places = [
        _place(line, site, intervals[site.key][0], restraining=under.get(site.key) is not Answer.MEETS)
        for site in line.sites
    ]
    ways = ways_of(line.book, line.base, places)
    legs, back, total = check_run(
        line.base or NO_PLACE, places, line.start, speeds_of(line.book), None if ways is None else ways.seconds
    )
    arrivals = {leg.place.key: leg.arrive for leg in legs}
    contexts = {
        site.key: line.context(site, _check(line, arrivals[site.key], intervals[site.key], place.limit))
        for site, place in zip(line.sites, places, strict=True)
    }
    return Laid(tuple(legs), back, total, contexts)


def _check(line: Line, visit: datetime, interval: tuple[str | None, Source], limit: datetime | None) -> CheckPlan:
    sun = line.day.next_sun
    return CheckPlan(
        made=line.made, visit=visit, interval=interval[0] or "", interval_source=interval[1], limit=limit,
        daylight_end=None if sun is None else sun.sunset,
    )  # fmt: skip


def _interval(line: Line, site: SiteFacts, under: Answer | None) -> tuple[str | None, Source]:
    stated = {**person_facts_of(line.book), **site.law_facts}

    def asked(submersion: bool) -> tuple[str | None, Source]:
        return interval_of(
            line.book, line.packs, line.made, submersion=submersion, medium=site.medium, target=site.target,
            stated=stated,
        )  # fmt: skip

    if under is not Answer.CANNOT_TELL:
        return asked(under is Answer.MEETS)
    first, second = asked(False), asked(True)
    limits = [None if every is None else next_limit(line.made, line.made, every) for every, _ in (first, second)]
    if limits[0] is None or limits[1] is None:
        return second if limits[0] is None else first
    return first if limits[0] <= limits[1] else second


def speeds_of(book: LineBook) -> dict[str, float]:
    """Speeds between sites by way of access [m/s]: as the book says, else the usual."""
    found = dict(SPEEDS)
    for way in found:
        stated: Quantity | None = getattr(book.line.speeds, way)
        if stated is not None and stated.number > 0:
            found[way] = stated.number
    return found


def ways_of(book: LineBook, base: tuple[float, float] | None, places: Sequence[Place]) -> Network | None:
    """Network of ways of the book; None when it has none, and straight lines have to do.

    Raises
    ------
    BadInput
        When a site cannot be reached, or a landing is for a boat and the outfit has none.
    """
    if not book.ways.landings and not book.ways.legs:
        return None
    for index, landing in enumerate(book.ways.landings):
        if "boat" in landing.offers and book.outfit.boat is None:
            raise BadInput(
                "this landing is for a boat, and the outfit has none", field=f"ways.landings.{index}.offers",
                found="boat", allowed="outfit: {boat: {plate: 500 lb}}, or a landing for foot alone",
            )  # fmt: skip
    return network(book.ways, places, landings_of(book), spots_of(book, base), speeds_of(book))


def landings_of(book: LineBook) -> dict[str, str | None]:
    """Landing that the book names for each site."""
    return {site.id: site.landing for site in book.sites}


def spots_of(book: LineBook, base: tuple[float, float] | None) -> dict[str, tuple[float, float] | None]:
    """Positions of the start and the sites, None where the book has none."""
    found: dict[str, tuple[float, float] | None] = {BASE: base}
    for site in book.sites:
        found[site.id] = None if site.position is None else (site.position.latitude, site.position.longitude)
    return found


def _place(line: Line, site: SiteFacts, interval: str | None, *, restraining: bool) -> Place:
    home = line.base or NO_PLACE
    minutes = (
        site.minutes * 60.0 if site.minutes is not None else set_tables.set_types().number(site.set_type, "minutes")
    )
    return Place(
        key=site.key,
        latitude=site.latitude if site.latitude is not None else home[0],
        longitude=site.longitude if site.longitude is not None else home[1],
        access=site.access,
        service=minutes,
        limit=None if interval is None else next_limit(line.made, line.made, interval),
        restraining=restraining,
    )
