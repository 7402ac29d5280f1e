"""Single changes to a loaded YAML tree that leave the comments and blank lines around them where they were."""

from __future__ import annotations

from typing import Any

from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import CommentMark
from ruamel.yaml.tokens import CommentToken


def put(parent: CommentedMap, key: str, value: Any) -> None:
    """Set a field; a new one comes last, before the blank lines and comments that follow its map."""
    if key in parent:
        tail = _taken(parent, key)
        parent[key] = _fresh(value)
        _given(parent, key, tail)
        return
    tail = "" if not parent else _taken(parent, list(parent)[-1])
    parent[key] = _fresh(value)
    _given(parent, key, tail)


def drop(parent: CommentedMap, key: str) -> None:
    """Take a field out; blank lines and comments after it stay."""
    keys = list(parent)
    at = keys.index(key)
    tail = _taken(parent, key)
    del parent[key]
    parent.ca.items.pop(key, None)
    if at:
        _given(parent, keys[at - 1], tail, more=True)


def append(parent: CommentedSeq, value: Any) -> None:
    """Add an entry at the end, with a blank line before it where the others have one."""
    apart = len(parent) > 1 and ("\n" in _tail_of(parent, len(parent) - 2) or _before(parent, len(parent) - 1))
    tail = _taken(parent, len(parent) - 1) if len(parent) else ""
    if apart:
        _given(parent, len(parent) - 1, "\n")
    parent.append(_fresh(value))
    _given(parent, len(parent) - 1, tail)


def drop_at(parent: CommentedSeq, at: int) -> None:
    """Take an entry out with the comments before it; those after it, which speak of the next one, stay."""
    tail = _taken(parent, at)
    del parent[at]
    if at:
        _taken(parent, at - 1)
        _given(parent, at - 1, tail)
    elif len(parent) and "#" in tail:
        words = "\n".join(line.strip().removeprefix("#").strip() for line in tail.splitlines() if line.strip())
        parent.yaml_set_comment_before_after_key(0, before=words, indent=parent.lc.col)


def replace_at(parent: CommentedSeq, at: int, values: list[Any]) -> None:
    """Put other entries in the place of one."""
    tail = _taken(parent, at)
    parent[at] = _fresh(values[0])
    for step, value in enumerate(values[1:], start=1):
        parent.insert(at + step, _fresh(value))
    _given(parent, at + len(values) - 1, tail)


def flow(value: dict[str, Any]) -> CommentedMap:
    """A map that is written in one line."""
    made = CommentedMap(value)
    made.fa.set_flow_style()
    return made


def _fresh(value: Any) -> Any:
    """The value as a node of its own; maps and lists within it are written in one line."""
    if isinstance(value, (CommentedMap, CommentedSeq)):
        return value
    if isinstance(value, dict):
        return flow({key: _fresh(part) for key, part in value.items()})
    if isinstance(value, list):
        made = CommentedSeq([_fresh(part) for part in value])
        made.fa.set_flow_style()
        return made
    return value


def _end(parent: Any, key: Any) -> tuple[Any, Any]:
    """Where the comment after an entry hangs: on the last entry of the last block within it."""
    value = parent[key]
    while isinstance(value, (CommentedMap, CommentedSeq)) and len(value) and not value.fa.flow_style():
        parent, key = value, (list(value)[-1] if isinstance(value, CommentedMap) else len(value) - 1)
        value = parent[key]
    return parent, key


def _token(parent: Any, key: Any) -> CommentToken | None:
    found = parent.ca.items.get(key)
    place = 2 if isinstance(parent, CommentedMap) else 0
    return None if not found or found[place] is None else found[place]


def _tail_of(parent: Any, key: Any) -> str:
    token = _token(*_end(parent, key))
    return "" if token is None else token.value.partition("\n")[2]


def _before(parent: CommentedSeq, at: int) -> bool:
    """Whether blank lines or comments hang before an entry."""
    found = parent.ca.items.get(at)
    return bool(found and found[1])


def _taken(parent: Any, key: Any) -> str:
    """The lines after an entry, taken off it; the comment in its own line stays."""
    token = _token(*_end(parent, key))
    if token is None:
        return ""
    own, _, rest = token.value.partition("\n")
    token._value = own + "\n"
    if not own.strip():
        holder, at = _end(parent, key)
        del holder.ca.items[at]
    return rest


def _given(parent: Any, key: Any, tail: str, *, more: bool = False) -> None:
    """Hang lines on an entry, after those that hang there when `more`."""
    if not tail:
        return
    holder, at = _end(parent, key)
    token = _token(holder, at)
    if token is not None:
        own, _, rest = token.value.partition("\n")
        token._value = f"{own}\n{rest if more else ''}{tail}"
        return
    made = CommentToken(f"\n{tail}", CommentMark(0), None)
    holder.ca.items[at] = [None, None, made, None] if isinstance(holder, CommentedMap) else [made, None, None, None]
