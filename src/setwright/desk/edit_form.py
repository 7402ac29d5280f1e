"""Forms over parts of a line book: what stands in the fields, and what a sent form changes in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import CONTROL, plain
from setwright.desk import edit_values as values
from setwright.line import retouch

SPARE = 2
LONGEST, MOST_ROWS = 4000, 100
READERS: dict[str, Callable[[str], Any]] = {
    "text": values.text_value, "long": values.text_value, "choice": values.text_value, "key": values.text_value,
    "quantity": values.quantity_value, "whole": values.whole_value, "number": values.number_value,
    "day": values.day_value, "clock": values.clock_value, "names": values.names_value,
    "truth": lambda text: text == "yes", "position": values.position_value, "grid": values.position_value,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form.

    Parameters
    ----------
    path : str
        Where it stands in its part of the file, with dots.
    label : str
        What it is called.
    kind : str
        `text`, `long`, `choice`, `key` (a choice that may be typed), `quantity`, `whole`, `number`, `day`, `clock`,
        `names`, `truth`, `position`, `grid` (a position that is shown on the UTM grid), `rows` (a list of maps),
        `pairs` (a map of words) or `keyed` (a map of maps).
    choices : tuple
        Values with their words.
    example : str
        What may be typed.
    columns : tuple of Field
        Of the kinds with rows; the first names the row of `pairs` and `keyed`.
    needed : bool
        Whether it may not be left empty.
    """

    path: str
    label: str
    kind: str = "text"
    choices: tuple[tuple[str, str], ...] = ()
    example: str = ""
    columns: tuple[Field, ...] = ()
    needed: bool = False

    @property
    def rowed(self) -> bool:
        """Whether it is a table of rows."""
        return self.kind in ("rows", "pairs", "keyed")


@dataclass(frozen=True, slots=True)
class Section:
    """Fields under one head."""

    head: str
    fields: tuple[Field, ...]
    hint: str = ""


def fields_of(sections: Iterable[Section]) -> tuple[Field, ...]:
    """All fields of a form."""
    return tuple(field for section in sections for field in section.fields)


def shown(field: Field, found: Any) -> str:
    """A value of the file as it stands in its field."""
    if found is None:
        return ""
    if field.kind == "truth":
        return "yes" if found is True else "no" if found is False else str(found)
    if field.kind == "quantity":
        return values.quantity_words(found)
    if field.kind in ("position", "grid"):
        return values.position_words(found, grid=field.kind == "grid")
    if field.kind == "names":
        return ", ".join(str(one) for one in found) if isinstance(found, list) else str(found)
    if field.kind == "clock" and isinstance(found, int):
        return f"{found // 60:02d}:{found % 60:02d}"
    return str(found)


def filled(sections: Iterable[Section], node: Mapping[str, Any]) -> dict[str, str]:
    """What stands in all fields of a form, by their names; rows are `path.number.column`."""
    out: dict[str, str] = {}
    for field in fields_of(sections):
        found = _at(node, field.path)
        if not field.rowed:
            out[field.path] = shown(field, found)
            continue
        rows = _rows(field, found)
        for number in range(min(len(rows) + SPARE, MOST_ROWS)):
            row = rows[number] if number < len(rows) else {}
            for column in field.columns:
                out[f"{field.path}.{number}.{column.path}"] = shown(column, row.get(column.path))
    return out


def apply(sections: Iterable[Section], node: CommentedMap, sent: Mapping[str, str]) -> None:
    """Change a part of the file as a sent form asks; what nobody touched keeps its node and its comments.

    Raises
    ------
    BadInput
        For a value that cannot be written at all; the reader refuses the rest.
    """
    for name, text in sent.items():
        refuse_text(name, text)
    for field in fields_of(sections):
        before = plain(_at(node, field.path))
        if field.rowed:
            if any(name.startswith(f"{field.path}.") for name in sent):
                _write_rows(field, node, before, sent)
            continue
        if field.path not in sent or _clean(sent[field.path]) == _clean(shown(field, before)):
            continue
        text = _clean(sent[field.path])
        _set(node, field.path, READERS[field.kind](text) if text else values.UNKNOWN)


def refuse_text(name: str, text: str) -> None:
    """Refuse what no field of a file may hold.

    Raises
    ------
    BadInput
        For text that is too long, or that holds control characters.
    """
    if len(text) > LONGEST:
        raise BadInput("this text is too long", field=name, allowed=f"up to {LONGEST} characters")
    if CONTROL.search(text.replace("\r\n", "\n")):
        raise BadInput("this text holds control characters", field=name, found=text)


def row_count(field: Field, sent: Mapping[str, str]) -> int:
    """How many rows of a table stand in a form."""
    head = f"{field.path}."
    numbers = [name[len(head) :].partition(".")[0] for name in sent if name.startswith(head)]
    return min(max((int(n) + 1 for n in numbers if n.isdigit()), default=0), MOST_ROWS)


def _clean(text: str) -> str:
    return "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").strip().split("\n"))


def _at(node: Any, path: str) -> Any:
    for step in path.split("."):
        if not isinstance(node, Mapping) or step not in node:
            return None
        node = node[step]
    return node


def _set(node: CommentedMap, path: str, value: Any) -> None:
    """Set or take out a value; maps on the way are made, and taken out when nothing is left in them."""
    step, _, rest = path.partition(".")
    if not rest:
        if value is values.UNKNOWN:
            if step in node:
                retouch.drop(node, step)
        else:
            retouch.put(node, step, value)
        return
    inner = node.get(step)
    if not isinstance(inner, CommentedMap):
        if value is values.UNKNOWN:
            return
        retouch.put(node, step, {})
        inner = node[step]
    _set(inner, rest, value)
    if not inner:
        retouch.drop(node, step)


def _rows(field: Field, found: Any) -> list[dict[str, Any]]:
    if field.kind == "rows":
        return [dict(one) for one in found if isinstance(one, Mapping)] if isinstance(found, list) else []
    if not isinstance(found, Mapping):
        return []
    first = field.columns[0].path
    if field.kind == "pairs":
        return [{first: key, field.columns[1].path: value} for key, value in found.items()]
    return [{first: key, **value} for key, value in found.items() if isinstance(value, Mapping)]


def _write_rows(field: Field, node: CommentedMap, before: Any, sent: Mapping[str, str]) -> None:
    old = _rows(field, before)
    rows: list[dict[str, Any]] = []
    for number in range(row_count(field, sent)):
        texts = {
            column.path: _clean(sent.get(f"{field.path}.{number}.{column.path}", "")) for column in field.columns
        }
        if any(texts.values()):
            rows.append(_row(field.columns, old[number] if number < len(old) else {}, texts))
    if rows == old:
        return
    _set(node, field.path, _gathered(field, rows) if rows else values.UNKNOWN)


def _row(columns: Sequence[Field], old: Mapping[str, Any], texts: Mapping[str, str]) -> dict[str, Any]:
    """One row after a sent form; what has no column of its own is kept."""
    row = dict(old)
    for column in columns:
        text = texts[column.path]
        if text == _clean(shown(column, old.get(column.path))):
            continue
        row.pop(column.path, None)
        if text:
            row[column.path] = READERS[column.kind](text)
    return row


def _gathered(field: Field, rows: Sequence[dict[str, Any]]) -> Any:
    if field.kind == "rows":
        return list(rows)
    first = field.columns[0].path
    found: dict[str, Any] = {}
    for row in rows:
        key = str(row.get(first, ""))
        if field.kind == "pairs":
            found[key] = row.get(field.columns[1].path, "")
        else:
            found[key] = {name: value for name, value in row.items() if name != first}
    return found
