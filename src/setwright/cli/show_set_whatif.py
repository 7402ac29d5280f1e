"""A changed set on the terminal, beside what it was."""

from __future__ import annotations

from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import MARK, band, console, grid, marked
from setwright.desk import document as doc


def print_set_whatif(found: doc.SetWhatIf) -> None:
    """Both sets link by link, who fires it, the gates, and what the change brings."""
    out = console()
    site = found.after.site
    out.print(Text(f"Set {site.number}, {site.name}, if {'; '.join(found.changes)}", style="bold"))
    out.print(found.say)
    out.print(Text("\nThe chain, now and then", style="bold"))
    for before, after in zip(found.before.links, found.after.links, strict=True):
        table = grid(8, MARK, 24, MARK, 24, apart=2)
        table.add_row(
            before.link, marked(before.standing), f"{before.shown} {before.shown_band}",
            marked(after.standing), f"{after.shown} {after.shown_band}",
        )  # fmt: skip
        out.print(Padding(table, (0, 0, 0, 2)))
        if (before.standing, before.shown, before.shown_band) != (after.standing, after.shown, after.shown_band):
            out.print(Padding(after.why, (0, 0, 0, 12)))
    out.print(Text("\nFirst to fire it, of 100 waits", style="bold"))
    table = grid(34, 22, 22, None)
    was = {row.species: row for row in found.before.outcome}
    for row in found.after.outcome:
        table.add_row(row.name, band(was[row.species].first), band(row.first), "")
    out.print(Padding(table, (0, 0, 0, 2)))
    out.print(
        Padding(
            f"Held of 100 waits, draw by draw: {_signed(found.held)}; others: {_signed(found.others)}.", (1, 0, 0, 0)
        )
    )
    new = [text for text in found.after.questions if text not in found.before.questions]
    for text in new:
        out.print(f"  ? {text}")


def _signed(change: doc.Triple) -> str:
    if change[0] is None:
        return "cannot tell"
    middle, low, high = (f"{value:+.1f}".replace("-", "−") for value in change if value is not None)
    return f"{middle} ({low} to {high})"
