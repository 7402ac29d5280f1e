"""Tables of the animal room: kinds, ages, habits, gaits, how a foot comes down, pan trials, how soon it leaves."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from setwright.animal.ages import AGES, SEXES, AgeClass
from setwright.animal.gaits import GAITS, Gait, Tread
from setwright.animal.model import QUANTITIES, ROLES, Species
from setwright.animal.near import near_names
from setwright.animal.trial_rows import GROUPS, KINDS, PANS, USES, TrialRow
from setwright.basis.errors import BadInput, BadTable
from setwright.basis.source import Quantity, unknown
from setwright.basis.tables import Field, Table, read_table, shipped

CLASSES = (
    "canid", "felid", "procyonid", "mephitid", "didelphid", "rodent", "mustelid", "lagomorph", "bird", "ungulate",
)  # fmt: skip

_TEXT = Field("text")
_NEEDED_TEXT = Field("text", needed=True)

SPECIES_FIELDS: Mapping[str, Field] = {
    "name": _NEEDED_TEXT,
    "latin": _NEEDED_TEXT,
    "class": Field("text", needed=True, words=CLASSES),
    "role": _NEEDED_TEXT,
    "note": _TEXT,
    "mass": Field("kg", 0.05, 500.0, needed=True),
    "mass_cv": Field("one", 0.01, 1.0, needed=True),
    "mass_low": Field("kg", 0.05, 500.0, needed=True),
    "mass_high": Field("kg", 0.05, 500.0, needed=True),
    "fore_width": Field("m", 0.01, 0.2, needed=True),
    "fore_length": Field("m", 0.01, 0.25, needed=True),
    "hind_width": Field("m", 0.01, 0.2),
    "hind_length": Field("m", 0.01, 0.25),
    "step": Field("m", 0.03, 1.5),
    "reach_fore": Field("m", 0.05, 1.5),
    "reach_hind": Field("m", 0.1, 2.5),
    "jaw_low": Field("m", 0.05, 0.3),
    "jaw_high": Field("m", 0.05, 0.3),
    "pan_low": Field("N", 0.2, 100.0),
    "pan_high": Field("N", 0.2, 100.0),
    "share": Field("one", 0.05, 2.5, needed=True),
    "share_sd": Field("one", 0.01, 1.0, needed=True),
    "dive_max": Field("s", 5.0, 3600.0),
    "loss_time": Field("s", 30.0, 3600.0),
    "speed": Field("m/s", 0.3, 30.0),
    "acceleration": Field("m/s**2", 0.5, 15.0),
    "grip_thickness_fore": Field("m", 0.002, 0.1, needed=True),
    "grip_thickness_hind": Field("m", 0.002, 0.1),
    "grip_height": Field("m", 0.002, 0.2, needed=True),
}

HABIT_FIELDS: Mapping[str, Field] = {
    "night": Field("one", 0.0, 1.0, needed=True),
    "twilight": Field("one", 0.0, 1.0, needed=True),
    "day": Field("one", 0.0, 1.0, needed=True),
    "group": Field("one", 1.0, 60.0, needed=True),
}

# Every figure of an animal, as a line book may replace it.
FIGURES: Mapping[str, Field] = MappingProxyType({**SPECIES_FIELDS, **HABIT_FIELDS})

AGE_FIELDS: Mapping[str, Field] = {
    "animal": _NEEDED_TEXT,
    "age": Field("text", needed=True, words=AGES),
    "sex": Field("text", needed=True, words=SEXES),
    "question": _TEXT,
    "mass": Field("kg", 0.05, 500.0),
    "mass_cv": Field("one", 0.01, 1.0),
}

GAIT_FIELDS: Mapping[str, Field] = {
    "animal": _NEEDED_TEXT,
    "gait": Field("text", needed=True, words=GAITS),
    "usual": Field("text", needed=True, words=("yes", "no")),
    "stride": Field("m", 0.05, 5.0),
    "places": Field("one", 1.0, 4.0, needed=True),
    "load": Field("one", 0.5, 4.0, needed=True),
}

TREAD_FIELDS: Mapping[str, Field] = {
    "label": _NEEDED_TEXT,
    "coupling_mean": Field("one", 0.05, 0.95, needed=True),
    "coupling_sd": Field("one", 0.01, 0.4, needed=True),
    "gait": Field("one", 0.5, 4.0, needed=True),
}

TRIAL_FIELDS: Mapping[str, Field] = {
    "group": Field("text", needed=True, words=GROUPS),
    "pan": Field("text", needed=True, words=PANS),
    "kind": Field("text", needed=True, words=KINDS),
    "use": Field("text", needed=True, words=USES),
    "why": _TEXT,
    "device": _NEEDED_TEXT,
    "place": _NEEDED_TEXT,
    "animals": _NEEDED_TEXT,
    "measure": _NEEDED_TEXT,
    "note": _TEXT,
    "share": Field("one", 0.0, 1.0),
    "ratio": Field("one", 0.0, 100.0),
    "caught": Field("one", 0.0, 1e6),
    "of": Field("one", 1.0, 1e6),
}

WITHDRAWAL_FIELDS: Mapping[str, Field] = {
    "reaction": Field("s", 0.005, 0.5, needed=True),
    "lift_acceleration": Field("m/s**2", 1.0, 200.0, needed=True),
}

# Rows of one key that only make sense in this order.
_PAIRS = (("mass_low", "mass"), ("mass", "mass_high"), ("jaw_low", "jaw_high"), ("pan_low", "pan_high"))


def read_species(name: str, text: str) -> Table:
    """Read a table of animals and check each row, each role and the order of each band.

    Parameters
    ----------
    name : str
        File name for error messages.
    text : str
        The whole file.

    Raises
    ------
    BadTable
        For the first row that breaks a rule.

    """
    table = read_table(name, text, SPECIES_FIELDS)
    keys = table.keys()
    for key in keys:
        record_of = table.record(key)
        for role in split_roles(table.text(key, "role")):
            if role not in ROLES:
                raise BadTable("unknown role", file=name, field=key, found=role, allowed=", ".join(ROLES))
        for lower, upper in _PAIRS:
            if lower in record_of and upper in record_of and record_of[lower].number > record_of[upper].number:
                raise BadTable(f"{lower} is above {upper}", file=name, field=key, found=record_of[lower].number)
    return table


def split_roles(text: str) -> tuple[str, ...]:
    """Roles of a comma-separated text, in its order."""
    return tuple(role for role in (part.strip() for part in text.split(",")) if role)


@cache
def species() -> Table:
    """Kinds of animals by key: texts `name, latin, class, role, note` and the figures of `Species`."""
    return read_species("species.csv", shipped("animal", "species.csv"))


@cache
def trials() -> Table:
    """Field trials of pan-tension devices and trap types by row, `T01` and on.

    Texts `device, place, animals, measure, note`; numbers `share` [-], `ratio` [-] (row T09), `caught`
    and `of` (counts, where the abstract has them). A row without a number says so in its note.
    """
    return read_table("pan_tension_trials.csv", shipped("animal", "pan_tension_trials.csv"), TRIAL_FIELDS)


@cache
def withdrawal() -> Table:
    """How soon a foot leaves a fired pan: key `foot`, `reaction` [s], `lift_acceleration` [m/s²]; assumed."""
    return read_table("withdrawal.csv", shipped("animal", "withdrawal.csv"), WITHDRAWAL_FIELDS)


@cache
def habits() -> Table:
    """When each kind is about and how many travel together: `night`, `twilight`, `day`, `group` [-]."""
    table = read_table("habits.csv", shipped("animal", "habits.csv"), HABIT_FIELDS)
    for key in table:
        total = sum(table.number(key, part) for part in ("night", "twilight", "day"))
        if abs(total - 1.0) > 1e-6:
            raise BadTable("the parts of the day do not add up to 1", file=table.name, field=key, found=total)
    return table


@cache
def ages() -> Table:
    """Masses by age and sex, keys such as `coyote_east adult_male`; a class without a mass has a `question`."""
    return read_table("ages.csv", shipped("animal", "ages.csv"), AGE_FIELDS)


@cache
def strides() -> Table:
    """Gaits besides the walk, keys such as `red_fox trot`: `usual`, `stride` [m], `places` [-], `load` [-]."""
    return read_table("gaits.csv", shipped("animal", "gaits.csv"), GAIT_FIELDS)


@cache
def treads() -> Table:
    """How a foot comes down at a set, keys `worked`, `trail`, `water`: coupling and gait [-]."""
    return read_table("tread.csv", shipped("animal", "tread.csv"), TREAD_FIELDS)


def need(key: str, field: str) -> None:
    """Raise BadInput that names a file's field and what was probably meant, when no such animal is in the table.

    Parameters
    ----------
    key : str
        Key of an animal.
    field : str
        Where it was written.

    """
    table = species()
    if key not in table:
        near = near_names(key, {one: table.text(one, "name") for one in table})
        meant = f"did you mean {' or '.join(near)}?" if near else "a key of the table of animals"
        raise BadInput("no such entry in the table of animals", field=field, found=key, allowed=meant)


def age_classes(key: str) -> tuple[AgeClass, ...]:
    """Age classes of one animal; empty where only adults are known.

    Parameters
    ----------
    key : str
        Key of an animal.

    """
    need(key, "animal")
    table = ages()
    found = []
    for row in table:
        if table.text(row, "animal") == key:
            figures = table.record(row)
            ask = table.text(row, "question")
            found.append(
                AgeClass(
                    key=row.split(" ", 1)[1],
                    age=table.text(row, "age"),
                    sex=table.text(row, "sex"),
                    mass=figures.get("mass", unknown("kg", ask)),
                    mass_cv=figures.get("mass_cv", unknown("one", ask)),
                )
            )
    return tuple(found)


def gaits(key: str) -> tuple[Gait, ...]:
    """Gaits of one animal, the walk first; a walk without a known step has an unknown stride.

    Parameters
    ----------
    key : str
        Key of an animal.

    """
    need(key, "animal")
    table = strides()
    others = [row for row in table if table.text(row, "animal") == key]
    usual = [row for row in others if table.text(row, "usual") == "yes"]
    found = [Gait.walk(record(key).step, usual=not usual)]
    for row in others:
        figures = table.record(row)
        stride = figures.get("stride", unknown("m", "measure from one print of a foot to the next of the same foot"))
        found.append(
            Gait(
                word=table.text(row, "gait"),
                usual=row in usual,
                stride=stride,
                places=figures["places"],
                load_factor=figures["load"],
            )
        )
    return tuple(found)


def tread(kind: str) -> Tread:
    """How a foot comes down at a worked set, a trail set or a set in water.

    Parameters
    ----------
    kind : str
        `worked`, `trail` or `water`.

    """
    table = treads()
    figures = table.record(kind)
    return Tread(kind, figures["coupling_mean"], figures["coupling_sd"], figures["gait"])


def trial_rows() -> tuple[TrialRow, ...]:
    """Field trials as the calibration uses them; a figure that was not printed is NaN."""
    table = trials()
    found = []
    for key in table:
        figures = table.record(key)
        quantity = figures.get("share") or figures.get("ratio")
        found.append(
            TrialRow(
                key=key,
                group=table.text(key, "group"),
                pan=table.text(key, "pan"),
                kind=table.text(key, "kind"),
                printed=float("nan") if quantity is None else quantity.number,
                use=table.text(key, "use"),
                why=table.text(key, "why"),
            )
        )
    return tuple(found)


def record(key: str, overrides: Mapping[str, Quantity] = MappingProxyType({})) -> Species:
    """One kind of animal, with the user's own figures in place of the table's.

    Parameters
    ----------
    key : str
        Key in the table of animals.
    overrides : mapping of str to Quantity
        Own figures by field name of `Species`, in the same unit.

    Raises
    ------
    BadInput
        When the key is not known (what was probably meant is named) or a field is not, an override's unit differs or
        it lies outside the table's range.

    """
    need(key, "animal")
    table = species()
    known = {**table.record(key), **(habits().record(key) if key in habits() else {})}
    figures = {name: quantity for name, quantity in known.items() if name in QUANTITIES}
    return Species(
        key=key,
        name=table.text(key, "name"),
        latin=table.text(key, "latin"),
        class_=table.text(key, "class"),
        roles=split_roles(table.text(key, "role")),
        note=table.text(key, "note"),
        **{**figures, **_checked(key, overrides)},
    )


def added(
    key: str,
    name: str,
    like: str,
    overrides: Mapping[str, Quantity] = MappingProxyType({}),
    roles: tuple[str, ...] = ("nontarget",),
) -> Species:
    """An animal that the table does not know, of the build of one that it knows.

    Parameters
    ----------
    key : str
        New key; it must not stand in the table.
    name : str
        Name for people.
    like : str
        Key of an animal of the same build and gait: only its build, its share of weight on a foot and its hours are
        taken over. Everything else is unknown until it is stated.
    overrides : mapping of str to Quantity
        Own figures by field name of `Species`; `mass` must be among them.
    roles : tuple of str
        Any of `setwright.animal.model.ROLES`.

    Raises
    ------
    BadInput
        When the key stands in the table, `like` does not, no mass is stated, or a figure or role is not allowed.

    """
    need(like, f"animals.{key}.like")
    if key in species():
        raise BadInput("this animal stands in the table: state its own figures only", field="animals", found=key)
    if "mass" not in overrides:
        raise BadInput("an animal of your own needs a mass", field=f"animals.{key}.mass", allowed="a mass with unit")
    for role in roles:
        if role not in ROLES:
            raise BadInput("unknown role", field=f"animals.{key}.roles", found=role, allowed=", ".join(ROLES))
    base = record(like)
    taken = ("share", "share_sd", "night", "twilight", "day")
    figures = {part: getattr(base, part) for part in taken} | _checked(key, overrides)
    return Species(key=key, name=name, class_=base.class_, roles=roles, note=f"of the build of {like}", **figures)


def _checked(key: str, overrides: Mapping[str, Quantity]) -> dict[str, Quantity]:
    for name, quantity in overrides.items():
        if name not in QUANTITIES:
            near = near_names(name, {one: one for one in QUANTITIES}) or QUANTITIES
            raise BadInput("no such figure of an animal", field=name, allowed=", ".join(near))
        field = FIGURES[name]
        if quantity.unit != field.unit:
            raise BadInput("wrong unit", field=f"{key} {name}", found=quantity.unit, allowed=field.unit)
        for number in (quantity.value, quantity.low, quantity.high):
            if number is not None and not field.low <= number <= field.high:
                raise BadInput(
                    "outside the range of this figure", field=f"{key} {name}", found=number,
                    allowed=f"{field.low} to {field.high} {field.unit}",
                )  # fmt: skip
    return dict(overrides)
