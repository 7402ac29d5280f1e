"""Every night of the demo line's record, by cover and trap: what `tonight` would have answered at one set on land.

Run it with a folder for the drawing: python docs/examples/cold_season.py docs/images
"""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import datetime, time, timedelta
from pathlib import Path

import numpy as np

from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.desk.tonight import read_evening
from setwright.desk.tonight_set import FIRES
from setwright.draw import svg
from setwright.draw.nights_grid import nights_grid
from setwright.ground.frost import ThermalLayer, frost_profile
from setwright.line.night import day_of
from setwright.line.records import Fresh, weather_of
from setwright.sets.context import Kept
from setwright.sets.evening_frost import frost_evening
from setwright.sets.naming import cover_name
from setwright.sheets.svg_files import with_letters
from setwright.weather.sky import sky_corrected
from setwright.weather.tables import thermal

BOOK = DATA / "demo" / "line-book.yaml"
COVERS = ("loam-wet", "loam-moist", "dry-dirt", "peat-dry", "waxed-dirt")
TRAPS = {"T-01": "No. 1½, two coils", "T-11": "No. 1¾, four coils", "T-41": "No. 2, two leaf springs"}
LAYER = ("k_frozen", "k_unfrozen", "c_frozen", "c_unfrozen", "latent")


def ground_by_hour(weather):
    """Temperature two inches down in moist loam by hour of the record, in place of a reading [degC]."""
    found = sky_corrected(weather.temperature, weather.dew_point, weather.cloud, weather.wind, weather.radiation)
    loam = ThermalLayer(float("inf"), *(thermal().number("loam-moist", name) for name in LAYER))
    run = frost_profile(
        found.equivalent, found.conductance, [loam], initial_temperature=10.0, bottom_temperature=11.0,
        steps_per_hour=1, cell=0.01, depth=1.5,
    )  # fmt: skip
    return run.at(0.05)[0]


def answers():
    """Answers by cover and trap for every evening that has a week of the record before it."""
    job = read_evening(BOOK, Fresh(), draws=200)
    book = job.book
    weather = weather_of(book, BOOK.parent, job.contexts["orchard"].check.made)
    ground = ground_by_hour(weather.hourly)
    context, rig = job.contexts["orchard"], job.stated["orchard"]
    first = (weather.hourly.start + timedelta(days=7)).astimezone(book.line.zone).date()
    nights = [first + timedelta(days=day) for day in range((weather.hourly.end - weather.hourly.start).days - 8)]
    told = {cover: {trap: [] for trap in TRAPS} for cover in COVERS}
    for night in nights:
        made = datetime.combine(night, time(15, 30), book.line.zone)
        visit = made + timedelta(hours=16, minutes=30)
        warmth = float(ground[weather.hourly.index_of(made)])
        read = Quantity(warmth, "degC", Source(Kind.COMPUTED, "moist loam through the record"))
        there = book.model_copy(update={"conditions": book.conditions.model_copy(update={"soil_temperature": read})})
        day = day_of(there, BOOK.parent, job.base, visit, made)
        check = replace(context.check, made=made, visit=visit)
        here = replace(context, conditions=day.conditions, check=check, kept=Kept(), line_kept=Kept())
        for cover in COVERS:
            for trap in TRAPS:
                found = frost_evening(here, replace(rig, trap=job.traps[trap], cover=cover))
                told[cover][trap].append("fires" if found is None else FIRES[found.check.standing])
    return nights, told


def main() -> None:
    """Write the drawing and print the table of the page."""
    nights, told = answers()
    groups = [
        (cover_name(cover), [(TRAPS[trap], told[cover][trap]) for trap in TRAPS]) for cover in COVERS
    ]  # fmt: skip
    drawing = with_letters(svg.standalone(nights_grid(groups, nights, 720.0)))
    (Path(sys.argv[1]) / "cold-season.svg").write_text(drawing, encoding="utf-8")
    print(f"| cover, ½ in | {' | '.join(TRAPS.values())} |\n|---|{'---|' * len(TRAPS)}")
    for cover in COVERS:
        cells = []
        for trap in TRAPS:
            row = np.array(told[cover][trap])
            cells.append(f"{int((row == 'will not fire').sum())} frozen, {int((row == 'doubtful').sum())} doubtful")
        print(f"| {cover_name(cover)} | {' | '.join(cells)} |")
    print(f"{len(nights)} nights from {nights[0]} to {nights[-1]}")


if __name__ == "__main__":
    main()
