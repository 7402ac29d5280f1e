"""Handouts on paper: the desk's documents drawn and set, one page each as a rule, on three papers and in large print.

Every word goes to the typesetter as a value, never as markup. A page that holds more than its paper first takes a
lower drawing and fewer ruled rows, then type of 11 pt, then fewer rows of a table with a line that says how many;
sentences, cautions and the local rule are never left out, and no type but the foot line is under 11 pt.
"""

from __future__ import annotations

import io
import json
import tempfile
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from setwright.basis.errors import BadInput
from setwright.desk import handout_document as doc
from setwright.desk.handout_source import COIL, LONG
from setwright.draw import svg
from setwright.draw.pictures import PICTURES
from setwright.draw.plate import Given
from setwright.sheets import fonts
from setwright.sheets.pictures import given
from setwright.sheets.speech import ENGLISH, UNREAD, Say, translator, wants_reader
from setwright.sheets.typeset import WEIGHTS
from setwright.sheets.write import write_files

PAPERS = ("letter", "a4", "a5")
# Width and height, margins left, right, top, bottom [mm], and the size of the type [pt].
_SIZES: dict[str, tuple[float, float, tuple[float, float, float, float], float]] = {
    "a4": (210.0, 297.0, (16.0, 10.0, 10.0, 9.0), 13.0),
    "letter": (215.9, 279.4, (16.0, 10.0, 10.0, 9.0), 13.0),
    "a5": (148.0, 210.0, (11.0, 8.0, 7.0, 6.0), 11.0),
}
LARGE, LEAST = 15.4, 11.0
PAGE_WORDS, CUT_WORDS = "page {page} of {count}", "cut here"
NO_DRAWING = "The drawing has no room on this paper."
MORE = ("1 more row has no room on this paper", "{count} more rows have no room on this paper")
# Pixels of a drawing to a millimetre at 11 pt: 13.5 px, the smallest text of a drawing, print as large as the type.
_PIXELS = 13.5 / 11.0 * 72.0 / 25.4
_TALLEST = (460.0, 330.0, 250.0, 190.0, 140.0)


@dataclass(frozen=True, slots=True)
class Style:
    """How handouts are printed.

    Parameters
    ----------
    paper : {"a4", "letter", "a5"}
        Size of the sheet.
    large : bool
        Large print, for a4 and letter.
    language : str
        Language of the sheet, such as `es`.

    """

    paper: str = "letter"
    large: bool = False
    language: str = ENGLISH

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            raise BadInput("no such paper", field="--paper", found=self.paper, allowed=", ".join(PAPERS))
        if self.large and self.paper == "a5":
            raise BadInput("no room for large print", field="--large", found="a5", allowed="a4 or letter")
        translator(self.language)

    @property
    def size(self) -> float:
        """Size of the type [pt]."""
        return LARGE if self.large else _SIZES[self.paper][3]

    @property
    def pixels(self) -> float:
        """Width of a drawing as wide as the writing [px]."""
        wide, _, margins, _ = _SIZES[self.paper]
        return (wide - margins[0] - margins[1]) * _PIXELS * 11.0 / self.size


def handout_pdf(
    one: doc.Handout, style: Style | None = None, *, made: doc.Handouts, book: Path | None = None
) -> bytes:
    """One handout as a PDF of one page, tagged for reading aloud (PDF/UA-1).

    Parameters
    ----------
    one : Handout
        What stands on it.
    style : Style, optional
        Paper, size of print, language.
    made : Handouts
        The answer that it belongs to, for the name of the line.
    book : Path, optional
        Line book whose traps the pictures show.

    Returns
    -------
    bytes
        The same bytes for the same handout.

    """
    found = _compiled(_laid_out(one, style or Style(), made, book), "pdf")
    if not isinstance(found, bytes):
        raise TypeError(f"the typesetter gave {type(found).__name__} in place of one document")
    return found


def make(found: doc.Handouts, style: Style | None = None, *, book: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """Every handout with the name of its file, one by one."""
    for one in found.handouts:
        yield f"{one.name}.pdf", handout_pdf(one, style, made=found, book=book)


def write_handouts(
    found: doc.Handouts, folder: Path, style: Style | None = None, *, book: Path | None = None
) -> list[Path]:
    """Write every handout into a folder, all or none; returns the files.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_files(dict(make(found, style, book=book)), folder)


@cache
def _fonts() -> tuple[Any, tempfile.TemporaryDirectory[str]]:
    """The typefaces, read once; the folder that they were read from goes when the program ends."""
    import typst

    folder = tempfile.TemporaryDirectory(prefix="setwright-")
    for family, weight in WEIGHTS:
        (Path(folder.name) / f"{family}-{weight}.ttf".replace(" ", "")).write_bytes(fonts.paper_face(family, weight))
    found = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder.name])
    return found, folder


@cache
def _letters() -> frozenset[int]:
    """Letters that both typefaces have."""
    from fontTools.ttLib import TTFont

    found = [set(TTFont(io.BytesIO(fonts.paper_face(family, weight))).getBestCmap()) for family, weight in WEIGHTS]
    return frozenset(set.intersection(*found))


def _printable(text: str) -> str:
    """The text with letters that no typeface has put as near as can be: without accents, else a question mark."""
    known = _letters()

    def near(letter: str) -> str:
        if ord(letter) in known or letter in "\n\t":
            return letter
        plain = "".join(part for part in unicodedata.normalize("NFKD", letter) if ord(part) in known)
        return plain or "?"

    return text if all(ord(letter) in known for letter in set(text)) else "".join(near(letter) for letter in text)


@cache
def _source() -> bytes:
    return (files("setwright.sheets") / "templates" / "handout.typ").read_bytes()


def _fitted(values: dict[str, Any]) -> tuple[Any, dict[str, Any]]:
    """The page in the typesetter, and how it fits: over its paper, or short of rows."""
    import typst

    compiler = typst.Compiler(
        _source(), font_paths=_fonts()[0], ignore_system_fonts=True,
        sys_inputs={"data": _printable(json.dumps(values, ensure_ascii=False))},
    )  # fmt: skip
    found: dict[str, Any] = json.loads(compiler.query("<fit>", field="value"))[0]
    return compiler, found


def _laid_out(one: doc.Handout, style: Style, made: doc.Handouts, book: Path | None) -> dict[str, Any]:
    """Values of a handout in the form that holds it: half a sheet, one page, or several when rows had no room."""
    values = _values(one, style, made, book)
    if one.half and style.paper != "a5" and not style.large:
        halves = {**values, "form": "halves", "size": LEAST}
        if not _fitted(halves)[1]["over"]:
            return halves
    if one.long and _fitted(values)[1].get("short"):
        return {**values, "form": "pages"}
    return values


def _compiled(values: dict[str, Any], kind: Literal["pdf", "png"], points_per_inch: float = 150.0) -> Any:
    compiler, fit = _fitted(values)
    if fit["over"]:
        raise BadInput(
            "more words than the paper holds, and none may be cut",
            field=str(values["title"]),
            found=f"{values['wide']:g} x {values['high']:g} mm, type of {values['size']:g} pt",
            allowed="a larger paper, no large print, or fewer words in the line book",
        )
    if kind == "png":
        return compiler.compile(_source(), format="png", ppi=points_per_inch)
    return compiler.compile(_source(), format="pdf", pdf_standards=["ua-1"])


def _values(one: doc.Handout, style: Style, made: doc.Handouts, book: Path | None) -> dict[str, Any]:
    """The handout as plain values for the typesetter, in the language of the style."""
    say = translator(style.language)
    wide, high, margins, _ = _SIZES[style.paper]
    filled = _given(one, style, say, book)
    used = _marks_of(one)
    legend = "; ".join(f"{mark}: {say(words)}" for mark, words in doc.MARKS.items() if mark in used)
    line = f"{made.line}{' ' + say('(invented)') if made.invented else ''}" if made.line else ""
    foot = ". ".join(part for part in (legend, line) if part)
    return {
        "title": say(one.title),
        "lang": style.language,
        "size": style.size,
        "least": style.size if style.large else LEAST,
        "wide": wide,
        "high": high,
        "margin": list(margins),
        "about": say(one.about),
        "say": [_said(one.say, say), one.say.mark],
        "blocks": [_block(block, filled, say) for block in one.blocks],
        "cautions-head": say("Cautions"),
        "cautions": [[say(each.head), say(each.text)] for each in one.cautions],
        "rule-words": [say("Local rule"), say("of")],
        "rule": one.rule,
        "rule-date": one.rule_date,
        "unread": say(UNREAD) if wants_reader(style.language) else "",
        "more": [say(words) for words in MORE],
        "no-drawing": say(NO_DRAWING),
        "form": "page",
        "page-words": say(PAGE_WORDS),
        "cut-words": say(CUT_WORDS),
        "foot": foot,
    }


def _said(words: doc.Words, say: Say) -> str:
    """The sentence in the language, with its figures."""
    text = say(words.text)
    for name, value in words.values.items():
        text = text.replace(f"{{{name}}}", value)
    return text


def _given(one: doc.Handout, style: Style, say: Say, book: Path | None) -> Given:
    coil, long = one.traps.get("coil", COIL), one.traps.get("long", LONG)
    return given(coil=coil, long=long, book=book, total=one.total or None, width=style.pixels, say=say)


def _block(block: doc.Block, filled: Given, say: Say, heights: Sequence[float] = _TALLEST) -> dict[str, Any]:
    if isinstance(block, doc.Picture):
        return _picture(block, filled, say, heights)
    if isinstance(block, doc.Lines):
        lines = [[_said(words, say), words.mark] for words in block.lines]
        return {
            "kind": "lines",
            "head": say(block.head),
            "form": block.form,
            "lines": lines,
            "columns": block.columns,
        }
    if isinstance(block, doc.Grid):
        return {
            "kind": "grid",
            "head": say(block.head),
            "columns": [say(head) for head in block.columns],
            "widths": block.widths,
            "rows": [[[say(cell.text), cell.mark] for cell in row] for row in block.rows],
            "blank": block.blank_rows,
            "note": say(block.note),
        }
    blanks = [[say(each.label), each.value, each.wide] for each in block.blanks]
    return {"kind": "blanks", "head": say(block.head), "blanks": blanks}


def _picture(block: doc.Picture, filled: Given, say: Say, heights: Sequence[float]) -> dict[str, Any]:
    """A picture in falling heights, with its letters as words or as blanks."""
    chosen = PICTURES[block.name]
    drawn: list[str] = []
    for tallest in heights:
        made = svg.standalone(chosen.draw(replace(filled, tallest=tallest * block.high)))
        if made not in drawn:
            drawn.append(made)
    keys = chosen.keys(filled) if filled.width < 480.0 or block.keys != "words" else []
    letters = [letter for letter, _ in keys]
    return {
        "kind": "picture",
        "drawings": drawn,
        "alt": say(chosen.caption),
        "keys": [[letter, say(words)] for letter, words in keys] if block.keys == "words" else [],
        "blanks": letters if block.keys == "blanks" else [],
    }


def _marks_of(one: doc.Handout) -> set[str]:
    """The letters that stand on a handout."""
    found: set[str] = {one.say.mark}
    for block in one.blocks:
        if isinstance(block, doc.Lines):
            found |= {words.mark for words in block.lines}
        elif isinstance(block, doc.Grid):
            found |= {cell.mark for row in block.rows for cell in row}
    return found - {""}


def sentences(found: doc.Handouts, book: Path | None = None) -> Sequence[str]:
    """Every sentence that goes through the catalogue when these handouts are printed, once and in order."""
    heard: dict[str, None] = {}

    def listen(words: str) -> str:
        if words:
            heard[words] = None
        return words

    style = Style()
    for one in found.handouts:
        listen(one.title)
        listen(one.about)
        _said(one.say, listen)
        filled = _given(one, style, listen, book)
        for block in one.blocks:
            # A lower drawing says nothing more.
            _block(block, filled, listen, _TALLEST[:1])
        for caution in one.cautions:
            listen(caution.head)
            listen(caution.text)
    for words in (
        *doc.MARKS.values(),
        "(invented)",
        "Cautions",
        "Local rule",
        "of",
        UNREAD,
        NO_DRAWING,
        *MORE,
        PAGE_WORDS,
        CUT_WORDS,
    ):
        listen(words)
    return tuple(heard)
