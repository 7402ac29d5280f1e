"""The season book on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.basis.units import pull
from setwright.cli.show import console, grid
from setwright.desk import season_document as doc

# Tables of sets and traps get long: more stand in the page and in the JSON.
SHOWN = 12


def print_season(found: doc.SeasonBook) -> None:
    """Everything of the season book that fits a terminal."""
    out = console()
    title = f"{found.line}, {found.place}: season {found.begins} to {found.ends}"
    marks = [word for word, given in (("invented", found.invented), ("made up", found.simulated)) if given]
    out.print(Text(title + (f" ({', '.join(marks)})" if marks else ""), style="bold"))
    for words in found.say:
        out.print(words)
    if found.whole is not None:
        _whole(out, found.whole)
    for table in found.tables:
        _table(out, table)
    _criteria(out, found.criteria)
    _rules(out, found.rules)
    _shrunk(out, found.shrunk)
    _pairs(out, found.pairs)
    _thinning(out, found.thinning)
    _harvest(out, found.harvest)
    _learned(out, found.learned)
    _sums(out, found)
    out.print()
    for note in found.notes:
        out.print(note)
    words = f", digest {found.digest[:16]}" if found.digest else ""
    out.print(f"{found.events} events{words}.")


def rate(figure: doc.Figure) -> str:
    """A rate or a share with its interval."""
    if figure.estimate is None or figure.low is None or figure.high is None:
        return "–"
    return f"{_n(figure.estimate)} ({_n(figure.low)} to {_n(figure.high)})"


def share(figure: doc.Figure) -> str:
    """A share in hundredths with what it is of."""
    if figure.estimate is None or figure.low is None or figure.high is None:
        return "–"
    ends = f"{100 * figure.low:.0f} to {100 * figure.high:.0f}"
    return f"{figure.hits} of {figure.out_of:.0f}, {100 * figure.estimate:.0f} % ({ends})"


def _n(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 99.5 else f"{value:.1f}" if abs(value) >= 0.95 else f"{value:.2g}"


def injuries(part: doc.Injuries) -> str:
    """Animals with moderate trauma or less, and those of which nothing was written."""
    total = part.good + part.bad + part.missing
    words = f"{part.good} of {part.good + part.bad}" if total else "–"
    return words + (f", {part.missing} missing" if part.missing else "")


def _head(out: Console, words: str) -> None:
    out.print(Text(f"\n{words}", style="bold"))


def _whole(out: Console, row: doc.Row) -> None:
    _head(out, "The season")
    table = grid(34, None)
    hazard = "–" if row.catch_by_hazard is None else f"{row.catch_by_hazard:.1f}"
    sets = (
        "fewer than five sets"
        if row.catch_by_sets is None
        else f"{row.catch_by_sets[0]:.1f} to {row.catch_by_sets[1]:.1f}"
    )
    rows = [
        ("target animals in 100 trap-nights", rate(row.catch)),
        ("the same by the hazard of firing", hazard),
        ("by drawing whole sets (95 %)", sets),
        ("scatter between sets (1: chance)", "–" if row.scatter is None else f"{row.scatter:.1f}"),
        ("others in 100 trap-nights", rate(row.nontarget)),
        ("pets and stock in 100 trap-nights", f"{rate(row.domestic)}, at most {_limit(row)} (95 %)"),
        ("held of what left furbearer sign", share(row.efficiency_strict)),
        ("held of all unexplained springs", share(row.efficiency_wide)),
        ("targets of all that was held", share(row.selectivity)),
        ("moderate injury or less", injuries(row.injuries)),
    ]
    for name, words in rows:
        table.add_row(name, words)
    out.print(Padding(table, (0, 0, 0, 2)))


def _limit(row: doc.Row) -> str:
    return "–" if row.domestic_limit is None else _n(row.domestic_limit)


def _table(out: Console, found: doc.GroupTable) -> None:
    if len(found.rows) < 2:
        return
    _head(out, f"{found.title} (catch and pets per 100 trap-nights)")
    table = grid(22, 7, 20, 18, 13, None)
    table.add_row("", "nights", "targets", "held of firings", "pets, at most", "injury moderate or less")
    for row in found.rows[:SHOWN]:
        table.add_row(
            row.group, f"{row.nights:.0f}", rate(row.catch), _short(row.efficiency_strict), _limit(row),
            injuries(row.injuries),
        )  # fmt: skip
    out.print(Padding(table, (0, 0, 0, 2)))
    if len(found.rows) > SHOWN:
        out.print(f"  {len(found.rows) - SHOWN} more stand in the page and in the JSON.")


def _short(figure: doc.Figure) -> str:
    return "–" if figure.estimate is None else f"{figure.hits} of {figure.out_of:.0f}"


def _criteria(out: Console, found: Sequence[doc.Criterion]) -> None:
    if not found:
        return
    _head(out, "Held against criteria")
    for rig in dict.fromkeys(one.rig for one in found):
        out.print(f"  {rig}")
        table = grid(27, None)
        for one in found:
            if one.rig == rig:
                table.add_row(one.word, f"{one.asks}: {one.say}.")
        out.print(Padding(table, (0, 0, 0, 4)))
    for source in dict.fromkeys(one.source for one in found):
        out.print(Padding(f"[{source}]", (0, 0, 0, 2)))


def _rules(out: Console, found: Sequence[doc.Rule]) -> None:
    if not found:
        return
    _head(out, "Rules that were declared before looking")
    for one in found:
        halt = " TAKE THIS RIG OFF." if one.halt else ""
        out.print(Padding(f"{one.rig}, since {one.declared}: {one.asks}; {one.how}.", (0, 0, 0, 2)))
        out.print(Padding(f"{one.word}: {one.say}.{'' if one.ended else ' It goes on.'}{halt}", (0, 0, 0, 4)))


def _shrunk(out: Console, found: Sequence[doc.Shrunk]) -> None:
    for one in found:
        _head(out, f"Rigs side by side: {one.what}")
        table = grid(22, 12, None)
        table.add_row("", "as counted", "borrowing from all (90 %)")
        for row in one.rows:
            raw = "–" if row.raw is None else _n(row.raw)
            table.add_row(row.rig, raw, f"{_n(row.mean)} ({_n(row.low)} to {_n(row.high)})")
        out.print(Padding(table, (0, 0, 0, 2)))
        out.print(Padding(f"{one.say}.", (0, 0, 0, 2)))


def _pairs(out: Console, found: Sequence[doc.Pair]) -> None:
    if not found:
        return
    _head(out, "Two rigs compared (second less first)")
    for one in found:
        sets = "" if one.by_sets is None else f"; whole sets {one.by_sets[0]:.1f} to {one.by_sets[1]:.1f}"
        out.print(
            Padding(f"{one.first} ({one.first_said}) and {one.second} ({one.second_said}): {one.what}.", (0, 0, 0, 2))
        )
        words = (
            f"Difference {one.low:.1f} to {one.high:.1f}{sets}; chance that the second is higher "
            f"{one.second_above:.2f}; exact p {one.exact:.3f}, unconditional {one.unconditional:.3f}. "
            f"{one.say[0].upper()}{one.say[1:]}."
        )
        out.print(Padding(words, (0, 0, 0, 4)))


def _thinning(out: Console, found: Sequence[doc.Thinning]) -> None:
    if not found:
        return
    _head(out, "Do the catches thin out?")
    for one in found:
        series = ", ".join(str(k) for k in one.catches)
        out.print(
            Padding(f"{one.target.replace('_', ' ')}: {series} in spans of like length. {one.say}.", (0, 0, 0, 2))
        )


def _harvest(out: Console, found: Sequence[doc.HarvestRow]) -> None:
    if not found:
        return
    _head(out, "Held animals, as reports ask for them")
    table = grid(24, 6, 16, 16, 24, None)
    table.add_row("", "held", "female, male", "young, adult", "from, to", "what became of them")
    for row in found:
        table.add_row(
            row.name, str(row.count), f"{row.female}, {row.male}", f"{row.young}, {row.adult}",
            f"{row.first}, {row.last}", ", ".join(f"{count} {fate}" for fate, count in row.fates.items()),
        )  # fmt: skip
    out.print(Padding(table, (0, 0, 0, 2)))


def _learned(out: Console, found: Sequence[doc.Learned]) -> None:
    if not found:
        return
    _head(out, "What the log teaches the next plan (median and 90 % band)")
    for what in dict.fromkeys(row.what for row in found):
        out.print(f"  {what}")
        table = grid(44, 26, None)
        for row in found:
            if row.what == what:
                table.add_row(row.about, _band(row, row.before), f"-> {_band(row, row.after)}")
        out.print(Padding(table, (0, 0, 0, 4)))
    out.print("  Used by `setwright plan --log` and `setwright set --log`; --no-learning leaves it out.")


def _band(row: doc.Learned, found: tuple[float, float, float]) -> str:
    force, name = pull(1.0)
    scale, unit = (
        (force, f" {name}") if row.unit == "N" else (1.0, f" {row.unit}" if row.unit in ("%", "min") else "")
    )
    middle, low, high = (_n(scale * value) for value in found)
    return f"{middle}{unit} ({low} to {high})"


def _sums(out: Console, found: doc.SeasonBook) -> None:
    if found.colonies is not None:
        _head(out, "Beaver colonies")
        out.print(Padding(found.colonies.say, (0, 0, 0, 2)))
    if found.money is not None:
        money = found.money
        _head(out, f"Money, {money.currency} (median and 90 % band)")
        table = grid(30, None)
        table.add_row("left of this season", _sum(money.this))
        table.add_row("left of another like it", _sum(money.another))
        table.add_row(
            "spent", ", ".join(f"{name} {amount:.0f}" for name, amount in money.cost_rows) or "nothing stated"
        )
        even = "–" if money.break_even is None else f"{money.break_even:.2f} an animal"
        table.add_row("breaks even at", even)
        out.print(Padding(table, (0, 0, 0, 2)))
        out.print(Padding(f"{money.say[0].upper()}{money.say[1:]}.", (0, 0, 0, 2)))
    if found.job is not None:
        _head(out, "The job to quote")
        out.print(Padding(found.job.say, (0, 0, 0, 2)))
    if found.trial:
        _head(out, "To settle it: set out by lot")
        out.print(Padding("; ".join(f"{site}: {rig}" for site, rig in found.trial), (0, 0, 0, 2)))


def _sum(found: tuple[float, float, float]) -> str:
    middle, low, high = found
    return f"{middle:.0f} ({low:.0f} to {high:.0f})"
