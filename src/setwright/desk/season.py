"""The season book: the log summed up without fooling anyone, as one document."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

import setwright
from setwright.animal.injury import Injury
from setwright.animal.welfare_tables import injury_scale
from setwright.basis.errors import BadInput
from setwright.desk import season_document as doc
from setwright.desk.log import store_place
from setwright.desk.log_words import now_in
from setwright.desk.season_accounts import Accounts, accounts_beside
from setwright.desk.season_compare import criteria, pairs, rules, shrunk, trial
from setwright.desk.season_parts import harvest, held_animals, injury_bars, pans, tables, thinning, weeks, whole_row
from setwright.desk.season_sums import colonies, job, money
from setwright.line.book import LineBook, read_book
from setwright.log import season
from setwright.log.amend import standing
from setwright.log.event import Event
from setwright.log.harvest import animals
from setwright.log.simulate import DEVICE
from setwright.log.store import Store
from setwright.log.waits import Visitors, Waits, read

NOTES = (
    "Rates are per 100 trap-nights, with half a wait taken off for every sprung trap (Nelson & Clark 1973); beside "
    "them stands the rate by the hazard of firing.",
    "Intervals are 95 %: Jeffreys for shares, Garwood for rates; criteria are decided by Clopper-Pearson. Bands of "
    "rigs side by side and of what was learned are 90 %.",
    "An animal whose injuries nobody wrote down is missing, never unhurt.",
    "Nights of one set are not independent: whole sets are drawn again and again, and where that band is the wider "
    "one, it counts.",
    "Rigs were not dealt out to sites by lot unless you did so: a difference may be that of the sites.",
    "Catch without effort is not abundance, and prices, weather and shy animals change effort and catch.",
    "The law of the place asks for its own report; this book is none.",
)


def season_book(
    book: Path,
    *,
    store: str | None = None,
    accounts: Accounts | None = None,
    learning: bool = True,
    now: dt.datetime | None = None,
) -> doc.SeasonBook:
    """Sum the log of a line up.

    Parameters
    ----------
    book : Path
        Line book.
    store : str, optional
        File or URL of the log; the file beside the book otherwise.
    accounts : Accounts, optional
        Prices, costs, colonies, a job to quote.
    learning : bool
        Show what the next plan learns from this log.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When book or log cannot be used, or nothing is written in it.
    """
    found, _ = read_book(book)
    with Store(store_place(book, store), create=False) as place:
        events, digest = place.read(), place.digest()
    moment = now or now_in(found.line.zone)
    learned: Sequence[doc.Learned] = ()
    if learning:
        from setwright.desk.learning import learned_job
        from setwright.desk.plan import read_job

        learned = learned_job(read_job(book), book.resolve().parent, events, moment).rows
    return summed_up(found, events, accounts=accounts, learned=learned, now=moment, digest=digest)


def season_beside(book: Path) -> doc.SeasonBook:
    """Sum the log beside a book up with the accounts beside it, as the app shows it.

    Raises
    ------
    BadInput, StoreFault
        When book, log or accounts cannot be used, or nothing is written.
    """
    return season_book(book, accounts=accounts_beside(book))


def summed_up(
    book: LineBook,
    events: Sequence[Event],
    *,
    accounts: Accounts | None = None,
    learned: Sequence[doc.Learned] = (),
    now: dt.datetime,
    digest: str = "",
    scale: dict[str, Injury] | None = None,
) -> doc.SeasonBook:
    """As `season_book`, from what was read."""
    now_standing = standing(events)
    if not now_standing.events:
        raise BadInput("nothing is written in this log yet", allowed="events: setwright log add")
    list_of = dict(injury_scale() if scale is None else scale)
    waits, seen = read(now_standing)
    zone = book.line.zone
    first, last = now_standing.events[0].time.astimezone(zone), now_standing.events[-1].time.astimezone(zone)
    marks = season.light_marks(seen, list_of)
    row = whole_row(waits, seen, marks)
    caught = animals(now_standing)
    simulated = any(event.device == DEVICE for event in events)
    answers = criteria(seen, list_of)
    compared = pairs(waits, seen)
    return doc.SeasonBook(
        schema="setwright/season/1",
        program=setwright.__version__,
        line=book.line.name,
        place=book.line.place or "place not stated",
        invented=book.line.invented,
        simulated=simulated,
        begins=f"{first:%Y-%m-%d}",
        ends=f"{last:%Y-%m-%d}",
        made=now.isoformat(timespec="seconds"),
        events=len(events),
        digest=digest,
        say=_say(row, seen, waits, len(now_standing.refused), simulated=simulated),
        whole=row,
        tables=tables(waits, seen, marks),
        criteria=answers,
        shrunk=shrunk(waits, seen),
        pairs=compared,
        rules=rules(now_standing, seen, list_of, zone),
        weeks=weeks(waits),
        thinning=thinning(waits),
        harvest=harvest(caught, book, zone),
        animals=held_animals(caught, book, zone),
        injury_bars=injury_bars(seen, list_of),
        pans=pans(now_standing.events),
        learned=list(learned),
        money=money(accounts, caught, waits),
        colonies=colonies(accounts, caught),
        job=job(accounts, waits),
        trial=trial(book, compared),
        notes=list(NOTES),
    )


def _say(row: doc.Row | None, seen: Visitors, waits: Waits, refused: int, *, simulated: bool) -> list[str]:
    said = ["A rehearsal: every event of this season was made up by the program."] if simulated else []
    if row is None:
        return [*said, "No wait between two looks at a set is written down yet: there is nothing to sum up."]
    catch = row.catch
    rate = "" if catch.estimate is None else f": {catch.estimate:.1f} in 100 trap-nights ({span(catch)})"
    fished = f"{row.nights:.0f} trap-nights ({row.corrected_nights:.0f} as they fished)"
    said.append(f"{catch.hits} target animals in {fished}{rate}.")
    held = int(seen.held.sum())
    if row.domestic_limit is not None:
        pets = row.domestic.hits
        words = "No pet or stock animal" if pets == 0 else f"{pets} pet or stock animal{'s' if pets > 1 else ''}"
        limit = f"{row.domestic_limit:.2g} in 100 trap-nights"
        said.append(f"{words} held; with this effort up to {limit} cannot be ruled out.")
    missing = row.injuries.missing
    if missing:
        said.append(f"Of {missing} of {held} held animals no injuries are written down: no rig of theirs can pass.")
    if waits.unclear:
        said.append(f"{waits.unclear} looks were left out: it is not known since when the trap was armed.")
    if refused:
        said.append(f"{refused} corrections are without effect: see `setwright log show`.")
    return said


def span(figure: doc.Figure) -> str:
    """Ends of an interval in words."""
    return "no interval" if figure.low is None or figure.high is None else f"{figure.low:.1f} to {figure.high:.1f}"
