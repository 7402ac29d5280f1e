"""Ask an independent library of digitised public manuals for short piles; nothing of setwright is imported.

For a load on a stake it tells the length that the stake needs. Run in an environment of its own, see README.md.
"""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path

from geotech_references.dm7_2 import chapter6 as manual

WIDTHS, HEIGHTS = (0.0127, 0.025, 0.0762, 0.305), (0.0, 0.02, 0.05, 0.61)


def undrained() -> list[tuple[str, dict[str, float], dict[str, float]]]:
    """Length that a side load asks for in clay, and the length over which the soil bears it."""
    found = []
    for cu, width, height, share in itertools.product((4e3, 36e3, 72e3), WIDTHS, HEIGHTS, (0.2, 0.45)):
        # A load that a stake of 0.3 to 2.5 m carries, by the limit of a thin one.
        load = share * 9.0 * cu * width * (0.6 if width < 0.1 else 2.44)
        f = manual.broms_undrained_f(load, cu, width)
        g = manual.broms_undrained_g(load * height, load, width, f, cu)
        asked = {"load": load, "cu": cu, "width": width, "height": height}
        found.append(("clay", asked, {"length": manual.broms_undrained_Zmin(width, f, g)}))
    return found


def drained() -> list[tuple[str, dict[str, float], dict[str, float]]]:
    """Length that a side load asks for in sand, where the moment is greatest, and how great."""
    found = []
    for degrees, width, height, load in itertools.product((29.0, 33.5, 38.0), WIDTHS[:3], HEIGHTS[:3], (50.0, 400.0)):
        passive = math.tan(math.radians(45.0 + 0.5 * degrees)) ** 2
        gamma = 18e3
        soil = {"gamma_eff": gamma, "b": width, "K_P": passive}
        length = manual.broms_drained_Zmin(load, load * height, **soil, tol=1e-12, max_iter=10_000)
        deep = manual.broms_drained_zero_shear_depth(load, **soil)
        moment = manual.broms_drained_max_moment(P_t_ult=load, M_t_ult=load * height, f=deep, **soil)
        asked = {"load": load, "degrees": degrees, "width": width, "height": height, "unit_weight": gamma}
        found.append(("sand", asked, {"length": length, "moment": moment}))
    return found


def shafts() -> list[tuple[str, dict[str, float], dict[str, float]]]:
    """Unit friction of a shaft in sand by the beta method."""
    return [
        (
            "beta",
            {"pressure": pressure, "degrees": degrees, "stress": stress},
            {
                "friction": manual.beta_method_unit_shaft_resistance(
                    manual.beta_coefficient(pressure, degrees), stress
                )
            },
        )
        for pressure, degrees, stress in itertools.product((0.5, 0.8, 1.0), (14.0, 17.0, 22.0), (2e3, 9e3))
    ]


def main() -> None:
    """Write geotechnics.csv beside this file."""
    with (Path(__file__).parent / "geotechnics.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(("what", "asked", "answered"))
        for what, asked, answered in (*undrained(), *drained(), *shafts()):
            told = [" ".join(f"{name}={value:.10g}" for name, value in side.items()) for side in (asked, answered)]
            writer.writerow((what, *told))


if __name__ == "__main__":
    main()
