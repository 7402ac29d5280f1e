"""One trap on the terminal: its sheet, what changes would do, its slow motion, and all patterns side by side."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import console, grid
from setwright.desk.bench_document import BenchSheet, Figure, Variant
from setwright.desk.bench_rows import NEAR_LOCK

# Figures that a what-if shows first; the others stand in the JSON.
FIRST = (
    "closing_time_ms", "tip_speed_m_s", "impact_momentum_N_s", "clamp_closing_N", "clamp_opening_N", "locked",
    "face_pressure_kPa", "gives_way_N", "lever_force_N", "dog_force_N", "set_torque_N_m", "pan_trip_force_N",
)  # fmt: skip


def print_trap(found: BenchSheet) -> None:
    """Explain one trap."""
    out = console()
    out.print(Text(found.title, style="bold"))
    out.print(found.say)
    for variant in found.what_if:
        _variant(out, variant)
    for part in found.parts:
        out.print(Text(f"\n{part.head}", style="bold"))
        table = grid(38, 30, None)
        for row in part.rows:
            table.add_row(row.what, row.shown, row.note)
        out.print(Padding(table, (0, 0, 0, 2)))
    _calibration(out, found)
    out.print(Text("\nRemarks", style="bold"))
    for text in found.remarks:
        out.print(Padding(text, (0, 0, 0, 2)))
    out.print(Text("\nCautions", style="bold"))
    for text in found.cautions:
        out.print(Padding(text, (0, 0, 0, 2)))


def _variant(out: Console, variant: Variant) -> None:
    out.print(Text(f"\nWith {variant.words} (same draws on both sides)", style="bold"))
    table = grid(38, 24, 24, None)
    table.add_row("", "as it is", "changed", "difference")
    for key in FIRST:
        row = next(row for row in variant.differences if row.key == key)
        change = row.change if row.change.startswith(("−", "cannot", "locked", "–")) else f"+{row.change}"
        table.add_row(row.label, row.before, row.after, change if row.before != row.after else "none")
    out.print(Padding(table, (0, 0, 0, 2)))
    for key, state in variant.states.items():
        if state != "closes":
            out.print(Padding(f"{key}: {state}", (0, 0, 0, 2)))


def _calibration(out: Console, found: BenchSheet) -> None:
    told = found.calibration
    head = f"\nCalibration: {told.readings} readings" if told.readings else "\nCalibration: no readings yet"
    out.print(Text(head, style="bold"))
    table = grid(38, 30, None)
    for row in sorted(told.learned, key=lambda one: -one.removed):
        if row.removed >= 0.1:
            table.add_row(row.name, row.after, f"before {row.before}; {row.removed:.0%} of the doubt removed")
    if told.readings:
        out.print(Padding(table, (0, 0, 0, 2)))
    alone = [name.replace("_", " ") for name, how in told.standing.items() if how == "absolute"]
    others = [name.replace("_", " ") for name, how in told.standing.items() if how != "absolute"]
    if alone:
        out.print(Padding(f"Stands by itself: {', '.join(alone)}.", (0, 0, 0, 2)))
    if others:
        out.print(Padding(f"Comparative, for your own traps side by side: {', '.join(others)}.", (0, 0, 0, 2)))
    for text in told.disagree:
        out.print(Padding(f"? {text}", (0, 0, 0, 2)))
    for number, one in enumerate(told.next):
        lead = "Read next" if number == 0 else "then"
        most = max(one.removes, key=lambda name: one.removes[name])
        share = f"removes {one.removes[most]:.0%} of the doubt about {most.replace('_', ' ')}"
        out.print(Padding(f"{lead}: {one.reading} ({one.how}); {share}.", (0, 0, 0, 2)))
        if one.caution:
            out.print(Padding(f"Care: {one.caution}.", (0, 0, 0, 4)))


def print_frames(found: BenchSheet) -> None:
    """Slow motion of the most likely trap."""
    out = console()
    out.print(Text(found.title, style="bold"))
    motion = found.frames
    if motion is None:
        out.print(f"Does not close as described: {found.states['closing']}.")
        return
    out.print(
        "The most likely trap, empty, frame by frame; the last are the meeting of the jaws and the loop's arrival."
    )
    table = grid(10, 14, 14, 14, 20, None)
    table.add_row("ms", "dogged jaw", "loose jaw", "loop, mm", "force of a loop, N", "")
    for at in range(len(motion.times)):
        force = f"{motion.force_dogged[at]:.0f} and {motion.force_loose[at]:.0f}"
        table.add_row(
            f"{1000 * motion.times[at]:.2f}",
            f"{_degrees(motion.dogged_jaw[at])}",
            f"{_degrees(motion.loose_jaw[at])}",
            f"{1000 * motion.loop_height[at]:.1f}".replace("-", "−"),
            "none" if motion.apart[at] else force,
            "jaws fly ahead of the loop" if motion.apart[at] else "",
        )
    out.print(Padding(table, (0, 0, 0, 2)))
    for text in found.cautions:
        out.print(text)


def _degrees(angle: float) -> str:
    return f"{angle * 57.29577951308232:.1f}°"


def print_patterns(sheets: Sequence[BenchSheet]) -> None:
    """All patterns side by side, median and 90 % band."""
    out = console()
    out.print(Text("Patterns of the table, without any reading", style="bold"))
    out.print("Median and 90 % band; empty, in air, no cover; grip on a limb of 20 mm. Comparative until calibrated.")
    table = grid(27, 16, 15, 16, 13, None, apart=1)
    table.add_row("pattern", "closes, ms", "bar, m/s", "momentum, N s", "grip, N", "lever, N")
    for sheet in sheets:
        told = sheet.figures
        low, high = told["clamp_closing_N"], told["clamp_opening_N"]
        top = high.median
        upper = _number(top, 0) if top is not None and top < NEAR_LOCK else "near its lock"
        grip = f"{_number(low.median, 0)} to {upper}"
        table.add_row(
            sheet.title,
            _band(told["closing_time_ms"], 1),
            _band(told["tip_speed_m_s"], 1),
            _band(told["impact_momentum_N_s"], 2),
            grip,
            _band(told["lever_force_N"], 0),
        )
    out.print(Padding(table, (1, 0, 0, 2)))


def _band(figure: Figure, digits: int) -> str:
    if figure.median is None:
        return "cannot tell"
    return f"{_number(figure.median, digits)} ({_number(figure.low, digits)}–{_number(figure.high, digits)})"


def _number(value: float | None, digits: int) -> str:
    return "–" if value is None else f"{value:.{digits}f}"
