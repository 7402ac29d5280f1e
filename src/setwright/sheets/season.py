"""The season book as a page that needs nothing else, as a PDF, as JSON, and the harvest as a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from setwright.basis.units import pull
from setwright.desk.season_document import HeldAnimal
from setwright.draw import season as plots
from setwright.draw import svg
from setwright.sheets import fonts
from setwright.sheets.page import templates
from setwright.sheets.typeset import typeset
from setwright.sheets.write import write_files

if TYPE_CHECKING:
    from setwright.desk.season_document import Figure, HarvestRow, Learned, Row, SeasonBook

DESK, PHONE, HALF, PAPER = 880.0, 350.0, 430.0, 520.0
NAMES = ("season.json", "season.html", "season.pdf", "harvest.csv", "animals.csv")


def number(value: float | None) -> str:
    """A figure with as many decimals as it can bear."""
    if value is None:
        return "–"
    size = abs(value)
    return (f"{value:.0f}" if size >= 99.5 else f"{value:.1f}" if size >= 0.95 else f"{value:.2g}").replace("-", "−")


def ends(figure: Figure) -> str:
    """The interval of a figure."""
    return "" if figure.low is None else f"{number(figure.low)} to {number(figure.high)}"


def share(figure: Figure) -> str:
    """A share in hundredths."""
    return "–" if figure.estimate is None else f"{100 * figure.estimate:.0f} %"


def share_ends(figure: Figure) -> str:
    """What a share is of, and its interval."""
    if figure.low is None or figure.high is None:
        return ""
    return f"{figure.hits} of {figure.out_of:.0f}; {100 * figure.low:.0f} to {100 * figure.high:.0f} %"


def injured(row: Row) -> str:
    """Held animals with moderate trauma or less."""
    part = row.injuries
    return f"{part.good} of {part.good + part.bad}" if part.good + part.bad else "–"


def learned_band(row: Learned, which: str) -> str:
    """Median and band of a learned quantity, before or after."""
    force, name = pull(1.0)
    scale = force if row.unit == "N" else 1.0
    unit = {"N": f" {name}", "%": " %", "min": " min"}.get(row.unit, "")
    middle, low, high = (number(scale * value) for value in (row.before if which == "before" else row.after))
    return f"{middle}{unit} ({low} to {high})"


def sentence(words: str) -> str:
    """Words as a sentence."""
    return words if not words else words[0].upper() + words[1:] + ("" if words.endswith(".") else ".")


def season_page(found: SeasonBook) -> str:
    """Write the season book as a self-contained page.

    Parameters
    ----------
    found : SeasonBook
        The document.

    Returns
    -------
    str
        HTML without script and without any outside address; all user text is escaped.
    """
    from markupsafe import Markup

    made = templates()
    return made.get_template("season.html").render(
        book=found,
        style=Markup(made.get_template("sheet.css").render()),
        faces=[(family, fonts.page_face(family)) for family in fonts.FACES],
        notice=Markup(fonts.NOTICE),
        patterns=Markup(svg.PATTERNS),
        **season_helpers(found),
    )


def season_helpers(found: SeasonBook) -> dict[str, Any]:
    """What the template of the season needs beside the book: drawings and words."""
    from markupsafe import Markup

    def drawn(plot: Any, part: Any, *, wide: bool, half: bool = False) -> Markup:
        # Drawings escape their own words.
        return Markup(plot(part, (HALF if half else DESK) if wide else PHONE))

    return {
        "weeks": lambda wide: drawn(plots.catch_over_time, found.weeks, wide=wide),
        "forest": lambda part, wide: drawn(plots.forest, part, wide=wide),
        "pans": lambda wide: drawn(plots.pan_drift, found.pans, wide=wide),
        "injury_bars": lambda wide: drawn(plots.injury_bars, found.injury_bars, wide=wide),
        "number": number,
        "sentence": sentence,
        "ends": ends,
        "share_of": share,
        "share_ends": share_ends,
        "injured": injured,
        "learned_band": learned_band,
        "whats": list(dict.fromkeys(row.what for row in found.learned)),
    }


def season_sheet(found: SeasonBook) -> bytes:
    """Write the season book as a PDF for the drawer.

    Parameters
    ----------
    found : SeasonBook
        The document.
    """
    whole = found.whole
    data = {
        "line": f"{found.line}, {found.place}",
        "when": f"{found.begins} to {found.ends}",
        "marks": _marks(found),
        "say": found.say,
        "whole": [] if whole is None else _whole(whole),
        "tables": [
            [table.title, [_cells(row) for row in table.rows]]
            for table in found.tables
            if table.by in ("rig_id", "set_type", "target", "month") and len(table.rows) > 1
        ],
        "criteria": [[one.rig, one.word, f"{one.asks}: {one.say}."] for one in found.criteria],
        "rules": [[one.rig, one.word, f"{one.asks}; {one.how}: {one.say}."] for one in found.rules],
        "pairs": [
            [f"{one.first} and {one.second}", one.what, f"{number(one.low)} to {number(one.high)}", sentence(one.say)]
            for one in found.pairs
        ],
        "thinning": [[one.target.replace("_", " "), sentence(one.say)] for one in found.thinning],
        "harvest": [_harvest(row) for row in found.harvest],
        "sums": [sentence(part.say) for part in (found.colonies, found.money, found.job) if part is not None],
        "drawings": [svg.standalone(one) for one in _drawings(found)],
        "notes": found.notes,
        "foot": f"{found.events} events, digest {found.digest[:16]}; {found.program}; made {found.made}",
    }  # fmt: skip
    return typeset("season.typ", data)


def _drawings(found: SeasonBook) -> Sequence[str]:
    made = [plots.catch_over_time(found.weeks, PAPER)] if found.weeks else []
    made += [plots.forest(part, PAPER) for part in found.shrunk[:2]]
    made += [plots.injury_bars(found.injury_bars, PAPER)] if found.injury_bars else []
    return [*made, plots.pan_drift(found.pans, PAPER)] if found.pans else made


def _marks(found: SeasonBook) -> list[str]:
    marks = ["invented place"] if found.invented else []
    return [*marks, "events made up by the program"] if found.simulated else marks


def _harvest(row: HarvestRow) -> list[str]:
    fates = ", ".join(f"{count} {fate}" for fate, count in row.fates.items())
    ages = f"{row.young}, {row.adult}"
    return [row.name, str(row.count), f"{row.female}, {row.male}", ages, f"{row.first} to {row.last}", fates]


def _whole(row: Row) -> list[list[str]]:
    limit = "–" if row.domestic_limit is None else number(row.domestic_limit)
    return [
        ["trap-nights, as they fished", f"{row.nights:.0f}, {row.corrected_nights:.0f}"],
        ["target animals in 100 trap-nights", f"{number(row.catch.estimate)} ({ends(row.catch)})"],
        ["others in 100 trap-nights", f"{number(row.nontarget.estimate)} ({ends(row.nontarget)})"],
        ["pets and stock in 100 trap-nights", f"{number(row.domestic.estimate)}, at most {limit}"],
        ["held of what left furbearer sign", f"{share(row.efficiency_strict)} ({share_ends(row.efficiency_strict)})"],
        ["targets of all that was held", f"{share(row.selectivity)} ({share_ends(row.selectivity)})"],
        ["moderate injury or less", f"{injured(row)}, {row.injuries.missing} missing"],
    ]


def _cells(row: Row) -> list[str]:
    limit = "–" if row.domestic_limit is None else number(row.domestic_limit)
    return [
        row.group, f"{row.nights:.0f}", f"{number(row.catch.estimate)} ({ends(row.catch)})",
        f"{row.efficiency_strict.hits} of {row.efficiency_strict.out_of:.0f}", limit,
        injured(row) + (f", {row.injuries.missing} missing" if row.injuries.missing else ""),
    ]  # fmt: skip


def harvest_csv(found: SeasonBook) -> str:
    """Harvest by species as a table for reports."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(
        ["species", "name", "held", "target", "female", "male", "young", "adult", "first", "last", "fates", "tags"]
    )
    for row in found.harvest:
        fates = "; ".join(f"{count} {fate}" for fate, count in row.fates.items())
        writer.writerow(
            [row.species, row.name, row.count, row.target, row.female, row.male, row.young, row.adult, row.first,
             row.last, fates, "; ".join(row.tags)]
        )  # fmt: skip
    return out.getvalue()


def animals_csv(found: SeasonBook) -> str:
    """Every held animal as a row; a cell that begins like a formula of a spreadsheet is kept as text."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    names = list(HeldAnimal.model_fields)
    writer.writerow(names)
    for one in found.animals:
        cells = [str(getattr(one, name)) for name in names]
        writer.writerow([f"'{cell}" if cell.startswith(("=", "+", "-", "@")) else cell for cell in cells])
    return out.getvalue()


def write_season(found: SeasonBook, folder: Path) -> list[Path]:
    """Write page, PDF, JSON and harvest table into a folder, all or none.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    made = {
        "season.json": (found.model_dump_json(indent=2, by_alias=True) + "\n").encode(),
        "season.html": season_page(found).encode(),
        "season.pdf": season_sheet(found),
        "harvest.csv": harvest_csv(found).encode(),
        "animals.csv": animals_csv(found).encode(),
    }
    return write_files({name: made[name] for name in NAMES}, folder)
