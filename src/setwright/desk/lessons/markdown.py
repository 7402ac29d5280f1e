"""The running text of a lesson: a small part of Markdown, read into plain parts; no markup of the writer passes.

Drawings stand by name: `![words](figure:NAME?trap=coil-1.5)`, each in a paragraph of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal
from urllib.parse import parse_qsl, unquote, urlsplit

from markdown_it import MarkdownIt
from markdown_it.token import Token

from setwright.basis.errors import BadInput

Kind = Literal["heading", "paragraph", "list", "steps", "quote", "table", "figure"]
SCHEME = "figure:"
_ALLOWED = "headings, paragraphs, lists, quotes, tables, bold, italic, links and drawings by name"
_LINKS = ("lesson:", "https://", "http://", "/", "#")


@dataclass(frozen=True)
class Span:
    """Words in one voice.

    Parameters
    ----------
    text : str
        The words.
    strong, em, code : bool
        How they are set.
    link : str
        Address, empty where there is none.

    """

    text: str
    strong: bool = False
    em: bool = False
    code: bool = False
    link: str = ""


@dataclass(frozen=True)
class Block:
    """One part of the text.

    Parameters
    ----------
    kind : str
        Heading, paragraph, list, steps, quote, table or figure.
    line : int
        Line of the file on which it begins.
    spans : tuple of Span
        Words of a heading, a paragraph or a quote; caption of a figure.
    rows : tuple of tuple of tuple of Span
        Items of a list (one cell each), rows of a table.
    level : int
        Of a heading.
    figure : str
        Name of a drawing.
    given : mapping
        What is said of the drawing.

    """

    kind: Kind
    line: int
    spans: tuple[Span, ...] = ()
    rows: tuple[tuple[tuple[Span, ...], ...], ...] = ()
    level: int = 0
    figure: str = ""
    given: Mapping[str, str] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """The words alone."""
        inner = [cell for row in self.rows for cell in row]
        return "\n".join("".join(span.text for span in spans) for spans in (self.spans, *inner) if spans)


def read_body(text: str, *, file: object, first_line: int = 1) -> tuple[Block, ...]:
    """Read the running text.

    Parameters
    ----------
    text : str
        Markdown.
    file : object
        Name of the file, for errors.
    first_line : int
        Line of the file on which the text begins.

    Raises
    ------
    BadInput
        For what a lesson does not hold, and for a drawing that is not called by name; with file and line.

    """
    tokens = MarkdownIt("commonmark", {"html": False}).enable("table").parse(text)
    return tuple(_Reader(tokens, file, first_line).blocks())


class _Reader:
    """Walks along the tokens of one text."""

    def __init__(self, tokens: Sequence[Token], file: object, first_line: int) -> None:
        self.tokens, self.file, self.first_line, self.at, self.line = tokens, file, first_line, 0, first_line

    def blocks(self) -> list[Block]:
        found: list[Block] = []
        while self.at < len(self.tokens):
            found += self._block()
        return found

    def _next(self) -> Token:
        token = self.tokens[self.at]
        self.at += 1
        if token.map is not None:
            self.line = self.first_line + token.map[0]
        return token

    def _until(self, closing: str) -> list[Token]:
        """Tokens up to the one that closes what was opened, which is taken too."""
        found, depth = [], 1
        opening = closing.replace("_close", "_open")
        while depth:
            token = self._next()
            depth += (token.type == opening) - (token.type == closing)
            found.append(token)
        return found[:-1]

    def _block(self) -> list[Block]:
        token = self._next()
        line = self.line
        if token.type == "heading_open":
            inner = self._until("heading_close")
            return [Block("heading", line, self._spans(inner, line), level=int(token.tag[1:]))]
        if token.type == "paragraph_open":
            inner = self._until("paragraph_close")
            drawn = self._figure(inner, line)
            return [drawn] if drawn is not None else [Block("paragraph", line, self._spans(inner, line))]
        if token.type in ("bullet_list_open", "ordered_list_open"):
            inner = self._until(token.type.replace("_open", "_close"))
            kind: Kind = "list" if token.type.startswith("bullet") else "steps"
            return [Block(kind, line, rows=tuple(self._items(inner, line)))]
        if token.type == "blockquote_open":
            return [Block("quote", line, self._spans(self._until("blockquote_close"), line))]
        if token.type == "table_open":
            return [Block("table", line, rows=tuple(self._rows(self._until("table_close"), line)))]
        raise self._refused(token, line)

    def _refused(self, token: Token, line: int) -> BadInput:
        what = token.type.replace("_open", "").replace("_", " ")
        words = "this kind of text is not used in a lesson"
        return BadInput(words, file=self.file, line=line, found=what, allowed=_ALLOWED)

    def _items(self, tokens: Sequence[Token], line: int) -> list[tuple[tuple[Span, ...], ...]]:
        found: list[tuple[tuple[Span, ...], ...]] = []
        held: list[Token] = []
        for token in tokens:
            if token.type == "list_item_open":
                held = []
            elif token.type == "list_item_close":
                found.append((self._spans(held, line),))
            elif token.type in ("bullet_list_open", "ordered_list_open"):
                raise BadInput("a list within a list is not used in a lesson", file=self.file, line=line)
            else:
                held.append(token)
        return found

    def _rows(self, tokens: Sequence[Token], line: int) -> list[tuple[tuple[Span, ...], ...]]:
        found: list[tuple[tuple[Span, ...], ...]] = []
        cells: list[tuple[Span, ...]] = []
        for token in tokens:
            if token.type == "tr_open":
                cells = []
            elif token.type == "inline":
                cells.append(self._inline(token, line))
            elif token.type == "tr_close":
                found.append(tuple(cells))
        return found

    def _spans(self, tokens: Sequence[Token], line: int) -> tuple[Span, ...]:
        found: list[Span] = []
        for token in tokens:
            if token.type == "inline":
                if found:
                    found.append(Span(" "))
                found += self._inline(token, line)
            elif token.type not in ("paragraph_open", "paragraph_close"):
                raise self._refused(token, line)
        return tuple(found)

    def _inline(self, token: Token, line: int) -> tuple[Span, ...]:
        strong = em = 0
        link = ""
        found: list[Span] = []
        for part in token.children or ():
            if part.type in ("strong_open", "strong_close"):
                strong += part.nesting
            elif part.type in ("em_open", "em_close"):
                em += part.nesting
            elif part.type == "link_open":
                link = self._link(str(part.attrGet("href") or ""), line)
            elif part.type == "link_close":
                link = ""
            elif part.type in ("softbreak", "hardbreak"):
                found.append(Span(" ", bool(strong), bool(em), link=link))
            elif part.type == "image":
                raise BadInput(
                    "a drawing stands in a paragraph of its own", file=self.file, line=line, found=part.content,
                    allowed=f"![words]({SCHEME}NAME) between blank lines",
                )  # fmt: skip
            elif part.type in ("text", "code_inline"):
                code = part.type == "code_inline"
                found += [Span(part.content, bool(strong), bool(em), code, link)] if part.content else []
            else:
                raise self._refused(part, line)
        return tuple(found)

    def _link(self, address: str, line: int) -> str:
        if not address.startswith(_LINKS) or address.startswith("//"):
            raise BadInput(
                "this address is not used in a lesson", file=self.file, line=line, found=unquote(address),
                allowed="lesson:NAME, a page of the app such as /bench, https://…",
            )  # fmt: skip
        return address

    def _figure(self, tokens: Sequence[Token], line: int) -> Block | None:
        """The drawing when the paragraph is nothing else."""
        parts = tokens[0].children or [] if tokens and tokens[0].type == "inline" else []
        if len(parts) != 1 or parts[0].type != "image":
            return None
        address = unquote(str(parts[0].attrGet("src") or ""))
        if not address.startswith(SCHEME):
            raise BadInput(
                "drawings are called by name, not by address", file=self.file, line=line, found=address,
                allowed=f"{SCHEME}NAME, see `setwright lesson figures`",
            )  # fmt: skip
        split = urlsplit(address.removeprefix(SCHEME))
        given: dict[str, str] = {}
        for name, value in parse_qsl(split.query, keep_blank_values=True):
            if name in given or not value:
                raise BadInput("said twice, or with nothing", file=self.file, line=line, found=name)
            given[name] = value
        return Block("figure", line, (Span(parts[0].content),), figure=split.path, given=given)
