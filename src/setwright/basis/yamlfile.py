"""YAML files read safely, with the line of every value kept for error messages."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.composer import Composer
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.parser import Parser
from ruamel.yaml.scanner import Scanner

from setwright.basis.errors import BadInput
from setwright.basis.fields import unwrap

LIMIT = 5_000_000
DEPTH = 40
# Escapes can bring these into a value; they break a line of the terminal, a path and XML.
CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
Model = TypeVar("Model", bound=BaseModel)


def read_text(path: Path, *, limit: int = LIMIT) -> str:
    """Read a user's text file; BadInput when it is absent, too large or not UTF-8."""
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise BadInput("this is not a file", file=path)
        if size > limit:
            raise BadInput("the file is too large", file=path, found=f"{size} bytes", allowed=f"up to {limit} bytes")
        raw = path.read_bytes()
    except OSError as error:
        raise BadInput("the file cannot be read", file=path, found=error.strerror or "error") from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise BadInput(
            "the file is not UTF-8 text", file=path, line=line,
            found=f"byte 0x{raw[error.start]:02x}", allowed="text saved as UTF-8",
        ) from None  # fmt: skip
    if "\x00" in text:
        raise BadInput("the file holds zero bytes", file=path, allowed="plain text")
    return text


class _PlainComposer(Composer):
    """Refuses anchors, aliases and tags before anything is built from them."""

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.parser.peek_event()
        for name, words in (("anchor", "anchors and aliases are not used here"), ("tag", "tags are not used here")):
            found = getattr(event, name, None)
            if found:
                raise BadInput(words, line=event.start_mark.line + 1, found=found)
        return super().compose_node(parent, index)


def _yaml(*, comments: bool = True) -> YAML:
    yaml = YAML(typ="rt")
    if not comments:
        # Half of the reading time goes into comments.
        yaml.Scanner, yaml.Parser = Scanner, Parser
    yaml.Composer = _PlainComposer
    yaml.preserve_quotes = True
    # A long line stays one line and a map of one field keeps its braces, so that nothing looks changed that is not.
    yaml.width = 1_000_000
    yaml.brace_single_entry_mapping_in_flow_sequence = True
    yaml.allow_duplicate_keys = False
    return yaml


def load(text: str, *, file: object, comments: bool = False) -> CommentedMap:
    """Parse YAML into a map that keeps lines, and comments when it is to be written back; BadInput on any fault.

    Aliases and custom tags are refused: a line book needs neither, and both can be made hostile.
    """
    yaml = _yaml(comments=comments)
    try:
        data = yaml.load(text)
    except BadInput as error:
        raise error.at(file=file) from None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise BadInput(
            f"not readable as YAML: {(error.problem or error.context or 'broken').splitlines()[0]}",
            file=file, line=None if mark is None else mark.line + 1,
        ) from None  # fmt: skip
    except TypeError:
        # What the parser answers where a list stands within a name.
        raise BadInput("not readable as YAML: a list or a map stands where a name should", file=file) from None
    except (YAMLError, RecursionError, ValueError) as error:
        reason = (str(error) or type(error).__name__).splitlines()[0]
        raise BadInput(f"not readable as YAML: {reason}", file=file) from None
    if not isinstance(data, CommentedMap):
        raise BadInput("the file must hold named fields at its top", file=file, line=1, found=type(data).__name__)
    _check_depth(data, file)
    _check_characters(data, data, (), file)
    return data


def _check_characters(data: CommentedMap, node: Any, path: tuple[str | int, ...], file: object) -> None:
    """Refuse control characters in values, and line breaks in names as well."""
    if isinstance(node, dict):
        for key, value in node.items():
            if isinstance(key, str) and (CONTROL.search(key) or "\n" in key):
                place = ".".join(map(str, path)) or None
                raise BadInput(
                    "this name holds control characters", file=file, line=line_of(data, (*path, key)), field=place,
                    found=key,
                )  # fmt: skip
            _check_characters(data, value, (*path, key), file)
    elif isinstance(node, list):
        for index, value in enumerate(node):
            _check_characters(data, value, (*path, index), file)
    elif isinstance(node, str) and CONTROL.search(node):
        raise BadInput(
            "this text holds control characters", file=file, line=line_of(data, path),
            field=".".join(map(str, path)), found=node,
        )  # fmt: skip


def _check_depth(data: Any, file: object) -> None:
    level: list[Any] = [data]
    for _ in range(DEPTH):
        level = [
            child
            for node in level
            for child in (node.values() if isinstance(node, dict) else node)
            if isinstance(child, (dict, list))
        ]
        if not level:
            return
    raise BadInput("the file is nested too deeply", file=file, allowed=f"up to {DEPTH} levels")


def dump(data: CommentedMap) -> str:
    """Write a map back that was loaded with comments; they, order, quotes and the place of the dashes are kept."""
    out = io.StringIO()
    yaml = _yaml()
    offset = _dash_offset(data)
    yaml.indent(mapping=2, sequence=offset + 2, offset=offset)
    yaml.dump(data, out)
    return out.getvalue()


def _dash_offset(data: Any, column: int = 0) -> int:
    """How far the first block list that was read stands in from its parent's fields; 2 without one."""
    for value in data.values():
        if isinstance(value, CommentedSeq) and value and not value.fa.flow_style() and value.lc.col is not None:
            return max(0, min(8, int(value.lc.col) - column))
        if isinstance(value, CommentedMap) and not value.fa.flow_style() and value.lc.col is not None:
            found = _dash_offset(value, int(value.lc.col))
            if found >= 0 and _has_list(value):
                return found
    return 2


def _has_list(data: CommentedMap) -> bool:
    return any(
        (isinstance(value, CommentedSeq) and value and not value.fa.flow_style() and value.lc.col is not None)
        or (isinstance(value, CommentedMap) and _has_list(value))
        for value in data.values()
    )


def plain(node: Any) -> Any:
    """Copy of a loaded tree in plain Python types."""
    if isinstance(node, dict):
        return {str(key): plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [plain(value) for value in node]
    if isinstance(node, bool) or node is None:
        return node
    for kind in (int, float, str):
        if isinstance(node, kind):
            return kind(node)
    return node


def line_of(data: Any, path: tuple[str | int, ...]) -> int | None:
    """Line (from 1) of the value at `path`, or of the nearest parent that has one.

    A step into a list may be a number or the `id` of an entry.
    """
    found: int | None = None
    node = data
    for step in path:
        if isinstance(node, CommentedSeq) and isinstance(step, str):
            step = next((i for i, part in enumerate(node) if isinstance(part, dict) and part.get("id") == step), step)
        try:
            if isinstance(node, CommentedMap) and step in node:
                found = node.lc.value(step)[0] + 1 if _scalar(node[step]) else node.lc.key(step)[0] + 1
            elif isinstance(node, CommentedSeq) and isinstance(step, int) and step < len(node):
                found = node.lc.item(step)[0] + 1
            else:
                return found
        except (KeyError, AttributeError, TypeError):
            return found
        node = node[step]
    return found


def _scalar(node: Any) -> bool:
    return not isinstance(node, (dict, list))


def validate(model: type[Model], data: CommentedMap, *, file: object) -> Model:
    """Check a loaded map against a pydantic model; BadInput names file, line, field, found, allowed."""
    try:
        return model.model_validate(plain(data))
    except ValidationError as error:
        more = error.error_count() - 1
        first = _fault(error.errors(include_url=False)[0], data, file)
        if more:
            first.message += f" (and {more} more)"
        raise first from None


def faults(model: type[BaseModel], data: CommentedMap, *, file: object) -> list[BadInput]:
    """Everything by which a loaded map breaks a pydantic model, each as `validate` would name it."""
    try:
        model.model_validate(plain(data))
    except ValidationError as error:
        return [_fault(one, data, file) for one in error.errors(include_url=False)]
    return []


def _fault(found: Any, data: CommentedMap, file: object) -> BadInput:
    path = tuple(step for step in found["loc"] if not _tag(step))
    message, value, allowed = _words(found, unwrap(found.get("ctx", {}).get("error")))
    return BadInput(
        message, file=file, line=line_of(data, path), field=".".join(str(step) for step in path), found=value,
        allowed=allowed,
    )  # fmt: skip


def _tag(step: str | int) -> bool:
    """True for the steps that pydantic adds for unions and validators, which no file contains."""
    return isinstance(step, str) and ("[" in step or "(" in step or step.startswith("function-"))


def _words(first: Any, inner: Any) -> tuple[str, Any, str | None]:
    kind, context = first["type"], first.get("ctx", {})
    found = first.get("input")
    shown = None if isinstance(found, (dict, list)) else found
    if isinstance(inner, BadInput):
        return inner.message, inner.found if inner.found is not None else shown, inner.allowed
    if inner is not None:
        return str(inner), shown, None
    if kind == "missing":
        return "this field is missing", None, None
    if kind == "extra_forbidden":
        return "this field is not known here", None, None
    if kind == "literal_error":
        return "this word is not known here", shown, str(context.get("expected", "")).replace("'", "")
    if kind == "enum":
        return "this word is not known here", shown, str(context.get("expected", "")).replace("'", "")
    if kind == "string_pattern_mismatch":
        return "this text has another form", shown, str(context.get("pattern"))
    return str(first["msg"]).lower(), shown, None
