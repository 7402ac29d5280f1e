"""Everything that can be put into another language, as a gettext template; and how far a catalogue has come."""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import setwright
from setwright.desk import caution_words, handout_cautions
from setwright.desk.handouts import handouts
from setwright.desk.lessons.shelf import lessons
from setwright.draw.marks import ANSWER, STANDING
from setwright.sets.evaluate import CHAIN
from setwright.sheets import page
from setwright.sheets.handouts import sentences
from setwright.sheets.lesson_figures import known
from setwright.sheets.lesson_words import lesson_messages
from setwright.sheets.speech import READER, SAID, WANTED, Catalogue, pattern_of
from setwright.sheets.template_words import has_words, messages
from setwright.sheets.typeset import words_of
from setwright.sheets.write import write_files

# Sentences that are put before those of the cautions.
BEFORE = (
    ("Water at {temperature}: hands work for about ten minutes. ", caution_words.WADING),
    ("In 100 waits it is the first to fire this trap about {times} times. ", caution_words.PET),
    ("In 100 waits it is the first to fire this trap about {times} times. ", caution_words.PROTECTED),
)
# Heads of the cautions of sets and lines, which stand in no table.
HEADS = (
    "Bank ice", "Cold water", "Disease", "Dispatch", "Fleas", "Hard cold", "Hares and rabbits", "Heat", "Ice",
    "If a dog is held", "Mange", "People", "Students", "Submersion", "Test firing", "You, in the water", "Your hands",
)  # fmt: skip


@dataclass(frozen=True, order=True)
class Message:
    """One message.

    Parameters
    ----------
    where : str
        Template, handouts or lessons that it is of.
    words : str
        In English.
    context : str
        Empty for fixed words, `said` for computed ones.

    """

    where: str
    words: str
    context: str = ""


def templates_of(environment: Any, room: str) -> Iterator[Message]:
    """Messages of all page templates that an environment has."""
    names = [name for name in environment.list_templates() if name.endswith(".html")]
    return (Message(f"{room}/{name}", words) for words, name in messages(environment, names))


def sheet_messages() -> list[Message]:
    """Messages of sheets, lessons and cautions; those of the app are its own."""
    found = list(templates_of(page.english(), "sheets"))
    with as_file(files("setwright") / "data" / "demo" / "line-book.yaml") as example:
        for book in (None, example):
            found += [Message("handouts", words) for words in sentences(handouts(book), book)]
    found += [Message("lessons", words) for sheet in ("lesson.typ", "quiz.typ") for words in words_of(sheet)]
    warned = handout_cautions.cautions_on(*handout_cautions.TOPICS)
    found += [Message("handouts", words) for one in warned for words in (one.head, one.text)]
    found += [Message("lessons", words) for words in lesson_messages(lessons(known()))]
    found += [Message("words", words, SAID) for words in (*STANDING, *ANSWER, *CHAIN)]
    found += [Message("words", f"{gate}: {{answer}}", SAID) for gate in ("set", "law", "welfare")]
    found += [Message("cautions", words, SAID) for words in HEADS]
    found += [Message("cautions", first + rest, SAID) for first, rest in BEFORE]
    told = [words for name, words in vars(caution_words).items() if name.isupper()]
    for words in told:
        found += [Message("cautions", one, SAID) for one in ([words] if isinstance(words, str) else words)]
    return found


def template(found: Iterable[Message]) -> bytes:
    """A gettext template of messages, each once, with the places where it stands."""
    polib: Any = importlib.import_module("polib")
    made = polib.POFile(wrapwidth=110)
    made.metadata = {
        "Project-Id-Version": f"setwright {setwright.__version__}", "MIME-Version": "1.0", "Language": "",
        "Content-Type": "text/plain; charset=UTF-8", "Content-Transfer-Encoding": "8bit", READER: WANTED,
    }  # fmt: skip
    places: dict[tuple[str, str], dict[str, None]] = {}
    for one in found:
        if has_words(one.words):
            places.setdefault((one.context, one.words), {})[one.where] = None
    for (context, words), where in places.items():
        made.append(polib.POEntry(msgid=words, msgctxt=context or None, occurrences=[(one, "") for one in where]))
    return str(made).encode("utf-8")


def how_far(found: Iterable[Message], known: Catalogue) -> dict[str, tuple[int, int]]:
    """How many messages of each place a catalogue has, and how many there are."""
    counted: dict[str, tuple[int, int]] = {}
    asked = {one for one in found if has_words(one.words)}
    patterns = {pattern.pattern for pattern, _ in known.patterns}
    for one in sorted(asked):
        room = one.where.split("/")[0]
        done, of = counted.get(room, (0, 0))
        has = one.words in known.fixed if not one.context else one.words in known.said or _is(one.words, patterns)
        counted[room] = (done + has, of + 1)
    return counted


def _is(words: str, patterns: set[str]) -> bool:
    return pattern_of(words).pattern in patterns


def write_template(found: Iterable[Message], path: Path) -> Path:
    """Write a template; returns its path.

    Raises
    ------
    BadInput
        When it cannot be written.
    """
    return write_files({path.name: template(found)}, path.parent)[0]
