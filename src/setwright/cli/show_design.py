"""The designer's answer on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import MARK, band, console, grid, marked
from setwright.desk import design_document as doc

# More than this many designs are not read on a terminal; all stand in the JSON.
SHOWN, ASIDE = 12, 6


def print_design(found: doc.Design) -> None:
    """Designs that cannot be bettered, what was cut, the nearest when nothing fits, and what to measure first."""
    out = console()
    out.print(Text(f"Design for set {found.number}, {found.name}: {found.target}", style="bold"))
    out.print(found.say)
    if found.members:
        _rigs(out, "Designs that cannot be bettered, most catch first (in 100 nights)", found.members, SHOWN)
    if found.unsettled:
        _rigs(out, "Kept apart: they break nothing, but something cannot be told", found.unsettled, ASIDE)
    if found.nearest is not None:
        _nearest(out, found.nearest)
    _mended(out, found)
    _cuts(out, found)
    _measures(out, found)
    out.print(Text("\nCautions", style="bold"))
    for caution in found.cautions:
        out.print(Padding(f"{caution.head}. {caution.text}", (0, 0, 0, 2)))
    out.print()
    for note in found.notes:
        out.print(note)


def _rigs(out: Console, head: str, rigs: Sequence[doc.DesignedRig], most: int) -> None:
    out.print(Text(f"\n{head}", style="bold"))
    table = grid(2, 17, 17, 7, MARK, None, apart=2)
    table.add_row("", "held", "others fire it", "work", "chain", "")
    out.print(Padding(table, (0, 0, 0, 2)))
    for number, rig in enumerate(rigs[:most], start=1):
        names = rig.traps[0] + (f" +{len(rig.traps) - 1}" if len(rig.traps) > 1 else "")
        table = grid(2, 17, 17, 7, MARK, None, apart=2)
        table.add_row(
            str(number), band(rig.catch, 1.0), band(rig.others, 1.0), f"{rig.minutes:.0f} min", marked(rig.standing),
            f"{names}, pan {rig.trip_force}, {rig.set_type}",
        )  # fmt: skip
        out.print(Padding(table, (0, 0, 0, 2)))
        lines = [f"{rig.why} {_risky(rig)}".strip(), f"{rig.label}, {rig.jaws}, {rig.springs}. {_line(rig.do)}"]
        lines += [f"Open, {one.name}: {one.say}" for one in rig.open]
        for line in lines:
            out.print(Padding(line, (0, 0, 0, 6)))
    if len(rigs) > most:
        out.print(f"  {len(rigs) - most} more stand in the JSON.")


def _risky(rig: doc.DesignedRig) -> str:
    """Pets and guarded animals by themselves."""
    parts = [("pets", rig.pets), ("protected or out of season", rig.guarded)]
    told = [f"{name} {count:.1f}" for name, count in parts if count >= 0.05]
    return f"Of the others: {', '.join(told)}." if told else ""


def _line(parts: Sequence[str]) -> str:
    return "; ".join([part.rstrip(".") for part in parts][:1] + [_lowered(part) for part in parts[1:]]) + (
        "." if parts else ""
    )


def _lowered(part: str) -> str:
    return part[0].lower() + part[1:].rstrip(".")


def _nearest(out: Console, nearest: doc.DesignedRig) -> None:
    out.print(Text("\nThe nearest miss", style="bold"))
    out.print(
        f"  {nearest.traps[0] if nearest.traps else ''} {nearest.label}, {nearest.jaws}, pan {nearest.trip_force}; "
        f"{nearest.set_type}; would hold {band(nearest.catch, 1.0)} in 100 nights"
    )
    for one in nearest.lacks:
        out.print(Padding(f"breaks {one.name}: {one.say}", (0, 0, 0, 4)))
    for one in nearest.open:
        out.print(Padding(f"open, {one.name}: {one.say}", (0, 0, 0, 4)))


def _mended(out: Console, found: doc.Design) -> None:
    for mended in found.mended:
        words = " and ".join(_lowered(part) for part in mended.change)
        verdict = "Then it stands" if mended.mends else "The closest that was found"
        figures = f"held {band(mended.rig.catch, 1.0)}, others {band(mended.rig.others, 1.0)} in 100 nights"
        out.print(Padding(f"{verdict}, computed anew: {words}; {figures}.", (0, 0, 0, 2)))
        for one in (*mended.rig.lacks, *mended.rig.open):
            out.print(Padding(f"{one.name}: {one.say}", (0, 0, 0, 4)))


def _cuts(out: Console, found: doc.Design) -> None:
    out.print(Text(f"\nOf {found.possible:,} combinations, cut at the first gate that bars them", style="bold"))
    table = grid(8, 30, None)
    for cut in found.cuts:
        table.add_row(cut.kind, cut.name, f"{cut.count:,}")
    out.print(Padding(table, (0, 0, 0, 2)))
    words = (
        f"Figures combined for {found.combined:,}, {found.evaluated} evaluated in full; tackle that other tackle "
        "matched in every way was left out before."
    )
    out.print(Padding(words, (0, 0, 0, 2)))


def _measures(out: Console, found: doc.Design) -> None:
    if not found.measures:
        return
    out.print(Text(f"\nWhat is not known, for {found.measured_rig}", style="bold"))
    if found.measure_first:
        out.print(Padding(found.measure_first, (0, 0, 0, 2)))
    for moved in found.measures:
        out.print(f"  {moved.say[0].upper()}{moved.say[1:]}:")
        table = grid(20, 36, None)
        for measure in moved.measures:
            table.add_row(f"{band(measure.share)} %", measure.what, measure.do)
        table.add_row(f"{100 * moved.rest:.0f} %", "all the rest, and what inputs do together", "")
        out.print(Padding(table, (0, 0, 0, 4)))
