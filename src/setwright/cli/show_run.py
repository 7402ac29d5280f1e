"""The check run on the terminal."""

from __future__ import annotations

from datetime import datetime

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import console, grid
from setwright.desk import run_document as doc
from setwright.desk.wording import clock, hours

# More days than this are shown one line a day, the first one whole.
WHOLE = 2


def print_run(found: doc.RunDocument) -> None:
    """The days, stop by stop, what the line can bear, and the checker's report."""
    out = console()
    out.print(Text(f"Check run, {found.line}" + (" (invented)" if found.invented else ""), style="bold"))
    out.print(f"{found.say}")
    out.print(f"Law: {found.law}")
    whole = found.days if len(found.days) <= WHOLE else found.days[:1]
    for day in whole:
        _day(out, day)
    if len(found.days) > len(whole):
        out.print(Text("\nThe days", style="bold"))
        table = grid(10, None)
        for day in found.days:
            table.add_row(day.date, day.say)
        out.print(Padding(table, (0, 0, 0, 2)))
    _bears(out, found)
    if found.checked is not None and found.checked.faults:
        out.print(Text("\nWhat the independent checker found", style="bold"))
        table = grid(10, 14, None)
        for fault in found.checked.faults[:40]:
            table.add_row(fault.day, fault.site, f"{fault.text}, by {hours(fault.by / 3600.0)}")
        out.print(Padding(table, (0, 0, 0, 2)))
    out.print()
    for text in [*found.warnings, *found.notes]:
        out.print(text)
    out.print(Text("\nCautions", style="bold"))
    for caution in found.cautions:
        out.print(Padding(f"{caution.head}. {caution.text}", (0, 0, 0, 2)))


def _day(out: Console, day: doc.RunDayDoc) -> None:
    out.print(Text(f"\n{day.date}: {day.say}", style="bold"))
    if not day.stops:
        return
    table = grid(3, 28, 6, 6, 16, 10, 7, None)
    table.add_row("", "set", "there", "gone", "last moment", "left", "latest", "")
    for stop in day.stops:
        table.add_row(
            str(stop.order), f"{stop.number} {stop.name}", _time(stop.begin), _time(stop.leave),
            "none" if stop.limit is None else clock(datetime.fromisoformat(stop.limit)),
            "" if stop.left is None else hours(stop.left / 3600.0),
            "" if stop.latest_start is None else _start(stop.latest_start, day.date), _why(stop),
        )  # fmt: skip
    out.print(Padding(table, (0, 0, 0, 2)))
    out.print(
        Padding("latest: leaving later than this breaks the law at that set; +1 is the day after", (0, 0, 0, 2))
    )


def _why(stop: doc.RunStopDoc) -> str:
    words = stop.why
    if any(step.assumed for step in stop.way):
        words += "; way assumed"
    if stop.late_chance > 0.01:
        words += f"; too late on {100 * stop.late_chance:.0f} of 100 days"
    return words


def _time(text: str) -> str:
    return f"{datetime.fromisoformat(text):%H:%M}"


def _start(text: str, day: str) -> str:
    moment = datetime.fromisoformat(text)
    ahead = (moment.date() - datetime.fromisoformat(day).date()).days
    return f"{moment:%H:%M}" + (f" {ahead:+d}" if ahead else "")


def _bears(out: Console, found: doc.RunDocument) -> None:
    out.print(Text("\nWhat the line can bear", style="bold"))
    words = [found.bears.say]
    if found.turned_say:
        words.append(found.turned_say)
    if found.conflict:
        words.append(f"Smallest cause: these cannot be kept together: {', '.join(found.conflict)}.")
    if found.bears.set_out:
        words.append(f"Set out in stages, standing after each day: {', '.join(map(str, found.bears.set_out))}.")
    for text in words:
        out.print(Padding(text, (0, 0, 0, 2)))
