"""Handouts of a lesson: parts, firing, hands, setting cards, pan, bed."""

from __future__ import annotations

from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Blank, Blanks, Cell, Grid, Handout, Picture, Words
from setwright.desk.handout_source import Asked, topic


def parts(asked: Asked, family: str) -> Handout:
    """Names of the parts of one trap."""
    long = family == "long"
    name = "long-parts" if long else "coil-parts"
    return Handout(
        name="parts-long" if long else "parts-coil",
        title="Parts of a long-spring trap" if long else "Parts of a coil-spring trap",
        say=Words(text="Learn these names first. Then you can say what holds, what slips and what to mend."),
        student=True,
        blocks=[Picture(name=name)],
        cautions=cautions_on("hands"),
        about=about(asked, family),
        traps=traps_of(asked),
    )


def quiz(asked: Asked) -> Handout:
    """The same picture with the names left to the student."""
    return Handout(
        name="parts-quiz",
        title="Name the parts",
        student=True,
        say=Words(text="Write the name beside each letter. Twelve right is a pass."),
        blocks=[
            Picture(name="coil-parts", keys="blanks"),
            Blanks(blanks=[Blank(label="Name"), Blank(label="Date"), Blank(label="Right"), Blank(label="Seen by")]),
        ],
        cautions=cautions_on("hands"),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def firing(asked: Asked) -> Handout:
    """The order of firing and the strip of the closing."""
    found = asked.sheet(asked.shown("coil")).figures["closing_time_ms"]
    middle = "____" if found.median is None else f"{found.median:.0f}"
    return Handout(
        name="firing",
        title="How it fires",
        student=True,
        say=Words(
            text="From the pan to shut jaws takes about {ms} thousandths of a second: no hand is that fast.",
            values={"ms": middle},
        ),
        blocks=[Picture(name="trigger"), topic("firing"), Picture(name="firing-strip")],
        cautions=cautions_on("hands"),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def hands(asked: Asked) -> Handout:
    """Where the hand may be."""
    return Handout(
        name="hands",
        title="Where your hand may be",
        student=True,
        say=Words(text="From outside and below, under the loose jaw. Nowhere else."),
        blocks=[Picture(name="hand-place"), topic("hand")],
        cautions=cautions_on("hands", "students"),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def setting(asked: Asked, family: str) -> Handout:
    """The setting card of a family, with the force that each trap of the outfit wants."""
    long = family == "long"
    return Handout(
        name="setting-long" if long else "setting-coil",
        title="Setting a long-spring" if long else "Setting a coil-spring",
        say=Words(text="Slow and the same way each time. If it feels wrong, let it go off and start again."),
        student=True,
        blocks=[Picture(name="setting-long" if long else "setting-coil"), _forces(asked, family)],
        cautions=cautions_on("hands"),
        about=about(asked, family),
        traps=traps_of(asked),
    )


def _forces(asked: Asked, family: str) -> Grid:
    """Force to press one lever or spring, a setter's handles, and both feet, for each kind of trap owned."""
    rows = []
    for tags, trap in asked.kinds(family):
        part = next(one for one in asked.sheet(trap.trap_id).parts if one.head == "Force to set it")
        shown = {row.what: row.shown for row in part.rows}
        pressed = [next((v for k, v in shown.items() if k.startswith(w)), "") for w in ("one lever", "a setter")]
        rows.append([Cell(text=tags), Cell(text=trap.label), *(Cell(text=words) for words in pressed)])
    return Grid(
        head="Can you press it? Nobody sets a trap that he cannot press.",
        columns=["trap", "kind", "one lever or spring" if family == "coil" else "one spring", "setter's handles"],
        widths=[1.0, 2.0, 1.6, 1.6],
        rows=rows,
        blank_rows=0 if rows else 3,
        note="Median with its band; comparative until your own springs are measured." if rows else "",
    )


def pan(asked: Asked) -> Handout:
    """Pan level, crisp notch, trip force."""
    return Handout(
        name="pan",
        title="Pan, notch and trip force",
        student=True,
        say=Words(text="Level with the jaws, square at the notch, and the same pull three times."),
        blocks=[
            Picture(name="pan-level"),
            Picture(name="notch"),
            topic("pan"),
            Grid(
                head="Three pulls",
                columns=["trap", "1", "2", "3", "date"],
                widths=[1.4, 1.0, 1.0, 1.0, 1.2],
                blank_rows=2,
            ),
        ],
        cautions=cautions_on("hands"),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def bed(asked: Asked) -> Handout:
    """Bed, four-point test, remake."""
    return Handout(
        name="bed",
        title="Bed and cover",
        student=True,
        say=Words(text="A trap that rocks is dug up, or fires too soon. Press it at four points."),
        blocks=[Picture(name="bed", high=0.9), topic("bed")],
        cautions=cautions_on("hands"),
        about=about(asked, "coil"),
        traps=traps_of(asked),
    )


def traps_of(asked: Asked) -> dict[str, str]:
    """Tags or patterns of the traps that pictures show, by family."""
    return {"coil": asked.shown("coil"), "long": asked.shown("long")}


def about(asked: Asked, family: str) -> str:
    """Which trap the pictures show, in words."""
    if not family:
        return ""
    what = asked.shown(family)
    job = asked.job
    if job is not None and what in job.traps:
        return f"drawn from {what}, {job.traps[what].label}"
    return f"drawn from the usual {asked.sheet(what).title}"
