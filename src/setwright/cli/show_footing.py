"""Anchor, tackle and bed of one set on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.basis.units import pounds, pounds_force
from setwright.cli.show import grid
from setwright.desk.document_footing import Footing, FrozenBed


def print_footing(out: Console, found: Footing) -> None:
    """What holds, what gives way first, what would mend it, and how the trap lies."""
    out.print(Text("\nAnchor and bed", style="bold"))
    out.print(Padding(found.say, (0, 0, 0, 2)))
    facts = grid(24, None)
    for name, value in found.facts:
        facts.add_row(name, value)
    out.print(Padding(facts, (0, 0, 0, 2)))
    _parts(out, found)
    if found.wants:
        out.print(Padding(found.wants, (0, 0, 0, 2)))
    if found.aim:
        out.print(Padding(found.aim, (0, 0, 0, 2)))
    if found.mends:
        out.print(Padding("What would keep it on the anchor, by what is then lost:", (0, 0, 0, 2)))
        table = grid(8, None, 9, 10)
        for one in found.mends:
            table.add_row(f"{one.loss:.2f}", one.words, f"{one.minutes:.0f} min", pounds(max(one.mass, 0.0)))
        out.print(Padding(table, (0, 0, 0, 4)))
    out.print(Padding("Lost: " + LOST, (0, 0, 0, 2)))
    if found.frozen is not None:
        _frozen(out, found.frozen)


LOST = "in a full fight, at full power at every lunge. It ranks; it does not forecast."


def _parts(out: Console, found: Footing) -> None:
    if not found.parts:
        return
    out.print(Padding("Parts under one load: slow strength, and how often it is the one that goes:", (0, 0, 0, 2)))
    table = grid(34, 11, 11, None)
    for part in found.parts:
        strength = "not rated" if part.strength is None else pounds_force(part.strength)
        goes = "" if part.share is None else f"{100 * part.share:.0f} of 100"
        table.add_row(part.name, strength, goes, part.note or part.reading)
    out.print(Padding(table, (0, 0, 0, 4)))


def _frozen(out: Console, found: FrozenBed) -> None:
    out.print(Padding(f"Ice: {found.say}", (0, 0, 0, 2)))
    if not found.cures:
        return
    table = grid(34, None)
    for term in found.terms:
        table.add_row(("> " if term.governs else "  ") + term.name, f"{term.load:.1f} times what the trap has")
    out.print(Padding(table, (0, 0, 0, 4)))
    for cure in found.cures:
        out.print(Padding(("offered: " if cure.offered else "not offered: ") + cure.why, (0, 0, 0, 4)))
