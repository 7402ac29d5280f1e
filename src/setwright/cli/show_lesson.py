"""Lessons and quizzes on the terminal."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from setwright.desk.lessons.live import LiveAnswer
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.question import LETTERS, Question
from setwright.desk.lessons.quiz import Marked, Quiz
from setwright.desk.lessons.skills import SKILLS
from setwright.desk.lessons.stations import Practice
from setwright.desk.lessons.strength import BoxTrap
from setwright.desk.lessons.text import plain_lines
from setwright.log.skill_store import SkillRecord


def _console() -> Console:
    return Console(width=None if Console().is_terminal else 100, highlight=False)


def list_words(found: Sequence[Lesson]) -> str:
    """Every lesson on a line."""
    wide = max(len(one.name) for one in found)
    return "\n".join(
        f"{one.name:{wide}}  {one.head.minutes:3d} min  {one.head.title}{' (your own)' if one.own else ''}"
        for one in found
    )


def figure_words(found: Mapping[str, tuple[str, tuple[str, ...]]]) -> str:
    """Every drawing on a line, with what may be said of it."""
    wide = max(map(len, found))
    lines = [f"{name:{wide}}  {title} ({', '.join(may) or 'nothing'})" for name, (title, may) in found.items()]
    return "\n".join([*lines, "", "In a lesson: ![words](figure:NAME?trap=coil-1.5&change=springs=4)"])


def course_words(found: Sequence[Lesson], kit: Sequence[tuple[int, str]], students: int) -> str:
    """The whole course and what to bring."""
    total = sum(one.head.minutes for one in found)
    lines = [list_words(found), f"{len(found)} lessons, {total // 60} h {total % 60:02d} in all.", ""]
    lines += [f"To bring for {students} students:", *(f"  {number:3d}  {what}" for number, what in kit)]
    return "\n".join(lines)


def print_lesson(lesson: Lesson, answers: Sequence[LiveAnswer], plan: Practice, traps: Sequence[BoxTrap]) -> None:
    """One lesson with its question worked out."""
    out, head = _console(), lesson.head
    out.print(Text(f"{head.title} ({head.minutes} min)", style="bold"))
    _listed(out, "At the end a student can", head.aim)
    for line in plain_lines(lesson):
        out.print(Text(line))
    out.print()
    _live(out, answers)
    helpers = f"{plan.helpers} who watch{'es' if plan.helpers == 1 else ''} hands"
    out.print(Text(f"Practice for {plan.students} students, {helpers}", style="bold"))
    for one in plan.stations:
        times = f"{one.number} × " if one.number > 1 else ""
        out.print(Text(f"{times}{one.station.name}, {one.station.minutes} min"))
        for place, step in enumerate(one.station.steps, start=1):
            out.print(Text(f"  {place}. {step}"))
        if one.station.caution:
            out.print(Text(f"  Mind: {one.station.caution}"))
    _listed(out, "Bring", [f"{number} {what}" for number, what in plan.kit])
    if traps:
        print_box(traps, told=True)
    if head.beliefs:
        out.print(Text("What people believe", style="bold"))
        for belief in head.beliefs:
            out.print(Text(f"  “{belief.believed}”"))
            out.print(Text(f"  {belief.fact}"))
            out.print(Text(f"  From: {belief.source} ({belief.confidence})"))
    out.print(Text("Ask", style="bold"))
    for check in head.check:
        out.print(Text(f"  {check.ask}"))
        out.print(Text(f"    {check.answer}"))
    _listed(out, "Cautions", head.cautions)


def _listed(out: Console, title: str, lines: Sequence[str]) -> None:
    out.print(Text(title, style="bold"))
    for line in lines:
        out.print(Text(f"  {line}"))
    out.print()


def _live(out: Console, answers: Sequence[LiveAnswer]) -> None:
    first = answers[0]
    out.print(Text(first.ask, style="bold"))
    out.print(Text(first.about if len({one.about for one in answers}) == 1 else "one after the other"))
    table = Table(box=None, pad_edge=False, header_style="none")
    table.add_column(first.label)
    for number in first.numbers:
        table.add_column(number.label)
    if len(answers) == 1:
        table.add_row("as it stands", *(number.before for number in first.numbers))
    for one in answers:
        table.add_row(Text(one.words), *(Text(number.after) for number in one.numbers))
    out.print(table)
    out.print(Text(first.learn))
    if first.note:
        out.print(Text(first.note))
    out.print()


def print_box(traps: Sequence[BoxTrap], *, told: bool) -> None:
    """Every trap with its force, and what the student can surely do."""
    out = _console()
    table = Table(box=None, pad_edge=False, header_style="none")
    for name in (
        "trap",
        "one lever or spring",
        "a setter's handles",
        "both feet",
        *(("this student",) if told else ()),
    ):
        table.add_column(name)
    for one in traps:
        cells = [one.title, one.hand, one.setters, one.feet]
        table.add_row(*map(Text, (*cells, student_words(one)) if told else cells))
    out.print(table)
    if not told:
        out.print(Text("Say --presses and --weighs to see which of them a student can set."))
    out.print(Text("Usual traps of each number, for comparing: pull the lever of yours with a scale."))
    out.print(Text("Nobody sets what he cannot surely press, and who cannot free a hand sets nothing alone."))


def student_words(one: BoxTrap) -> str:
    """What a student may do with a trap."""
    return " or ".join(one.ways) if one.ways else "not this one"


def question_lines(place: int, one: Question) -> list[str]:
    """A question with its choices."""
    lines = [f"{place}. {one.ask}"]
    lines += [f"   {LETTERS[number]}. {words}" for number, words in enumerate(one.choices)]
    return [*lines, f"   {one.how}"]


def quiz_words(quiz: Quiz, *, key: bool) -> str:
    """All questions, with the key when it is wanted."""
    lines = [f"Quiz on {quiz.lesson}, seed {quiz.seed}", ""]
    for place, one in enumerate(quiz.questions, start=1):
        lines += question_lines(place, one)
        if key:
            lines += [f"   Answer: {one.key}", f"   {one.worked}", f"   From: {one.source}"]
        lines.append("")
    if not key:
        lines.append(
            "Write the answers into a file, a line each such as `1: 36 in`, and mark it with --answers FILE."
        )
    return "\n".join(lines)


def marked_words(found: Marked) -> str:
    """Every answer with its mark and the way to the right one."""
    lines = []
    for place, (one, mark) in enumerate(zip(found.quiz.questions, found.marks, strict=True), start=1):
        lines += [*question_lines(place, one)[:-1], f"   Yours: {mark.read or 'nothing'}: {mark.word}"]
        lines += [f"   Right: {one.key}", f"   {one.worked}", ""]
    count = len(found.marks)
    still = f", {found.open} without an answer" if found.open else ""
    return "\n".join([*lines, f"{found.right} of {count} right{still}."])


def quiz_json(quiz: Quiz, found: Marked | None, *, key: bool) -> str:
    """The quiz as JSON; answers only with the key or with marks."""
    told = key or found is not None
    questions: list[dict[str, Any]] = []
    for place, one in enumerate(quiz.questions):
        made = {"number": place + 1, **asdict(one), "how": one.how}
        if math.isnan(one.answer):
            made["answer"] = None
        if not told:
            for name in ("answer", "right", "worked", "given"):
                del made[name]
        if found is not None:
            made["mark"] = asdict(found.marks[place])
        questions.append(made)
    score = {} if found is None else {"right": found.right, "asked": len(found.marks)}
    told_all = {"lesson": quiz.lesson, "seed": quiz.seed, "questions": questions, **score}
    return json.dumps(told_all, indent=2, ensure_ascii=False)


def records_words(found: Sequence[SkillRecord]) -> str:
    """Everybody on a line."""
    if not found:
        return "Nothing is kept of anybody."
    lines = []
    for one in found:
        shown = sum(done for done, _ in one.skills.values())
        last = one.scores[-1] if one.scores else None
        quiz = "" if last is None else f"; last quiz {last.lesson}, {last.right} of {last.asked} right"
        lines.append(f"{one.label}: {shown} of {len(SKILLS)} skills shown{quiz}")
    return "\n".join(lines)


def record_words(one: SkillRecord) -> str:
    """All that is kept of one student."""
    who = "guardian" if one.consent.minor else "own consent"
    lines = [f"{one.label}: {who} {one.consent.consent_by}, {one.consent.consent_on}"]
    for item, words in SKILLS.items():
        done = one.skills.get(item)
        told = "open" if done is None else f"{'shown' if done[0] else 'not yet'} {done[1]}"
        lines.append(f"{item:3d}  {words}  {told}")
    lines += [f"quiz {score.lesson}, {score.seen_on}: {score.right} of {score.asked} right" for score in one.scores]
    return "\n".join(lines)
