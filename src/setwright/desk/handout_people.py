"""Handouts for people: release, dispatch, dog owner, and the first sets of a student."""

from __future__ import annotations

from setwright.animal import tables as animal_tables
from setwright.basis.units import inches
from setwright.desk.cautions import RABIES_VECTORS, WATER_RODENTS
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Blank, Blanks, Cell, Grid, Handout, Picture, Words
from setwright.desk.handout_source import Asked, mark_of, topic
from setwright.sets import tables as set_tables
from setwright.sets.model import TrapRig

# Animals of the dispatch card where no line is given.
USUAL = ("raccoon", "red_fox", "coyote_west", "striped_skunk", "muskrat", "mink", "beaver")
# Animals for a first winter in the order in which guides take them, and the set type that each begins with.
FIRST = (("muskrat", "feed-bed"), ("mink", "pocket"), ("raccoon", "pocket"), ("muskrat", "float"), ("mink", "blind"))


def release(asked: Asked) -> Handout:
    """Letting a dog or another animal go."""
    del asked
    return Handout(
        name="release",
        title="Letting a dog go",
        student=True,
        say=Words(text="Leash, coat, board, both levers at once. Then owner and vet."),
        blocks=[
            Picture(name="opening"),
            topic("release"),
            Blanks(
                head="Phones",
                blanks=[
                    Blank(label="Vet"),
                    Blank(label="Officer"),
                    Blank(label="Owner of the land"),
                    Blank(label="Shelter"),
                ],
            ),
            Blanks(
                head="Write it down",
                blanks=[
                    Blank(label="Place, set"),
                    Blank(label="Found at"),
                    Blank(label="Held how long"),
                    Blank(label="Foot, teeth, what was seen"),
                    Blank(label="Told to, at"),
                    Blank(label="Reported to, at"),
                ],
            ),
        ],
        cautions=cautions_on("bite", "hands"),
    )


def dispatch(asked: Asked) -> Handout:
    """Dispatch: law, place, gun, rabies; planned before the set is made."""
    return Handout(
        name="dispatch",
        title="Dispatch card",
        say=Words(text="Fixed before you set: lawful, trained, sure of what is behind. Else do not set."),
        blocks=[topic("dispatch"), _shots(asked)],
        cautions=cautions_on("firearm", "bite"),
    )


def _shots(asked: Asked) -> Grid:
    """For each animal that may be held: where the shot goes, and what to mind."""
    table = animal_tables.species()
    keys = list(USUAL)
    if asked.job is not None:
        keys = list(dict.fromkeys(site.target for site in asked.job.sites))
        if not any(key.endswith("skunk") for key in keys):
            keys.append("striped_skunk")
    rows = []
    for key in keys:
        tested = key in RABIES_VECTORS
        minds = [
            *(["rabies: test when bitten"] if tested else []),
            *(["spray: come up slowly, low, from upwind"] if key.endswith("skunk") else []),
            *(["tularemia: gloves"] if key in WATER_RODENTS else []),
        ]
        where = "between the eyes, a little up"
        if key.endswith("skunk"):
            where = "chest; head kept whole"
        elif tested:
            where = "between the eyes, a little up; chest when a test is wanted"
        rows.append(
            [
                Cell(text=table.text(key, "name").split(",")[0]),
                Cell(text=where, mark="g"),
                Cell(text="; ".join(minds), mark="p" if minds else ""),
            ]
        )
    return Grid(columns=["animal", "shot", "mind"], widths=[1.1, 2.6, 2.3], rows=rows)


def dog_owner(asked: Asked) -> Handout:
    """For dog owners: how to open a foothold."""
    del asked
    return Handout(
        name="dog-owner",
        title="If your dog is held by a trap",
        student=True,
        say=Words(text="You can open it. Press both ends at once, with all your weight."),
        blocks=[
            Picture(name="opening"),
            topic("dog"),
            Blanks(head="Phones", blanks=[Blank(label="Vet"), Blank(label="Office, officer")]),
        ],
        cautions=cautions_on("bite", "people"),
    )


def first_five(asked: Asked) -> Handout:
    """Five first sets out of what the student owns and no more."""
    types, animals = set_tables.set_types(), animal_tables.species()
    left = [] if asked.job is None else list(asked.job.traps.values())
    rows = []
    for key, kind in FIRST:
        low, high = animals.number(key, "jaw_low"), animals.number(key, "jaw_high")
        trap = _pick(left, low, high)
        if trap is not None:
            left.remove(trap)
        spread = f"{inches(low, 4).removesuffix(' in')} to {inches(high, 4)}"
        shown = "" if asked.job is None else "none that fits" if trap is None else f"{trap.trap_id}, {trap.label}"
        rows.append(
            [
                Cell(text=animals.text(key, "name").split(",")[0]),
                Cell(text=types.text(kind, "label"), mark="p"),
                Cell(text=spread, mark=mark_of(animals.get(key, "jaw_low").source.confidence)),
                Cell(text=shown),
                Cell(),
            ]
        )
    short = sum(row[3].text == "none that fits" for row in rows)
    say = Words(text="Five sets out of your own traps. You see each one every day.")
    if short:
        say = Words(
            text="Your traps fit {fit} of five sets. The others wait until you own a trap that fits.",
            values={"fit": str(len(rows) - short)},
        )
    return Handout(
        name="first-five",
        title="My first five sets",
        student=True,
        say=say,
        blocks=[
            Grid(
                columns=["animal", "set", "jaw spread", "my trap", "looked at by"],
                widths=[1.0, 1.4, 1.2, 2.0, 1.2],
                rows=rows,
            ),
            topic("first", form="boxes"),
            Blanks(
                blanks=[
                    Blank(label="Student"),
                    Blank(label="Grown-up trapper"),
                    Blank(label="Rule page, date"),
                    Blank(label="Licence"),
                ]
            ),
        ],
        cautions=cautions_on("hands", "water"),
        about="" if asked.job is None else "traps of the outfit",
    )


def _pick(traps: list[TrapRig], low: float, high: float) -> TrapRig | None:
    """The smallest sound trap whose spread fits."""
    fitting = [trap for trap in traps if low - 1e-4 <= trap.spread.number <= high + 1e-4 and trap.state == "good"]
    return min(fitting, key=lambda trap: (trap.spread.number, trap.trap_id), default=None)
