"""Tables of the animal room: kinds of animals, pan trials, how soon a foot leaves the pan."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from setwright.animal.model import QUANTITIES, ROLES, Species
from setwright.basis.errors import BadInput, BadTable
from setwright.basis.source import Quantity
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

TRIAL_FIELDS: Mapping[str, Field] = {
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
        When the key or a field is not known, an override's unit differs or it lies outside the table's range.

    """
    table = species()
    figures = {name: quantity for name, quantity in table.record(key).items() if name in QUANTITIES}
    for name, quantity in overrides.items():
        if name not in QUANTITIES:
            raise BadInput("no such figure of an animal", field=name, allowed=", ".join(QUANTITIES))
        field = SPECIES_FIELDS[name]
        if quantity.unit != field.unit:
            raise BadInput("wrong unit", field=f"{key} {name}", found=quantity.unit, allowed=field.unit)
        for number in (quantity.value, quantity.low, quantity.high):
            if number is not None and not field.low <= number <= field.high:
                raise BadInput(
                    "outside the range of this figure", field=f"{key} {name}", found=number,
                    allowed=f"{field.low} to {field.high} {field.unit}",
                )  # fmt: skip
        figures[name] = quantity
    return Species(
        key=key,
        name=table.text(key, "name"),
        latin=table.text(key, "latin"),
        class_=table.text(key, "class"),
        roles=split_roles(table.text(key, "role")),
        note=table.text(key, "note"),
        **figures,
    )
