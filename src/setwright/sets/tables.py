"""Tables of the chain: set types, sign, who works a set, figures and limits."""

from __future__ import annotations

from functools import cache

from setwright.basis.source import Quantity
from setwright.basis.tables import Field, Table, read_table, shipped

CLASSES = (
    "canid", "felid", "procyonid", "mustelid", "mephitid", "didelphid", "rodent", "lagomorph", "bird", "ungulate",
)  # fmt: skip


@cache
def set_types() -> Table:
    """Set types: form of the footfalls, lane or patch, who is drawn, misfires, minutes."""
    return read_table(
        "set_types.csv",
        shipped("sets", "set_types.csv"),
        {
            "label": Field("text", needed=True),
            "medium": Field("text", needed=True, words=("land", "water")),
            "foot": Field("text", needed=True, words=("fore", "hind")),
            "form": Field("text", needed=True, words=("lane", "patch")),
            "draws": Field("text", needed=True),
            "lane_width": Field("m", 0.05, 2.0),
            "placements": Field("one", 1, 40),
            "patch_area": Field("m**2", 0.01, 2.0),
            "gait": Field("one", 0.5, 3.0, needed=True),
            "misfire": Field("one", 0.0, 1.0, needed=True),
            "minutes": Field("s", 60, 7200, needed=True),
        },
    )


@cache
def sign() -> Table:
    """Visits a night by level of sign."""
    return read_table(
        "sign.csv",
        shipped("sets", "sign.csv"),
        {"visits": Field("one", 0.0, 20.0, needed=True), "label": Field("text", needed=True)},
    )


@cache
def works() -> Table:
    """Share of visitors of a class that come right up to a set, by kind of attraction."""
    return read_table(
        "works.csv", shipped("sets", "works.csv"), {name: Field("one", 0.0, 1.0, needed=True) for name in CLASSES}
    )


# Unit and span of the figures that are not plain numbers.
_FIGURES: dict[str, tuple[str, float, float]] = {
    "slack-pan": ("N", 0.1, 50.0),
    "seat-limit": ("m", 0.001, 0.2),
    "lunge-acceleration": ("m/s**2", 0.5, 12.0),
    "lunge-angle": ("rad", 0.0, 1.5),
    "clear": ("m", 0.0, 1.0),
}


def _by_key(name: str) -> dict[str, Quantity]:
    """Read a table of single values, each key with its own unit."""
    text = shipped("sets", name)
    found: dict[str, Quantity] = {}
    lines = text.splitlines()
    head = [line for line in lines if line.startswith("#")]
    body = [line for line in lines if line.strip() and not line.startswith("#")]
    for number, line in enumerate(body[1:], start=1):
        key = line.split(",", 1)[0]
        unit, low, high = _FIGURES.get(key, ("one", 0.0, 1e6))
        table = read_table(
            f"{name} row {number}", "\n".join([*head, body[0], line]), {"value": Field(unit, low, high)}
        )
        if key in found:
            raise ValueError(f"{name}: {key} stands twice")
        found[key] = table.get(key, "value")
    return found


@cache
def figures() -> dict[str, Quantity]:
    """Figures that the chain needs and no reading gives, by key."""
    return _by_key("figures.csv")


@cache
def limits() -> dict[str, Quantity]:
    """Limits that a link or a gate is held against, by key."""
    return _by_key("limits.csv")
