"""A file that people write, changed as data: what nobody changed stays as it was written, letter by letter."""

from __future__ import annotations

from collections.abc import Callable
from difflib import SequenceMatcher

from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import dump, load, plain

# Begin and end of lines in the old list, and of those that stand for them in the new one.
Hunk = tuple[int, int, int, int]


def rewritten(text: str, change: Callable[[CommentedMap], None], *, file: object) -> str:
    """The text after a change to its data; comments, order, quotes and quantities elsewhere are kept.

    Parameters
    ----------
    text : str
        YAML as it stands.
    change : callable
        Changes the loaded map in place.
    file : object
        Named in errors.

    Raises
    ------
    BadInput
        When the text cannot be read, or the change refuses.
    """
    unix = text.replace("\r\n", "\n")
    same = load(unix, file=file, comments=True)
    data = load(unix, file=file, comments=True)
    change(data)
    wanted = plain(data)
    if plain(same) == wanted:
        return text
    before, after = dump(same), dump(data)
    ending = "\r\n" if "\r\n" in text else "\n"
    merged = _merged(text.splitlines(keepends=True), before.splitlines(), after.splitlines(), ending)
    for found in (merged, after.replace("\n", ending)):
        if _holds(found, wanted, file):
            return found
    raise BadInput("this change cannot be written into the file", file=file)


def _holds(text: str, wanted: object, file: object) -> bool:
    try:
        return bool(plain(load(text, file=file)) == wanted)
    except BadInput:
        return False


def _hunks(old: list[str], new: list[str]) -> list[Hunk]:
    """Where two lists of lines differ."""
    head = 0
    while head < min(len(old), len(new)) and old[head] == new[head]:
        head += 1
    tail = 0
    while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    left, right = old[head : len(old) - tail], new[head : len(new) - tail]
    return [
        (head + a1, head + a2, head + b1, head + b2)
        for tag, a1, a2, b1, b2 in SequenceMatcher(None, left, right).get_opcodes()
        if tag != "equal"
    ]


def _merged(lines: list[str], before: list[str], after: list[str], ending: str) -> str:
    """The text as written, with those lines changed that differ between two ways of writing it anew."""
    written = _hunks([line.rstrip("\r\n") for line in lines], before)
    out: list[str] = []
    at = 0
    for begin, end, first, last in _widened(_hunks(before, after), written):
        start, stop = (
            edge + sum((a2 - a1) - (b2 - b1) for a1, a2, b1, b2 in written if b2 <= edge) for edge in (begin, end)
        )
        out += lines[at:start]
        if out and not out[-1].endswith(("\n", "\r")):
            out[-1] += ending
        out += [line + ending for line in after[first:last]]
        at = stop
    return "".join(out + lines[at:])


def _widened(changed: list[Hunk], written: list[Hunk]) -> list[Hunk]:
    """Changes that take in the whole of every piece that was written otherwise and that they touch."""
    found: list[Hunk] = []
    for begin, end, first, last in changed:
        for _, _, low, high in written:
            if low < end and begin < high:
                first, last = first - max(begin - low, 0), last + max(high - end, 0)
                begin, end = min(begin, low), max(end, high)
        if found and begin < found[-1][1]:
            earlier = found.pop()
            begin, first = min(begin, earlier[0]), min(first, earlier[2])
            end, last = max(end, earlier[1]), max(last, earlier[3])
        found.append((begin, end, first, last))
    return found
