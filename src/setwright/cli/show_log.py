"""The log on the terminal."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from setwright.desk.log import Kept
    from setwright.desk.log_due import Due
    from setwright.desk.log_files import Taken
    from setwright.desk.log_show import Line
    from setwright.desk.log_sprung import Likely
    from setwright.line.brief import Brief
    from setwright.log.fold import LogState

SHORT, ROWS = 8, 40


def kept_words(kept: Kept) -> str:
    """One line an event that is safe, with the beginning of its id."""
    from setwright.desk.log_show import words_of
    from setwright.desk.log_words import MEANING

    lines = []
    for event in kept.events:
        what = MEANING.get(event.kind, event.kind.replace("_", " "))
        words = words_of(event)
        who = f"{event.set_id}: " if event.set_id else ""
        lines.append(f"{event.id[:SHORT]}  {who}{what}" + (f" ({words})" if words else ""))
    count = len(kept.events)
    return "\n".join([*lines, f"Saved: {count} {'entry' if count == 1 else 'entries'} in {kept.where}"])


def key_words(brief: Brief) -> str:
    """Sites with their numbers, and the keys."""
    from setwright.desk.log_show import kinds_table

    sites = "  ".join(f"{site.number} {site.key}" for site in brief.sites)
    keys = "\n".join(f"  {key}  {words}" for key, words, _ in kinds_table())
    return (
        f"{brief.name}: {sites}\n{keys}\n"
        "Number and key, such as 3a; *a for all others; details after it: 3t injuries=none alive=yes. "
        "An empty line ends."
    )


def likely_words(found: Likely) -> str:
    """Likely causes with their weights, and the one change."""
    lines = [f"{100 * weight:3.0f} of 100  {label}" for label, weight in found.causes]
    return "\n".join(
        [f"Fired at {found.site}, most likely by:", *lines, f"Change one thing: {found.change}.",
         "Spring it or tie the levers before a hand goes near."]
    )  # fmt: skip


def taken_words(taken: Taken) -> str:
    """What became of a file."""
    receipt = taken.receipt
    lines = [f"{len(receipt.added)} events taken in, {len(receipt.known)} were there already ({taken.where})"]
    if receipt.conflicts:
        lines.append(f"{len(receipt.conflicts)} stand there with other words under their ids; the first words stay:")
        lines += [f"  {name}" for name in receipt.conflicts]
    if taken.refused:
        lines.append(f"{len(taken.refused)} rows refused:")
        lines += [f"  line {row.line}: {row.error}" for row in taken.refused]
    return "\n".join(lines)


def print_state(state: LogState) -> None:
    """Sets, traps and open duties as they stand."""
    from rich.padding import Padding
    from rich.text import Text

    from setwright.cli.show import console, grid

    out = console()
    out.print(Text("Sets", style="bold"))
    table = grid(12, 14, 10, 18, 18, None)
    table.add_row("set", "stands", "trap", "armed since", "seen in person", "")
    from setwright.log.fold import by_name

    for _, one in sorted(state.sets.items(), key=lambda pair: by_name(pair[0])):
        said = [
            f"anchor moved {one.anchor_moved:%d %b}" if one.anchor_moved else "",
            f"proof pull {one.proof_pulled:%d %b}" if one.proof_pulled else "",
        ]
        table.add_row(
            one.set_id, one.phase.value, one.trap_id or "–", _clock(one.armed_at), _clock(one.seen_in_person),
            "; ".join(part for part in said if part),
        )  # fmt: skip
    out.print(Padding(table, (0, 0, 0, 2)))
    if state.traps:
        from setwright.basis.units import pounds_force

        out.print(Text("\nTraps", style="bold"))
        table = grid(12, 14, 14, 18, None)
        table.add_row("trap", "lies at", "pan trips at", "read", "fired since")
        for _, trap in sorted(state.traps.items(), key=lambda pair: by_name(pair[0])):
            place = "lost" if trap.lost else trap.set_id or "home"
            force = "not read" if trap.trip_force is None else pounds_force(trap.trip_force)
            table.add_row(trap.trap_id, place, force, _clock(trap.read_at), str(trap.fired_since))
        out.print(Padding(table, (0, 0, 0, 2)))
    if state.open_duties:
        out.print(Text("\nOpen duties", style="bold"))
        for duty in state.open_duties:
            by = f" by {duty.due:%a %d %b %H:%M}" if duty.due else ""
            out.print(f"  {duty.duty[:SHORT]}  {duty.act}{by} ({duty.about or 'line'})")
    for refused in state.refused:
        out.print(f"  {refused.event.id[:SHORT]}  without effect: {refused.reason}")


def _clock(moment: object) -> str:
    return "–" if moment is None else f"{moment:%a %d %b %H:%M}"


def print_json(state: LogState) -> None:
    """State as JSON."""
    from setwright.desk.log_show import as_records

    typer.echo(json.dumps(as_records(state), indent=2, ensure_ascii=False))


def print_lines_json(lines: Sequence[Line]) -> None:
    """Entries as JSON."""
    typer.echo(json.dumps([{name: getattr(one, name) for name in one.__slots__} for one in lines], indent=2))


def print_story(lines: Sequence[Line]) -> None:
    """Entries, oldest first."""
    from setwright.cli.show import console, grid

    out = console()
    if not lines:
        out.print("Nothing is written down.")
        return
    table = grid(SHORT, 16, 10, 22, None)
    for one in lines:
        said = one.said if one.standing == "stands" else f"{one.said} [{one.standing}]".strip()
        table.add_row(one.id, one.time, one.set_id, one.what, said)
    out.print(table)


def print_due(rows: Sequence[Due], untold: Sequence[str], *, as_json: bool) -> None:
    """What is due, the most pressing first."""
    if as_json:
        found = [
            {"what": one.what, "about": one.about, "by": None if one.by is None else one.by.isoformat(),
             "late": one.late, "why": one.why, "name": one.name, "entry": one.entry}
            for one in rows
        ]  # fmt: skip
        typer.echo(json.dumps({"due": found, "cannot_tell": list(untold)}, indent=2, ensure_ascii=False))
        return
    from rich.text import Text

    from setwright.cli.show import console, grid

    out = console()
    if not rows:
        out.print("Nothing is due.")
    else:
        table = grid(4, 16, 12, 34, None)
        for one in rows:
            by = "soon" if one.by is None else f"{one.by:%a %d %b %H:%M}"
            name = f" [done duty={one.name}]" if one.name else ""
            if one.entry:
                name = f": log correct BOOK {one.entry} injuries=none, or what was seen"
            table.add_row(Text("LATE" if one.late else "", style="bold"), by, one.about, one.what, one.why + name)
        out.print(table)
    for words in untold:
        out.print(f"Cannot tell: {words}")
