"""Where lessons stand: those that are shipped, and an instructor's own beside his line book."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, read_text, validate
from setwright.desk.lessons.kinds import KINDS
from setwright.desk.lessons.live_figures import figures_for
from setwright.desk.lessons.markdown import read_body
from setwright.desk.lessons.model import Head, Known, Lesson

FENCE = "---"
FOLDER = "lessons"


def shipped_folder() -> Path:
    """Folder of the lessons that come with the program."""
    return Path(str(files("setwright") / "data" / "lessons"))


def own_folder(book: Path | None) -> Path | None:
    """Folder of an instructor's own lessons, beside his line book; None when there is none."""
    folder = None if book is None else book.parent / FOLDER
    return folder if folder is not None and folder.is_dir() else None


def read_lesson(path: Path, known: Known, *, own: bool = False) -> Lesson:
    """Read one lesson and look it through.

    Parameters
    ----------
    path : Path
        Markdown file with a YAML head between two lines of `---`.
    known : mapping
        Names of drawings, each with what may be said of it.
    own : bool
        Written by an instructor.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed.

    """
    text = read_text(path)
    lines = text.splitlines()
    fences = [number for number, line in enumerate(lines) if line.strip() == FENCE]
    if not lines or lines[0].strip() != FENCE or len(fences) < 2:
        raise BadInput(
            "a lesson begins with a head between two lines of ---", file=path, line=1,
            found=lines[0] if lines else "nothing",
        )  # fmt: skip
    # An empty first line keeps the numbers of the lines.
    data = load("\n".join(["", *lines[1 : fences[1]], ""]), file=path)
    head = validate(Head, data, file=path)
    body = read_body("\n".join(lines[fences[1] + 1 :]), file=path, first_line=fences[1] + 2)
    found = Lesson(head, body, path, own)
    _look_through(found, known, lines)
    return found


def _look_through(lesson: Lesson, known: Known, lines: list[str]) -> None:
    head, place = lesson.head, lesson.place
    for block in lesson.body:
        if block.kind != "figure":
            continue
        _named(block.figure, known, place, block.line)
        for name in block.given:
            if name not in known[block.figure]:
                raise BadInput(
                    "nothing of this name can be said of this drawing", file=place, line=block.line,
                    field=block.figure, found=name, allowed=", ".join(known[block.figure]) or "nothing",
                )  # fmt: skip
    if head.live.picture:
        _named(head.live.picture, known, place, _line_with(lines, f"picture: {head.live.picture}"))
    allowed = figures_for(head.live.tool)
    for name in head.live.figures:
        if not allowed(name):
            raise BadInput(
                "this tool has no such number", file=place, line=_line_with(lines, name), field="live.figures",
                found=name, allowed=allowed.words,
            )  # fmt: skip
    for name in head.quiz:
        if name not in KINDS:
            raise BadInput(
                "no such kind of question", file=place, line=_line_with(lines, name), field="quiz", found=name,
                allowed=", ".join(KINDS),
            )  # fmt: skip


def _named(name: str, known: Known, place: Path, line: int | None) -> None:
    if name not in known:
        raise BadInput("no drawing of this name", file=place, line=line, found=name, allowed=", ".join(known))


def _line_with(lines: list[str], words: str) -> int | None:
    return next((number for number, line in enumerate(lines, start=1) if words in line), None)


def lessons(known: Known, folder: Path | None = None) -> list[Lesson]:
    """All lessons in their order: shipped ones, then those of a folder.

    Raises
    ------
    BadInput
        When one of them cannot be used, or two have one name.

    """
    found = [read_lesson(path, known) for path in sorted(shipped_folder().glob("*.md"))]
    if folder is not None:
        found += [read_lesson(path, known, own=True) for path in sorted(folder.glob("*.md"))]
    seen: dict[str, Lesson] = {}
    for lesson in found:
        if lesson.name in seen:
            raise BadInput(
                "another lesson has this name", file=lesson.place, field="name", found=lesson.name,
                allowed="a name of its own",
            )  # fmt: skip
        seen[lesson.name] = lesson
    return sorted(found, key=lambda one: (one.own, one.head.order, one.name))


def lesson_named(name: str, known: Known, folder: Path | None = None) -> Lesson:
    """One lesson by name, or by the path of its file.

    Raises
    ------
    BadInput
        When there is none, with the names that there are.

    """
    if name.endswith(".md"):
        return read_lesson(Path(name), known, own=True)
    place = shipped_folder() / f"{name}.md"
    if place.parent == shipped_folder() and place.is_file():
        return read_lesson(place, known)
    every = lessons(known, folder)
    for lesson in every:
        if lesson.name == name:
            return lesson
    raise BadInput("no such lesson", found=name, allowed=", ".join(one.name for one in every))
