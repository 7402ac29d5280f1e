"""Words of page templates as messages: found when a template is read, put into another language once, not per page.

A run of text between two block elements is one message. What is computed within it is `{name}`, markup within it is
`<1>…</1>`; both may change places. Text of titles, labels and placeholders, and fixed words within an expression, are
messages of their own. English templates are compiled as they stand.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, MutableMapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from html import escape, unescape
from typing import Any

from jinja2 import BaseLoader, Environment, Template, nodes

from setwright.sheets.speech import ENGLISH, catalogue, placeholders

Put = Callable[[str], str]
# Elements that stand within a sentence; every other one ends it.
INLINE = frozenset(("a", "abbr", "b", "code", "em", "i", "kbd", "q", "small", "span", "strong", "sub", "sup", "time"))
READ_OUT = frozenset(("alt", "aria-label", "data-l", "placeholder", "title"))
RAW = frozenset(("script", "style"))
# Shorter literals are endings and marks, and mean nothing by themselves.
LEAST_LITERAL = 3
_TAG = re.compile(r"<(/?)([A-Za-z][A-Za-z0-9-]*)")
_ATTRIBUTE = re.compile(r"([A-Za-z][\w:-]*)\s*=\s*([\"'])")
_SPACE = re.compile(r"[ \t\r\n]+")
_HOLD = re.compile(r"(\{[a-z_0-9]+\}|</?\d+>)")
# An attribute that a macro adds to the tag of its caller.
_MARKUP = re.compile(r"\s*[a-z-]+=[\"']")
_KEEPS = frozenset(("capitalize", "lower", "title", "upper"))


def has_words(text: str) -> bool:
    """Whether there is anything to say in another language: a letter outside of placeholders, and no bare markup."""
    return any(letter.isalpha() for letter in _HOLD.sub("", text)) and not _MARKUP.match(text)


@dataclass
class _Tag:
    """A whole tag of an inline element."""

    name: str
    closing: bool
    parts: list[nodes.Expr] = field(default_factory=list)


@dataclass
class _Text:
    """Text of the page, as it is read, not as it is escaped."""

    text: str


_Part = _Text | _Tag | nodes.Expr


@dataclass
class _Run:
    """Where the walk is within the markup; a template is walked once, from its first letter to its last."""

    put: Put
    language: str
    where: str = "text"
    tag: str = ""
    attribute: str = ""
    quote: str = ""

    # One Output of the template at a time.
    made: list[nodes.Expr] = field(default_factory=list)
    sentence: list[_Part] = field(default_factory=list)
    value: list[_Part] = field(default_factory=list)
    open_tag: _Tag | None = None

    def output(self, parts: Sequence[nodes.Expr]) -> list[nodes.Expr]:
        """The same output with its words put into the language."""
        self.made, self.sentence, self.value, self.open_tag = [], [], [], None
        for part in parts:
            if isinstance(part, nodes.TemplateData):
                self._markup(part.data)
            elif self.where == "text":
                self.sentence.append(_with_literals(part, self.put))
            elif self.where == "value" and self.attribute in READ_OUT:
                self.value.append(_with_literals(part, self.put))
            else:
                self._raw(part)
        self._end_value()
        self._break_tag()
        self._end_sentence()
        return self.made

    def _raw(self, part: nodes.Expr | str) -> None:
        """Markup that stays as it is, within an inline tag or on its own."""
        made = nodes.TemplateData(part) if isinstance(part, str) else part
        if self.open_tag is not None:
            self.open_tag.parts.append(made)
        else:
            self.made.append(made)

    def _markup(self, data: str) -> None:
        at = 0
        while at < len(data):
            at = {"text": self._text, "tag": self._within, "value": self._quoted, "raw": self._skip}[self.where](
                data, at
            )

    def _text(self, data: str, at: int) -> int:
        found = _TAG.search(data, at)
        if data.startswith("<!", at):
            end = data.find(">", at) + 1 or len(data)
            self._end_sentence()
            self._raw(data[at:end])
            return end
        end = len(data) if found is None else found.start()
        if end > at:
            self.sentence.append(_Text(unescape(data[at:end])))
        if found is None:
            return end
        self.tag = found[1] + found[2].lower()
        if self.tag.lstrip("/") in INLINE:
            self.open_tag = _Tag(self.tag.lstrip("/"), bool(found[1]))
        else:
            self._end_sentence()
        self._raw(found[0])
        self.where = "tag"
        return found.end()

    def _within(self, data: str, at: int) -> int:
        close = data.find(">", at)
        found = _ATTRIBUTE.search(data, at, len(data) if close < 0 else close)
        if found is not None:
            self.attribute, self.quote, self.where = found[1].lower(), found[2], "value"
            self._raw(data[at : found.end()])
            return found.end()
        if close < 0:
            self._raw(data[at:])
            return len(data)
        self._raw(data[at : close + 1])
        if self.open_tag is not None:
            self.sentence.append(self.open_tag)
            self.open_tag = None
        self.where = "raw" if self.tag in RAW and not data[:close].endswith("/") else "text"
        return close + 1

    def _quoted(self, data: str, at: int) -> int:
        end = data.find(self.quote, at)
        words = data[at:] if end < 0 else data[at:end]
        if self.attribute in READ_OUT:
            if words:
                self.value.append(_Text(unescape(words)))
        elif self.tag == "html" and self.attribute == "lang":
            self._raw(self.language)
        elif words:
            self._raw(words)
        if end < 0:
            return len(data)
        self._end_value()
        self._raw(data[end])
        self.where = "tag"
        return end + 1

    def _skip(self, data: str, at: int) -> int:
        end = data.find(f"</{self.tag}", at)
        if end < 0:
            self._raw(data[at:])
            return len(data)
        self._raw(data[at:end])
        self.where = "text"
        return end

    def _end_value(self) -> None:
        if self.value:
            for part in _said(self.value, self.put, quoted=True):
                self._raw(part)
            self.value = []

    def _break_tag(self) -> None:
        """A tag that goes on behind a condition ends its sentence."""
        if self.open_tag is not None:
            broken, self.open_tag = self.open_tag.parts, None
            self._end_sentence()
            self.made += broken

    def _end_sentence(self) -> None:
        # A tag that is being read belongs behind the sentence, not into it.
        if self.sentence:
            self.made += _sentences(self.sentence, self.put)
            self.sentence = []


def _sentences(parts: list[_Part], put: Put) -> list[nodes.Expr]:
    """Output of a run of text: cut where a tag has no partner within it, and said piece by piece."""
    partner = _partners(parts)
    found: list[nodes.Expr] = []
    piece: list[_Part] = []
    for at, part in enumerate(parts):
        if isinstance(part, _Tag) and at not in partner:
            found += [*_said(piece, put), *part.parts]
            piece = []
        else:
            piece.append(part)
    return found + _said(piece, put)


def _partners(parts: Sequence[_Part]) -> dict[int, int]:
    """Which tag opens or closes which, by place; those without a partner are left out."""
    found: dict[int, int] = {}
    waiting: list[int] = []
    for at, part in enumerate(parts):
        if not isinstance(part, _Tag):
            continue
        if not part.closing:
            waiting.append(at)
        elif waiting and _name_at(parts, waiting[-1]) == part.name:
            start = waiting.pop()
            found[start], found[at] = at, start
        else:
            waiting.clear()
    return found


def _name_at(parts: Sequence[_Part], at: int) -> str:
    part = parts[at]
    return part.name if isinstance(part, _Tag) else ""


def _said(parts: list[_Part], put: Put, *, quoted: bool = False) -> list[nodes.Expr]:
    """Output of one sentence in the language."""
    before, within, after = _peeled(parts)
    message, held = _message(within)
    start, end = len(message) - len(message.lstrip()), len(message.rstrip())
    bare = message[start:end]
    if not has_words(bare):
        return [one for part in parts for one in _plain(part, quoted)]
    told = put(bare)
    if placeholders(told) != placeholders(bare):
        told = bare
    found = [one for part in before for one in _plain(part, quoted)]
    for piece in _HOLD.split(f"{message[:start]}{told}{message[end:]}"):
        if piece in held:
            found += held[piece]
        elif piece:
            found.append(nodes.TemplateData(escape(piece, quote=quoted)))
    return found + [one for part in after for one in _plain(part, quoted)]


def _peeled(parts: list[_Part]) -> tuple[list[_Part], list[_Part], list[_Part]]:
    """Space and tags around a sentence, which are no part of it."""
    partner = _partners(parts)
    low, high = 0, len(parts)
    while low < high:
        first, last = parts[low], parts[high - 1]
        if isinstance(first, _Text) and not first.text.strip():
            low += 1
        elif isinstance(last, _Text) and not last.text.strip():
            high -= 1
        elif isinstance(first, _Tag) and partner.get(low) == high - 1:
            low, high = low + 1, high - 1
        else:
            break
    return parts[:low], parts[low:high], parts[high:]


def _message(parts: Sequence[_Part]) -> tuple[str, dict[str, list[nodes.Expr]]]:
    """The sentence with its placeholders, and what each of them holds."""
    words: list[str] = []
    held: dict[str, list[nodes.Expr]] = {}
    numbers: dict[int, int] = {}
    partner = _partners(parts)
    for at, part in enumerate(parts):
        if isinstance(part, _Text):
            words.append(_SPACE.sub(" ", part.text))
            continue
        if isinstance(part, _Tag):
            number = numbers.setdefault(min(at, partner[at]), len(numbers) + 1)
            name, inner = f"<{'/' if part.closing else ''}{number}>", part.parts
        else:
            plain = _name(part)
            count = 1
            while (name := f"{{{plain}{'' if count == 1 else f'_{count}'}}}") in held:
                count += 1
            inner = [part]
        held[name] = inner
        words.append(name)
    return "".join(words), held


def _plain(part: _Part, quoted: bool) -> list[nodes.Expr]:
    if isinstance(part, _Text):
        return [nodes.TemplateData(escape(part.text, quote=quoted))]
    return list(part.parts) if isinstance(part, _Tag) else [part]


def _name(part: nodes.Node) -> str:
    """What an expression is called, as a translator reads it."""
    if isinstance(part, nodes.Name):
        found = part.name
    elif isinstance(part, nodes.Getattr):
        found = part.attr
    elif isinstance(part, nodes.Getitem) and isinstance(part.arg, nodes.Const) and isinstance(part.arg.value, str):
        found = part.arg.value
    elif isinstance(part, nodes.Filter) and part.name == "format" and part.args:
        return _name(part.args[0])
    elif isinstance(part, nodes.Filter | nodes.Getitem | nodes.Call) and part.node is not None:
        return _name(part.node)
    elif isinstance(part, nodes.CondExpr):
        return _name(part.expr1)
    elif isinstance(part, nodes.BinExpr):
        return _name(part.left)
    else:
        found = "value"
    return re.sub(r"[^a-z0-9]+", "_", found.lower()).strip("_") or "value"


def _with_literals(part: nodes.Expr, put: Put) -> nodes.Expr:
    """The expression with its fixed words put into the language; what is only compared stays."""
    if isinstance(part, nodes.Const) and isinstance(part.value, str):
        words = part.value.strip()
        if len(words) >= LEAST_LITERAL and has_words(words):
            lead = len(part.value) - len(part.value.lstrip())
            part.value = part.value[:lead] + put(words) + part.value[lead + len(words) :]
    elif isinstance(part, nodes.CondExpr):
        part.expr1 = _with_literals(part.expr1, put)
        part.expr2 = None if part.expr2 is None else _with_literals(part.expr2, put)
    elif isinstance(part, nodes.Or):
        part.left, part.right = _with_literals(part.left, put), _with_literals(part.right, put)
    elif isinstance(part, nodes.Concat):
        part.nodes = [_with_literals(one, put) for one in part.nodes]
    elif isinstance(part, nodes.Filter) and part.name in _KEEPS and part.node is not None:
        part.node = _with_literals(part.node, put)
    return part


def put_into(tree: nodes.Template, put: Put, language: str) -> nodes.Template:
    """A template, as it was read, with all its words put into a language; `put` may only listen.

    Parameters
    ----------
    tree : nodes.Template
        What `Environment.parse` gave; it is changed.
    put : callable
        Takes a message, gives it in the language with the same placeholders; with others it is not used.
    language : str
        Two letters, for the page's own `lang`.
    """
    _walk(tree.body, _Run(put, language))
    return tree


def _walk(body: list[nodes.Node], run: _Run) -> None:
    for one in body:
        if isinstance(one, nodes.Output):
            one.nodes = run.output(one.nodes)
        elif isinstance(one, nodes.If):
            start = (run.where, run.tag, run.attribute, run.quote)
            for branch in (one.body, *(part.body for part in one.elif_), one.else_):
                run.where, run.tag, run.attribute, run.quote = start
                _walk(branch, run)
                kept = (run.where, run.tag, run.attribute, run.quote)
                if branch is one.body:
                    end = kept
            run.where, run.tag, run.attribute, run.quote = end
        else:
            for name in ("body", "else_"):
                _walk(getattr(one, name, None) or [], run)


class SpeakingLoader(BaseLoader):
    """Loads templates from another loader with their words put into a language.

    Parameters
    ----------
    loader : BaseLoader
        Where the English ones are.
    put : callable
        Takes a message, gives it in the language.
    language : str
        Two letters.
    """

    def __init__(self, loader: BaseLoader, put: Put, language: str) -> None:
        self.loader, self.put, self.language = loader, put, language

    def load(self, environment: Environment, name: str, globals: MutableMapping[str, Any] | None = None) -> Template:
        """The template by name, compiled."""
        if not name.endswith(".html"):
            return self.loader.load(environment, name, globals)
        source, filename, uptodate = self.loader.get_source(environment, name)
        tree = put_into(environment.parse(source, name, filename), self.put, self.language)
        code = environment.compile(tree, name, filename)
        return environment.template_class.from_code(environment, code, globals or {}, uptodate)


@cache
def in_language(english: Environment, language: str) -> Environment:
    """The same templates in a language; what is computed passes through its catalogue when a page is made."""
    if language == ENGLISH:
        return english
    assert english.loader is not None
    known = catalogue(language)

    def computed(value: Any) -> Any:
        # Markup is a drawing or a part of a page, which has its words already.
        return known.put_computed(value) if type(value) is str else value

    return english.overlay(loader=SpeakingLoader(english.loader, known.put, language), finalize=computed)


def messages(environment: Environment, names: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Every message of the templates with the name of its template, in order; a message may come again."""
    loader = environment.loader
    assert loader is not None
    for name in names:
        heard: list[str] = []

        def listen(words: str, heard: list[str] = heard) -> str:
            heard.append(words)
            return words

        put_into(environment.parse(loader.get_source(environment, name)[0], name), listen, "en")
        yield from ((words, name) for words in heard)
