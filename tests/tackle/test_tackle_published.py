"""Outside checks of the tackle; `published.csv` has the rows."""

from __future__ import annotations

import math

import pytest

from outside import hold, rows
from setwright.tackle import bent, chain, rust, strength, tables

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


def graded(wire: float, grade: float) -> float:
    return float(chain.graded_breaking(wire, grade))


def graded_pounds(wire: float, grade: float) -> float:
    return graded(wire, grade) / POUND_FORCE


def bend(ratio: float) -> float:
    """Mean radius over half the wire."""
    return float(bent.bend_factor(2.0, ratio))


def zinc(micrometres: float) -> float:
    return float(rust.zinc_life(micrometres * 1e-6))


def ring_stretch() -> float:
    """Give of a thin ring of 1 mm wire and 50 mm radius over P R³/(E I)."""
    give = 1.0 / float(chain.link_stiffness(0.001, 0.1, 0.0))
    return give * 200e9 * math.pi * 0.001**4 / 64.0 / 0.05**3


def rivet(diameter: float, strength: float) -> float:
    return float(bent.rivet_load(diameter, 1, 1.0, strength, strength)[0]) / 1.25


def chain_wire(number: str, wire: float) -> float:
    return tables.chain_of(number, wire).breaking


CHECKS = {
    function.__name__: function
    for function in (
        machine_working_pounds, breaking, breaking_pounds, working_pounds, four_times, hook, left, cable_pounds,
        graded, graded_pounds, bend, zinc, ring_stretch, rivet, chain_wire,
    )
}  # fmt: skip


@pytest.mark.parametrize("row", rows("tackle", "published"))
def test_tackle_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)
