"""Handouts of a course: station cards, skill sheet, plan of the day, and the set types."""

from __future__ import annotations

import math

from setwright.desk import tables
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Blank, Blanks, Block, Cell, Grid, Handout, Lines, Picture, Words
from setwright.desk.handout_source import Asked, line, topic
from setwright.desk.handout_teach import about, traps_of

STATIONS = ("parts", "setting", "pan", "bed", "anchor", "release")
_STATION = {
    "parts": "Names and order",
    "setting": "Setting by hand",
    "pan": "Pan and notch",
    "bed": "Bed and cover",
    "anchor": "Anchors",
    "release": "Letting a dog go",
}
_STATION_CAUTION = {
    "parts": ("students",),
    "setting": ("students",),
    "pan": ("students", "hands"),
    "bed": ("students",),
    "anchor": ("driving", "students"),
    "release": ("bite", "students"),
}


def station(asked: Asked, name: str) -> Handout:
    """The card that lies on one table of a course."""
    number = STATIONS.index(name) + 1
    found = [line(f"station-{name}.{part}") for part in ("task", "bring", "done", "watch")]
    heads = ("Do this", "On the table", "Done when", "Watch")
    blocks: list[Block] = [Lines(head=head, lines=[words]) for head, words in zip(heads, found, strict=True)]
    picture = {
        "parts": "coil-parts",
        "setting": "hand-place",
        "pan": "pan-level",
        "bed": "bed",
        "anchor": "anchors",
        "release": None,
    }[name]
    if picture is not None:
        blocks.insert(1, Picture(name=picture, high=0.75, keys="none" if name == "parts" else "words"))
    else:
        blocks.insert(1, topic("release"))
    blocks.append(Grid(head="Students", columns=["name", "time", "passed, by"], widths=[2.0, 1.0, 1.4], blank_rows=4))
    return Handout(
        name=f"station-{name}",
        title=f"Station {number}: {_STATION[name]}",
        student=True,
        say=found[0],
        blocks=[block for block in blocks if not (isinstance(block, Lines) and block.head == heads[0])],
        cautions=cautions_on(*_STATION_CAUTION[name]),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def skills(asked: Asked) -> Handout:
    """The eighteen things that a student can do at the end."""
    return Handout(
        name="skills",
        title="Skill sheet",
        student=True,
        say=Words(text="Tick what you did in front of a teacher, with no help."),
        blocks=[
            Blanks(
                blanks=[
                    Blank(label="Name"),
                    Blank(label="Course, date"),
                    Blank(label="Teacher"),
                    Blank(label="Rule page of"),
                ]
            ),
            topic("skills", form="boxes"),
        ],
        cautions=cautions_on("students"),
        about=about(asked, ""),
    )


def course(asked: Asked) -> Handout:
    """A day's course for so many students: order, helpers, what to bring."""
    per = tables.figures()["students_per_helper"].number
    helpers = math.ceil(asked.students / per)
    order = topic("course")
    minutes = (40, 50, 40, 40, 50, 40, 25, 35, 60)
    rows = [
        [Cell(), Cell(text=f"{spent} min", mark="a"), Cell(text=words.text, mark=words.mark)]
        for spent, words in zip(minutes, order.lines, strict=True)
    ]
    kit = [
        ("working traps to set, coil-spring and long-spring", helpers, "one for each teacher's eyes"),
        ("traps that stay sprung, for names", math.ceil(asked.students / 2.0), "one for two students"),
        ("pairs of setters", helpers, "one beside each working trap"),
        ("spring scales, files", helpers, "one for each table"),
        ("trowels, sifters, pan covers", math.ceil(asked.students / 2.0), "one for two students"),
        ("eye covers", asked.students + helpers, "for all"),
        ("sets of handouts, skill sheets", asked.students, "one each"),
        ("release kit: catch pole, board, coat, stuffed dog", 1, "and a trap that a student can press"),
    ]
    return Handout(
        name="course",
        long=True,
        title="Course plan",
        say=Words(
            text="{students} students want {helpers} teachers or helpers: one working trap for each teacher's eyes.",
            values={"students": str(asked.students), "helpers": str(helpers)},
            mark="a",
        ),
        blocks=[
            Blanks(
                blanks=[
                    Blank(label="Place, date"),
                    Blank(label="Teachers"),
                    Blank(label="Local rules of"),
                    Blank(label="Phone, nearest help"),
                ]
            ),
            Grid(head="Order of the day", columns=["at", "time", "what"], widths=[0.6, 0.8, 5.0], rows=rows),
            Grid(
                head="To bring",
                columns=["count", "what", "why"],
                widths=[0.6, 3.0, 2.2],
                rows=[[Cell(text=str(count)), Cell(text=what), Cell(text=why)] for what, count, why in kit],
            ),
        ],
        cautions=cautions_on("students", "firearm"),
        about=about(asked, ""),
    )


def set_type(asked: Asked, name: str, title: str) -> Handout:
    """One set type from above and in section."""
    water = name not in ("dirt-hole", "flat", "blind")
    topics = ("water", "dogs") if water else ("dogs", "hands")
    return Handout(
        name=f"set-{name}",
        title=title,
        student=True,
        say=Words(text="Look first who else comes here. Then bed it firm, and measure what the drawing shows."),
        blocks=[
            Picture(name=f"set-{name}"),
            Blanks(
                head="This set",
                blanks=[
                    Blank(label="Set, place"),
                    Blank(label="Animal, foot"),
                    Blank(label="Trap, trip force"),
                    Blank(label="Depth or cover measured"),
                    Blank(label="Anchor, proof pull"),
                    Blank(label="Who else comes"),
                ],
            ),
        ],
        cautions=cautions_on(*topics),
        about=about(asked, ""),
    )
