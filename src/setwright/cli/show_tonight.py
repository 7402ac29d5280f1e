"""Tonight on the terminal: what needs a look first, the evening's work, the line."""

from __future__ import annotations

from datetime import datetime

from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import console, grid
from setwright.desk import tonight_document as doc

# Word and shape, so that they stay apart in black and white.
MARKS = {
    "fires": "(==)", "doubtful": "(~~)", "will not fire": "(= =)", "cannot tell": "(··)",
    "works": "(==)", "too deep": "(↑↑)", "too shallow": "(↓↓)", "dry": "(__)",
    "submerges": "(==)", "does not": "(= =)",
}  # fmt: skip
STYLES = {"will not fire": "bold red", "does not": "bold red", "dry": "bold red", "doubtful": "yellow"}
MARK = len("(= =) will not fire")


def _mark(word: str | None, what: str = "") -> Text:
    if word is None:
        return Text("")
    said = "does not submerge" if word == "does not" else word
    if what and word == "cannot tell":
        said = f"{what}: cannot tell"
    return Text(f"{MARKS[word]} {said}", style=STYLES.get(word, ""))


def print_tonight(found: doc.Tonight) -> None:
    """Print the evening: records and their age, every set by need, work, cover, light, cautions."""
    out = console()
    invented = ", invented" if found.invented else ""
    now = datetime.fromisoformat(found.now)
    out.print(Text(f"Tonight on {found.line}, {found.place}{invented}: {now:%a %d %b %Y %H:%M}", style="bold"))
    out.print(found.say)
    out.print()
    for record in found.records:
        out.print(Padding(_record(record), (0, 0, 0, 2)))
    out.print(Text(f"\nThe sets, worst first ({found.check})", style="bold"))
    for one in found.sets:
        _set(one)
    _work(found.work)
    if found.covers:
        out.print(Text("\nCover to lay in, for one remake of each bed", style="bold"))
        for cover in found.covers:
            out.print(f"  {cover.name}: {cover.shown} for {cover.sets} set{'' if cover.sets == 1 else 's'}")
    if found.coming is not None:
        _coming(found.coming)
    if found.additive is not None:
        _additive(found.additive)
    out.print(Text("\nLight and cold", style="bold"))
    for text in (found.light.say, found.trapper.say):
        out.print(Padding(text, (0, 0, 0, 2)))
    out.print(Text("\nCautions", style="bold"))
    for caution in found.cautions:
        out.print(Padding(f"{caution.head}. {caution.text}", (0, 0, 0, 2)))
    out.print()
    for note in found.notes:
        out.print(note)


def _record(record: doc.EveningRecord) -> str:
    parts = [f"{record.what.capitalize()}: {record.label}"]
    if record.stand_in:
        parts.append("stand-in record, of another place and year")
    elif record.issued is not None:
        verb = "made" if record.what == "forecast" else "last read"
        age = "" if record.age_hours is None else f", {record.age_hours:.0f} h before"
        parts.append(f"{verb} {datetime.fromisoformat(record.issued):%a %d %b %H:%M}{age}")
    if record.stale:
        parts.append("STALE")
    return "; ".join(parts) + "." + "".join(f" {remark}" for remark in record.remarks)


def _set(one: doc.EveningSet) -> None:
    out = console()
    table = grid(3, 26, MARK, MARK + 1, None)
    table.add_row(
        str(one.number), one.name, _mark(one.fires), _mark(one.works, "depth") if one.works else Text(one.cover),
        _mark(one.submerges, "under") if one.submerges else Text(f"holds alive, law {one.law}"),
    )  # fmt: skip
    out.print(Padding(table, (0, 0, 0, 2)))
    lines = [one.say]
    if one.cause and one.fires != "fires":
        lines.append(f"Why: {one.cause}")
    if one.cause_under:
        lines.append(f"Under: {one.cause_under}")
    if one.ice is not None and one.fires != "fires":
        lines.append(f"Ice: {one.ice.guideline}")
    if one.mend:
        lines.append(f"Mend: {one.mend}")
    for line in lines:
        if line:
            out.print(Padding(line, (0, 0, 0, 7)))


def _work(work: doc.EveningWork) -> None:
    out = console()
    until = "" if work.until is None else f", dark at {datetime.fromisoformat(work.until):%H:%M}"
    left = "" if work.minutes_left is None else f" ({work.minutes_left:.0f} minutes left{until})"
    out.print(Text(f"\nThe least work that saves most{left}", style="bold"))
    table = grid(6, 3, 24, 8, None)
    for stop in work.stops:
        table.add_row(
            f"{datetime.fromisoformat(stop.done):%H:%M}", str(stop.number), stop.name, f"{stop.minutes:.0f} min",
            ("Must: " if stop.must else "") + stop.what,
        )  # fmt: skip
    if work.stops:
        out.print(Padding(table, (0, 0, 0, 2)))
        out.print(f"  {work.minutes:.0f} minutes, the way there and home included.")
    elif not work.left_out:
        out.print("  Nothing that is carried would change an answer.")
    for text in work.left_out:
        out.print(Padding(f"no time for {text}", (0, 0, 0, 2)))
    out.print(Padding(work.how, (0, 0, 0, 2)))


def _coming(coming: doc.Coming) -> None:
    out = console()
    out.print(
        Text("\nThe coming nights: hours of dark out of order, as told (2 K milder to 2 K colder)", style="bold")
    )
    nights = coming.covers[0].nights if coming.covers else []
    table = grid(16, *([14] * len(nights)))
    table.add_row("", *(f"{datetime.fromisoformat(night.date):%a %d %b}, {night.hours} h" for night in nights))
    for cover in coming.covers:
        table.add_row(cover.name, *(f"{night.told} ({night.mild} to {night.hard})" for night in cover.nights))
    out.print(Padding(table, (0, 0, 0, 2)))
    out.print(Padding(coming.say, (0, 0, 0, 2)))


def _additive(additive: doc.Additive) -> None:
    out = console()
    out.print(Text(f"\n{additive.name.capitalize()} in the cover", style="bold"))
    out.print(Padding(f"Before you use it: it {additive.harm}. Ask the rules on chemicals first.", (0, 0, 0, 2)))
    for one in additive.sets:
        out.print(Padding(f"{one.number} {one.name}: {one.say}", (0, 0, 0, 2)))
    if not additive.sets:
        out.print("  No set on land is out of order tonight: none is needed.")
