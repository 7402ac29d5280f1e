"""Outside checks of the tackle; `published.csv` has the rows."""

from __future__ import annotations

import pytest

from outside import hold, rows
from setwright.tackle import strength, tables

POUND_FORCE = 4.4482216152605


def machine_working_pounds(key: str) -> float:
    """Working load by the wire alone."""
    wire = tables.tackle().number(key, "wire_diameter")
    return float(strength.working_load_machine(wire)) / POUND_FORCE


def breaking(key: str) -> float:
    return tables.tackle().number(key, "breaking")


def breaking_pounds(key: str) -> float:
    return breaking(key) / POUND_FORCE


def working_pounds(key: str) -> float:
    return tables.tackle().number(key, "working_load") / POUND_FORCE


def four_times(key: str) -> float:
    return 4.0 * float(strength.working_load_machine(tables.tackle().number(key, "wire_diameter")))


def hook(wire: float, radius: float, which: int) -> float:
    return float(strength.hook_open(wire, radius, 300e6)[which])


def left(wire: float, rate: float, years: float) -> float:
    return float(strength.corroded(wire, rate, years))


def cable_pounds(key: str, end: str) -> float:
    return float(strength.cable(breaking(key), tables.tackle().number(end, "efficiency"))) / POUND_FORCE


CHECKS = {
    function.__name__: function
    for function in (
        machine_working_pounds, breaking, breaking_pounds, working_pounds, four_times, hook, left, cable_pounds,
    )
}  # fmt: skip


@pytest.mark.parametrize("row", rows("tackle", "published"))
def test_tackle_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)
