"""A law pack, and a line judged by it, on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from setwright.cli.show import MARK, console, grid, marked
from setwright.desk import law_document as doc

LEVELS = {"fault": "-|>  fault", "doubt": "··|  doubt", "note": "     note"}
STATES = {"stated": "stated", "none": "silent", "unknown": "unknown"}


def print_law(found: doc.LawSheet) -> None:
    """The packs, what is wrong or open in the asked one, the sets, and what to ask whom."""
    out = console()
    for pack in found.packs:
        mark = " (invented)" if pack.invented and "invented" not in pack.title else ""
        out.print(Text(f"{pack.kind}: {pack.title}{mark}", style="bold"))
        out.print(
            Padding(f"{pack.name}; {pack.jurisdiction}; in force {pack.in_force}; {pack.checked}", (0, 0, 0, 2))
        )
        if pack.stale:
            out.print(Padding(f"Cannot be relied on for {found.on}: {pack.stale}.", (0, 0, 0, 2)))
    out.print(found.say)
    for one in found.sets:
        _set(out, one)
    _asked(out, "Ask the authority, word for word", found.ask)
    _asked(out, "Look or measure yourself", found.look)
    _pack(out, found)
    out.print()
    for note in found.notes:
        out.print(note)


def _pack(out: Console, found: doc.LawSheet) -> None:
    if not found.sets:
        out.print(Text("\nTopics", style="bold"))
        table = grid(16, 9, None)
        for topic in found.topics:
            said = ", ".join(topic.rules) or topic.citation or "nothing: every set is asked about it"
            table.add_row(topic.topic.replace("-", " "), STATES[topic.state], said)
        out.print(Padding(table, (0, 0, 0, 2)))
    if found.remarks:
        out.print(Text("\nRemarks on the pack", style="bold"))
        table = grid(11, 26, None)
        for remark in found.remarks:
            table.add_row(LEVELS[remark.level], remark.place, f"{remark.text} Mend: {remark.mend}")
        out.print(Padding(table, (0, 0, 0, 2)))


def _set(out: Console, one: doc.JudgedSet) -> None:
    head = Text.assemble(
        (f"\nSet {one.number}, {one.name}, for {one.target.lower()}: ", "bold"), marked(one.law, law=True)
    )
    out.print(head)
    out.print(Padding(one.rig, (0, 0, 0, 2)))
    table = grid(MARK, 22, None)
    for rule in one.rules:
        if rule.answer == "meets" and not rule.aside:
            continue
        parts = [rule.reason, rule.cure and f"Mend: {rule.cure}", rule.question and f"Asks: {rule.question}"]
        words = " ".join(part for part in parts if part)
        table.add_row(marked(rule.answer, law=True), rule.rule, f"{words} [{rule.pack}: {rule.citation}]")
    met = [rule for rule in one.rules if rule.answer == "meets" and not rule.aside]
    if met:
        table.add_row(marked("meets", law=True), f"{len(met)} others", ", ".join(rule.rule for rule in met))
    out.print(Padding(table, (0, 0, 0, 2)))


def _asked(out: Console, head: str, questions: list[doc.WardenQuestion]) -> None:
    if not questions:
        return
    out.print(Text(f"\n{head}", style="bold"))
    for question in questions:
        sets = ", ".join(map(str, question.sets))
        to = f"{question.to}: " if question.to != "yourself" else ""
        out.print(
            Padding(f"? {to}{question.text} [set{'' if len(question.sets) == 1 else 's'} {sets}]", (0, 0, 0, 2))
        )
