"""Table of the tackle: chain, cable, ends and connectors."""

from __future__ import annotations

from functools import cache

from setwright.basis.tables import Field, Table, read_table, shipped
from setwright.tackle.chain import ChainReading, which_chain


@cache
def tackle() -> Table:
    """Wire, working load and breaking strength; parts that nobody rates have `rated` "no" and no strength."""
    return read_table(
        "tackle.csv",
        shipped("tackle", "tackle.csv"),
        {
            "label": Field("text", needed=True),
            "kind": Field("text", needed=True, words=("chain", "cable", "connector", "end")),
            "rated": Field("text", needed=True, words=("yes", "no")),
            "wire_diameter": Field("m", 0.001, 0.02),
            "working_load": Field("N", 100.0, 50e3),
            "breaking": Field("N", 200.0, 100e3),
            "efficiency": Field("one", 0.1, 1.0),
            "trade_number": Field("text"),
        },
    )


def chain_readings() -> tuple[ChainReading, ...]:
    """Chains that are sold by a trade number."""
    table = tackle()
    return tuple(
        ChainReading(
            key=key,
            label=table.text(key, "label"),
            number=table.text(key, "trade_number"),
            wire=table.number(key, "wire_diameter"),
            breaking=table.number(key, "breaking"),
        )
        for key in table
        if table.has(key, "trade_number")
    )


def chain_of(number: str, wire: float | None) -> ChainReading:
    """Chain of a trade number and a gauged wire [m]; see `which_chain` for what is refused."""
    return which_chain(number, wire, chain_readings())


@cache
def rust() -> Table:
    """Loss of steel per side and year [m/a], by place."""
    return read_table(
        "rust.csv",
        shipped("tackle", "rust.csv"),
        {"label": Field("text", needed=True), "rate": Field("m/year", 0.0, 500e-6, needed=True)},
    )


@cache
def cures() -> Table:
    """Work [s] and weight [kg] of mends to the tackle."""
    return read_table(
        "cures.csv",
        shipped("tackle", "cures.csv"),
        {
            "label": Field("text", needed=True),
            "work": Field("s", 0.0, 14400.0, needed=True),
            "mass": Field("kg", -5.0, 20.0, needed=True),
        },
    )
