"""Words on the terminal: aligned, marked by word and shape, coloured only on a terminal."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from setwright.desk import document as doc

# Shapes that stay apart in black and white: whole, worn, parted, dotted.
MARKS = {
    "sound": "(==)", "thin": "(~~)", "fails": "(= =)", "cannot tell": "(··)",
    "meets": "-| ", "breaks": "-|>", "cannot tell ": "··|",
}  # fmt: skip
STYLES = {
    "sound": "",
    "meets": "",
    "thin": "yellow",
    "fails": "bold red",
    "breaks": "bold red",
    "cannot tell": "cyan",
}
WIDTH = 110
# The longest mark with its word.
MARK = len("(··) cannot tell")


def console() -> Console:
    """Standard output; plain text of a fixed width when piped."""
    found = Console(highlight=False, soft_wrap=False, markup=False)
    return found if found.is_terminal else Console(highlight=False, markup=False, width=WIDTH, no_color=True)


def marked(word: str, *, law: bool = False) -> Text:
    """A standing or an answer with its shape."""
    key = "cannot tell " if law and word == "cannot tell" else word
    return Text(f"{MARKS[key]} {word}", style=STYLES[word])


def grid(*widths: int | None, apart: int = 2) -> Table:
    """A table without lines: columns of given widths, None takes the rest."""
    table = Table.grid(padding=(0, apart))
    for width in widths:
        table.add_column(width=width, ratio=1 if width is None else None, overflow="fold")
    table.expand = True
    return table


def band(triple: doc.Triple, scale: float = 100.0) -> str:
    """A triple of shares as 'median (low to high)' in hundredths."""
    middle, low, high = triple
    if middle is None or low is None or high is None:
        return "cannot tell"
    digits = 0 if scale * high >= 10 else 1
    return f"{scale * middle:.{digits}f} ({scale * low:.{digits}f} to {scale * high:.{digits}f})"


def plan_words(plan: doc.Plan, files: Sequence[Path]) -> str:
    """The plan in a few lines, and where its files are."""
    out = Console(highlight=False, markup=False, width=WIDTH, no_color=True, record=True, file=io.StringIO())
    out.print(
        Text(f"{plan.line.name}, {plan.line.place}" + (" (invented)" if plan.line.invented else ""), style="bold")
    )
    out.print(plan.say)
    table = grid(2, 20, 18, 16, MARK, MARK - 1, MARK - 1, apart=1)
    table.add_row("no", "site", "rig", "held of 100", "chain", "law", "welfare")
    for found in plan.sets:
        held = next((row.held for row in found.outcome if row.species == found.site.target), (None, None, None))
        table.add_row(
            str(found.site.number), found.site.name, f"{found.rig.trap} {found.rig.label}", band(held),
            marked(found.standing).plain, marked(found.law_answer, law=True).plain,
            marked(found.welfare_answer, law=True).plain,
        )  # fmt: skip
    out.print(Padding(table, (1, 0)))
    if plan.load is not None:
        out.print("The load:")
        for said in plan.load.say:
            out.print(Padding(said, (0, 0, 0, 2)))
    if plan.outfit:
        out.print("The outfit:")
        for said in plan.outfit:
            out.print(Padding(said, (0, 0, 0, 2)))
    if plan.questions:
        out.print(f"{len(plan.questions)} questions to settle, listed in plan.html.")
    for record in plan.line.records:
        out.print(f"{record.what}: {record.label}; {record.say}.")
    out.print("Files:")
    for file in files:
        out.print(f"  {file}")
    return out.export_text().rstrip()


def print_set(found: doc.SetPlan) -> None:
    """Explain one set on the terminal."""
    out = console()
    site, rig = found.site, found.rig
    out.print(Text(f"Set {site.number}, {site.name}: {site.set_type} for {site.target_name.lower()}", style="bold"))
    out.print(found.say)
    facts = grid(18, None)
    for name, value in rig.facts:
        facts.add_row(name, value)
    facts.add_row("ground", site.ground or "not described")
    if site.near:
        facts.add_row("near by", "; ".join(site.near))
    out.print(Padding(facts, (1, 0, 0, 0)))
    _chain(out, found)
    if found.footing is not None:
        from setwright.cli.show_footing import print_footing

        print_footing(out, found.footing)
    _who(out, found)
    if found.rigs:
        _rigs(out, found)
    _answers(out, found)
    _held(out, found)
    _advice(out, found)
    if found.questions:
        out.print(Text("\nQuestions to settle", style="bold"))
        for text in found.questions:
            out.print(f"  ? {text}")
    out.print(Text("\nCautions", style="bold"))
    for caution in found.cautions:
        out.print(Padding(f"{caution.head}. {caution.text}", (0, 0, 0, 2)))
    if found.release:
        out.print(Text("\nIf a dog is held, step by step", style="bold"))
        for number, step in enumerate(found.release, start=1):
            out.print(Padding(f"{number}. {step}", (0, 0, 0, 2)))


def _chain(out: Console, found: doc.SetPlan) -> None:
    out.print(Text("\nThe chain", style="bold"))
    table = grid(6, MARK, 22, None)
    for link in found.links:
        figure = f"{link.shown} {link.shown_band}".strip()
        why = link.why + (f" Mend: {link.mend}" if link.mend else "")
        table.add_row(link.link, marked(link.standing), figure, f"{link.governs}: {why}")
        for check in link.checks:
            if check.name != link.governs:
                text = f"{check.name}: {check.why}" + (f" Mend: {check.mend}" if check.mend else "")
                table.add_row("", marked(check.standing), check.shown, text)
    out.print(Padding(table, (0, 0, 0, 2)))


def _who(out: Console, found: doc.SetPlan) -> None:
    out.print(Text("\nFirst to fire it, of 100 waits", style="bold"))
    table = grid(34, 22, None)
    for row in found.outcome:
        held = "" if row.species in ("misfire", "nothing") else f"held {band(row.held)}"
        table.add_row(row.name + (" (target)" if row.species == found.site.target else ""), band(row.first), held)
    out.print(Padding(table, (0, 0, 0, 2)))
    if found.gang is not None:
        _gang(out, found.gang)
    if found.trip_curve is not None:
        _pan(out, found.trip_curve)


def _gang(out: Console, gang: doc.GangPlan) -> None:
    out.print(Text(f"\nSeveral traps at this site: {', '.join(gang.traps)}", style="bold"))
    table = grid(34, None)
    for name, value in (
        ("a target held, of 100 waits", gang.any_held),
        ("the same with the first trap only", gang.alone),
        ("targets held in 100 waits", gang.held),
        ("two animals or more held, of 100", gang.several),
        ("firings by others in 100 waits", gang.others),
    ):
        table.add_row(name, band(value))
    out.print(Padding(table, (0, 0, 0, 2)))
    out.print(Padding(gang.note, (0, 0, 0, 2)))


def _pan(out: Console, curve: doc.TripCurve) -> None:
    """The trip force in words: what is advised, what it costs, what it does not do."""
    out.print(Text("\nThe pan", style="bold"))
    out.print(Padding(curve.say, (0, 0, 0, 2)))
    if curve.rule:
        out.print(Padding(curve.rule, (0, 0, 0, 2)))
    for words in curve.words:
        out.print(Padding(words, (0, 0, 0, 2)))
    for entry in curve.no_figure:
        out.print(Padding(f"{entry.name}: no figure from weight; {entry.reason}.", (0, 0, 0, 2)))


def _rigs(out: Console, found: doc.SetPlan) -> None:
    out.print(Text("\nYour traps for this site, best first (held of 100 waits)", style="bold"))
    table = grid(3, 34, 17, MARK, None)
    for row in found.rigs:
        name = f"{row.label}, {row.detail}: {row.traps[0]}" + (
            f" +{len(row.traps) - 1}" if len(row.traps) > 1 else ""
        )
        table.add_row(str(row.rank or "–"), name, band(row.held), marked(row.standing), row.why)
    out.print(Padding(table, (0, 0, 0, 2)))


def _answers(out: Console, found: doc.SetPlan) -> None:
    out.print(Text("\nLaw and welfare", style="bold"))
    table = grid(MARK, 20, None)
    for finding in found.law:
        if finding.answer != "meets":
            table.add_row(
                marked(finding.answer, law=True),
                finding.rule,
                f"{finding.reason} {finding.cure} [{finding.citation}]",
            )
    for gate in found.welfare:
        if gate.answer != "meets":
            asks = f"Asks: {gate.criterion} " if gate.criterion else ""
            table.add_row(marked(gate.answer, law=True), gate.gate, f"{asks}{gate.reason} {gate.cure}")
    met = sum(f.answer == "meets" for f in found.law) + sum(g.answer == "meets" for g in found.welfare)
    table.add_row(marked("meets", law=True), f"{met} others", "")
    out.print(Padding(table, (0, 0, 0, 2)))


def _held(out: Console, found: doc.SetPlan) -> None:
    """What bears on a held animal: listed, not added."""
    if not found.bearing and found.record is None and found.hours_held is None:
        return
    out.print(Text("\nWhat bears on a held animal (nothing is added up)", style="bold"))
    table = grid(14, 14, None)
    if found.hours_held is not None:
        middle, late = found.hours_held
        table.add_row("", "hours held", f"{middle:.0f} h before it is seen; 95 of 100 at most {late:.0f} h")
    if found.record is not None:
        table.add_row(found.record.word, "record", f"{found.record.say} [{found.record.source}]")
    for entry in found.bearing:
        mend = f" Mend: {entry.mend}" if entry.mend else ""
        table.add_row(entry.bearing, entry.about, f"{entry.why} {entry.size}.{mend} [{entry.source}]")
    out.print(Padding(table, (0, 0, 0, 2)))


def _advice(out: Console, found: doc.SetPlan) -> None:
    if not found.advice:
        return
    out.print(Text("\nWhat would mend it (held of 100 waits, same draws)", style="bold"))
    table = grid(48, 34, None)
    for row in found.advice:
        table.add_row(
            f"{row.change} ({row.effort})",
            f"{band(row.before)} -> {band(row.after)}",
            f"{row.standing_before} -> {row.standing_after}; mends {', '.join(row.mends) or 'the catch'}",
        )
    out.print(Padding(table, (0, 0, 0, 2)))
