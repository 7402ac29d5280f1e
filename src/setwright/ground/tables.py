"""Tables of the ground: soils by hand, terrains for sinkage, anchor stock, digging rates."""

from __future__ import annotations

from functools import cache

from setwright.basis.tables import Field, Table, read_table, shipped


@cache
def soils() -> Table:
    """Soils by a hand test: strength, weight, the model that fits, and the rows for digging and for heat."""
    return read_table(
        "soils.csv",
        shipped("ground", "soils.csv"),
        {
            "label": Field("text", needed=True),
            "hand_test": Field("text", needed=True),
            "model": Field("text", needed=True, words=("drained", "undrained", "adfreeze")),
            "phi": Field("rad", 0.3, 0.85),
            "cu": Field("Pa", 500.0, 400e3),
            "unit_weight": Field("N/m**3", 9e3, 25e3, needed=True),
            "unit_weight_submerged": Field("N/m**3", 500.0, 14e3),
            "delta_steel": Field("rad", 0.1, 0.6),
            "cov": Field("one", 0.01, 1.0, needed=True),
            "adfreeze": Field("Pa", 1e4, 2e6),
            "digging": Field("text", needed=True, words=("loose", "firm", "clay", "gravel")),
            "thermal": Field("text", needed=True),
        },
    )


@cache
def terrains() -> Table:
    """Bekker parameters `kc` [N/m^(n+1)], `kphi` [N/m^(n+2)] and exponent `n` of terrains."""
    return read_table(
        "terrains.csv",
        shipped("ground", "terrains.csv"),
        {
            "label": Field("text", needed=True),
            "kc": Field("one", 0.0, 2e5, needed=True),
            "kphi": Field("one", 1e4, 1e7, needed=True),
            "n": Field("one", 0.05, 2.0, needed=True),
        },
    )


@cache
def stakes() -> Table:
    """Anchor stock: size, section, bending strength and mass of stakes and cable plates."""
    return read_table(
        "stakes.csv",
        shipped("ground", "stakes.csv"),
        {
            "label": Field("text", needed=True),
            "kind": Field("text", needed=True, words=("stake", "plate")),
            "length": Field("m", 0.2, 2.0, needed=True),
            "width": Field("m", 0.005, 0.2),
            "perimeter": Field("m", 0.01, 0.6),
            "yield_moment": Field("N*m", 10.0, 5000.0),
            "mass": Field("kg", 0.02, 10.0, needed=True),
            "plate_width": Field("m", 0.01, 0.3),
            "plate_length": Field("m", 0.02, 0.5),
        },
    )


@cache
def digging() -> Table:
    """Digging rates by hand and what slows them."""
    return read_table(
        "digging.csv",
        shipped("ground", "digging.csv"),
        {"rate": Field("m**3/s", 1e-5, 1e-3), "factor": Field("one", 1.0, 50.0)},
    )


TESTS = ("thumb", "ribbon", "boot", "stake")


def classes() -> tuple[str, ...]:
    """Classes of soil by key, in the order in which `hand_test_shares` has them."""
    return tuple(soils())


@cache
def hand_tests() -> Table:
    """Answers of the hand tests, and how often each class of soil gives them: a column for each row of soils."""
    share = {key.replace("-", "_"): Field("one", 0.0, 1.0, needed=True) for key in classes()}
    return read_table(
        "handtests.csv",
        shipped("ground", "handtests.csv"),
        {"test": Field("text", needed=True, words=TESTS), "answer": Field("text", needed=True), **share},
    )


def hand_test_shares(test: str) -> tuple[tuple[str, ...], list[list[float]]]:
    """Answers of one hand test by key, and the chance of each in each class, shape (answers, classes) [-]."""
    table = hand_tests()
    keys = tuple(key for key in table if table.text(key, "test") == test)
    return keys, [[table.number(key, one.replace("-", "_")) for one in classes()] for key in keys]


@cache
def moisture() -> Table:
    """States of moisture: factor on the undrained strength of a class by hand, and whether the soil floats."""
    return read_table(
        "moisture.csv",
        shipped("ground", "moisture.csv"),
        {
            "strength_factor": Field("one", 0.1, 5.0, needed=True),
            "submerged": Field("text", needed=True, words=("yes", "no")),
        },
    )


@cache
def cures() -> Table:
    """Work [s] and weight [kg] of mends to an anchor, without that of the stake or plate itself."""
    return read_table(
        "cures.csv",
        shipped("ground", "cures.csv"),
        {
            "label": Field("text", needed=True),
            "work": Field("s", 0.0, 14400.0, needed=True),
            "mass": Field("kg", 0.0, 20.0, needed=True),
        },
    )
