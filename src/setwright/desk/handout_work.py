"""Handouts for the bench and the truck: cover to lay in against frost, and the yearly treatment of the traps."""

from __future__ import annotations

from setwright.basis.units import convert, pounds
from setwright.desk import tables
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Blank, Blanks, Cell, Grid, Handout, Words
from setwright.desk.handout_source import Asked, mark_of, topic
from setwright.desk.treatment import loads_of
from setwright.desk.wording import sentence, show
from setwright.log.tables import sprung_tree


def frost(asked: Asked) -> Handout:
    """Cover against frost, and how much to lay in."""
    trade = tables.figures()
    sets = 0 if asked.job is None else sum(site.medium == "land" for site in asked.job.sites)
    least, most = sets / trade["sets_per_gallon_high"].number, sets / trade["sets_per_gallon_low"].number
    wax = [least * trade["wax_low"].number, most * trade["wax_high"].number]
    filled = sets > 0
    blanks = [
        Blank(label="Sets on land", value=str(sets) if filled else ""),
        Blank(label="Dry dirt, once", value=f"{least:.1f} to {most:.1f} gallons" if filled else ""),
        Blank(label="Wax for that", value=f"{pounds(wax[0])} to {pounds(wax[1])}" if filled else ""),
        Blank(label="Times you expect to cover anew"),
    ]
    return Handout(
        name="frost",
        title="Frost card",
        student=True,
        say=Words(text="Dry below, dry in, dry over: that is all there is against frost, and it is no promise."),
        blocks=[topic("frost", form="plain"), Blanks(head="How much to lay in", blanks=blanks)],
        cautions=cautions_on("wax", "ice"),
        about="" if not filled else "land sets of the line",
    )


def treatment(asked: Asked) -> Handout:
    """The yearly batch: how many to a pot, how many loads, how long."""
    trade = tables.figures()
    traps = [] if asked.job is None else list(asked.job.traps.values())
    packed = loads_of(traps, asked.pot).loads
    loads, each = len(packed), max((len(inside) for inside in packed), default=0)
    change = trade["load_change"].number
    steps = ("boil", "dye", "wax_dip")
    names = {"boil": "boil clean", "dye": "dye", "wax_dip": "wax"}
    rows = []
    for step in steps:
        spent = trade[step]
        whole = loads * (spent.number + change)
        rows.append(
            [
                Cell(text=names[step]),
                Cell(text=show(spent.number, "time"), mark=mark_of(spent.source.confidence)),
                Cell(text=str(loads) if loads else ""),
                Cell(text=show(whole, "time") if loads else ""),
            ]
        )
    gallons = convert(asked.pot, "m**3", "gal")
    return Handout(
        name="treatment",
        title="Yearly treatment",
        say=Words(
            text="{traps} traps, a pot of {gallons} gallons: about {each} to a load. Loads to do: {loads}.",
            values={"traps": str(len(traps)), "gallons": f"{gallons:.0f}", "each": str(each), "loads": str(loads)},
            mark="a",
        )
        if loads
        else Words(text="Clean, dye, wax, and last of all the dog and the notch."),
        blocks=[
            Blanks(
                blanks=[
                    Blank(label="Pot", value=f"{gallons:.0f} gallons"),
                    Blank(label="Traps", value=str(len(traps)) if traps else ""),
                    Blank(label="To a load", value=f"about {each}" if each else ""),
                    Blank(label="Day, by"),
                ]
            ),
            Grid(
                columns=["step", "one load", "loads", "all loads"],
                widths=[1.6, 1.2, 0.8, 1.4],
                rows=rows,
                note="With time to change loads. Count your own first load and write it down.",
            ),
            topic("treat"),
        ],
        cautions=cautions_on("wax"),
        about="traps of the outfit" if traps else "",
    )


def remake(asked: Asked) -> Handout:
    """What to do at a set after a catch."""
    del asked
    return Handout(
        name="remake",
        title="After a catch",
        student=True,
        say=Words(text="Six things, then leave. The pan is read again each time."),
        blocks=[
            topic("remake", form="boxes"),
            Grid(
                head="Read again",
                columns=["set", "trap", "pan: 1", "2", "3", "anchor pulled", "date"],
                widths=[1.0, 1.0, 0.9, 0.7, 0.7, 1.3, 1.0],
                blank_rows=6,
            ),
        ],
        cautions=cautions_on("hands", "bite"),
    )


def sprung(asked: Asked) -> Handout:
    """A trap that lies sprung and empty: looks, causes, one change."""
    del asked
    tree = sprung_tree()
    looks = [
        [Cell(text=look.question), Cell(text="   ".join(f"__ {answer}" for answer in look.answers))]
        for look in tree.looks
    ]
    causes = [
        [
            Cell(text=sentence(cause.label)),
            Cell(text="" if cause.medium == "any" else cause.medium),
            Cell(text=sentence(cause.change), mark="p"),
        ]
        for cause in tree.causes
    ]
    return Handout(
        name="sprung",
        long=True,
        title="Sprung, and nothing in it",
        student=True,
        say=Words(text="Read the sign before you touch the trap. It is seldom a clever animal."),
        blocks=[
            topic("sprung", columns=2),
            Grid(columns=["look", "what you see"], widths=[1.2, 3.4], rows=looks),
            Grid(columns=["it may be", "on", "one change"], widths=[2.0, 0.6, 3.6], rows=causes),
        ],
        cautions=cautions_on("hands"),
    )
