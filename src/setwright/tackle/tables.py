"""Table of the tackle: chain, cable, ends and connectors."""

from __future__ import annotations

from functools import cache

from setwright.basis.tables import Field, Table, read_table, shipped


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
        },
    )
