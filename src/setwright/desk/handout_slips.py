"""Handouts to hand over: local rules, landowner, permission, and whoever stands in on the line."""

from __future__ import annotations

from setwright.basis.units import feet
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Blank, Blanks, Cell, Grid, Handout, Lines, Words
from setwright.desk.handout_source import Asked, topic
from setwright.line.lawbook import NamedPack
from setwright.sets import tables as set_tables
from setwright.sets.model import SiteFacts
from setwright.sets.naming import plain_name


def law_packs(asked: Asked) -> list[NamedPack]:
    """Packs of law of the book, good practice left out."""
    return [] if asked.job is None else [pack for pack in asked.job.packs if not pack.profile]


def rule_of(asked: Asked) -> tuple[str, str]:
    """Title of the local rules and the date on which they were checked; empty where nobody knows."""
    packs = law_packs(asked)
    if not packs:
        return "", ""
    return "; ".join(pack.title for pack in packs), "; ".join(pack.checked for pack in packs)


def rules(asked: Asked) -> Handout:
    """The local rule page: every rule with where it stands, and the date."""
    packs = law_packs(asked)
    rows = [
        [Cell(text=rule.topic.replace("-", " ")), Cell(text=rule.text), Cell(text=rule.citation)]
        for named in packs
        for rule in named.pack.rules
    ]
    seasons = [
        [Cell(text=row.species.replace("_", " ")), Cell(text=_span(row)), Cell(text=row.citation)]
        for named in packs
        for row in named.pack.seasons
    ]
    title, date = rule_of(asked)
    asks = (
        "seasons",
        "check interval",
        "jaw spread, and how it is measured",
        "jaws on land",
        "swivels",
        "submersion",
        "distances",
        "bait",
        "tag",
        "written permission",
        "reports",
    )
    blank = [[Cell(text=one), Cell(), Cell()] for one in asks]
    heads = ["on", "rule", "where it stands"]
    return Handout(
        name="rules",
        long=True,
        title="Local rules",
        say=Words(text="The rules of {place}, as they stood on the date below.", values={"place": title})
        if packs
        else Words(text="Fill this in from the rule book of your place, with its date, before you set."),
        blocks=[
            Blanks(
                blanks=[
                    Blank(label="Rules of", value=title, wide=True),
                    Blank(label="Checked", value=date, wide=True),
                    Blank(label="Office, phone"),
                    Blank(label="Seen again on"),
                ]
            ),
            Grid(columns=heads, widths=[1.1, 3.2, 1.7], rows=rows or blank),
            Grid(
                head="Seasons",
                columns=["animal", "open", "where it stands"],
                widths=[1.1, 2.2, 1.7],
                rows=seasons,
                blank_rows=0 if seasons else 4,
            ),
        ],
        cautions=cautions_on(),
        rule=title,
        rule_date=date,
    )


def _span(row: object) -> str:
    if getattr(row, "closed", False):
        return "closed"
    start, end = getattr(row, "open", None), getattr(row, "close", None)
    return f"{start or '____'} to {end or '____'}"


def _of_set(asked: Asked) -> tuple[SiteFacts | None, list[SiteFacts]]:
    """The site that was asked for, and all sites of other people's land when none was."""
    wanted = asked.chosen()
    if wanted is not None:
        return wanted, [wanted]
    places = () if asked.job is None else asked.job.sites
    return None, [site for site in places if site.tenure == "private"]


def _dates(asked: Asked) -> str:
    if asked.job is None:
        return ""
    head = asked.job.book.line
    if head.season_open is None or head.season_close is None:
        return ""
    return f"{head.season_open:%d %b %Y} to {head.season_close:%d %b %Y}"


def _animals(asked: Asked, places: list[SiteFacts]) -> str:
    if asked.job is None:
        return ""
    names = [plain_name(asked.job.contexts[site.key].target) for site in places]
    return ", ".join(dict.fromkeys(names))


def _kinds(asked: Asked, places: list[SiteFacts]) -> str:
    if asked.job is None:
        return ""
    types = set_tables.set_types()
    return ", ".join(dict.fromkeys(types.text(site.set_type, "label") for site in places))


def landowner(asked: Asked) -> Handout:
    """Half a sheet for the landowner, in plain words."""
    one, places = _of_set(asked)
    return Handout(
        name="landowner",
        half=True,
        title="To the landowner",
        say=Words(text="What I ask, what I promise, and how you reach me."),
        student=True,
        blocks=[
            topic("landowner", form="plain"),
            Blanks(
                blanks=[
                    Blank(label="My name"),
                    Blank(label="Phone"),
                    Blank(label="Dates", value=_dates(asked)),
                    Blank(label="Checks: days, hours"),
                    Blank(label="Vehicle"),
                    Blank(label="Animals", value=_animals(asked, places)),
                    Blank(label="Kinds of sets", value=_kinds(asked, places), wide=True),
                    Blank(label="Where", value="" if one is None else one.name, wide=True),
                ]
            ),
        ],
        cautions=cautions_on("people", "dogs"),
        about="" if one is None else f"set {one.number}, {one.name}",
    )


def permission(asked: Asked) -> Handout:
    """The permission slip, and which questions are still open."""
    one, places = _of_set(asked)
    near = (
        "" if one is None else ", ".join(f"{what.replace('-', ' ')} {feet(away)}" for what, away in one.near.items())
    )
    blanks = [
        Blank(label="Owner"),
        Blank(label="Phone"),
        Blank(label="Trapper"),
        Blank(label="Phone, licence"),
        Blank(label="Land, parcel", value="" if one is None else one.name),
        Blank(label="Not beyond (bounds)"),
        Blank(label="From, to", value=_dates(asked)),
        Blank(label="Days and hours of checks"),
        Blank(label="Animals", value=_animals(asked, places)),
        Blank(label="Kinds of sets", value=_kinds(asked, places)),
        Blank(label="Dogs, cats: where, when"),
        Blank(label="Stock: where, when"),
        Blank(label="Bird hunters: days"),
        Blank(label="Gates, way in, vehicle"),
        Blank(label="Houses, paths near", value=near),
        Blank(label="Not wanted"),
    ]
    open_ones = [blank.label.split(",")[0].split(":")[0].lower() for blank in blanks if not blank.value]
    return Handout(
        name="permission",
        title="Permission to trap",
        say=Words(
            text="{count} questions are still open: ask them before the first set.",
            values={"count": str(len(open_ones))},
        ),
        blocks=[
            Blanks(blanks=blanks),
            Lines(
                form="plain",
                lines=[
                    Words(
                        text="The owner lets the trapper set foothold traps as written here, and may end it "
                        "by a word."
                    ),
                    Words(
                        text="The trapper closes gates, checks as written, tells of every dog, cat or stock held, "
                        "and pulls all traps at the end."
                    ),
                ],
            ),
            Blanks(head="Signed", blanks=[Blank(label="Owner, date"), Blank(label="Trapper, date")]),
        ],
        cautions=cautions_on("dogs"),
        about="" if one is None else f"set {one.number}, {one.name}",
    )


def hand_over(asked: Asked) -> Handout:
    """For whoever stands in: every set in order, how to get there, trap and anchor."""
    job = asked.job
    rows = []
    if job is not None:
        for site in job.sites:
            rig = job.stated.get(site.key)
            trap = "see the set" if rig is None else f"{rig.trap.trap_id}, {rig.trap.label}"
            anchor = "see the set" if rig is None or rig.anchor is None else rig.anchor.label
            rows.append(
                [
                    Cell(text=str(site.number)),
                    Cell(text=f"{site.name}, by {site.access}"),
                    Cell(text=trap),
                    Cell(text=anchor),
                    Cell(),
                ]
            )
    blanks = (
        "Out since",
        "Home by",
        "Call when not home by",
        "Phone",
        "Who can stand in",
        "Phone of that one",
        "Vehicle, where it stands",
        "Warden, landowner",
    )
    return Handout(
        name="hand-over",
        long=True,
        title="Hand-over sheet",
        say=Words(text="For whoever checks this line in my place, and for home."),
        blocks=[
            Blanks(blanks=[Blank(label=label) for label in blanks]),
            Grid(
                columns=["", "set, way in", "trap", "anchor", "seen"],
                widths=[0.4, 2.4, 2.2, 1.7, 0.8],
                rows=rows,
                blank_rows=0 if rows else 8,
                note="Hours and last moments stand on the run sheet.",
            ),
            topic("release", head="If a dog is held", columns=2),
        ],
        cautions=cautions_on("bite", "water"),
        about="" if job is None else "all sets of the line",
    )
