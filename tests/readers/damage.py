"""Ways to damage a file: cuts, doublings, foreign bytes and hostile values, as Hypothesis draws and shrinks them."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

# What readers have stumbled over anywhere: ends, encodings, numbers that are none, nesting, names of other things.
TOKENS = (
    "", "\0", "\n", "\r\n", "\t", '"', "'", "{", "}", "[", "]", ",", ";", ":", ": ", "- ", "#", "|", ">", "%",
    "\\", "&a ", "*a", "<<: *a", "!!python/object:os.system", "? ", "---\n", "...\n", "null", "~", "true", "no",
    "NaN", ".inf", "-.inf", "Infinity", "1e999", "-1", "0", "-0", "9" * 60, "1_000", "0x7f", "1e-320", "1/0", "½",
    "4⅞", "−3", "3 lbf", "3 in", "1 furlong", "degC", "2026-02-30", "9999-12-31T23:59:59Z", "0000-00-00",
    "2026-12-20T10:00:00+99:99", "P1D", "PT24H", "é", "\u202e", "\ufeff", "\u2028", "\ud7ff", "😀", "<script>",
    "]]>", "<!DOCTYPE x [<!ENTITY a 'b'>]>", "&a;", "../../x", "C:\\x", "/", "=1+1", "{{7*7}}", "%s", "a" * 300,
    "[" * 200, "{" * 200, "Point", "coordinates", "schema", "id",
)  # fmt: skip
VALUES = (
    None, True, False, 0, -1, 1.5, 1e308, -1e308, float("nan"), float("inf"), 2**70, "", "x", "\0", "é" * 50, [], {},
    [[]], [None], {"": None}, [1, 2], [[1, 2], [3, 4]], "2026-02-30", "3 lbf", {"value": "x"},
    {"value": 1, "unit": None},
)  # fmt: skip

_place = st.floats(0.0, 1.0, exclude_max=True)
_cut = st.tuples(st.just("cut"), _place, st.integers(1, 40))
_double = st.tuples(st.just("double"), _place, st.integers(1, 200))
_put = st.tuples(st.just("put"), _place, st.sampled_from(TOKENS))
_over = st.tuples(st.just("over"), _place, st.sampled_from(TOKENS))
_end = st.tuples(st.just("end"), _place, st.just(0))
_line = st.tuples(st.just("line"), _place, _place)
_byte = st.tuples(st.just("byte"), _place, st.integers(0, 255))
EDITS = st.lists(st.one_of(_cut, _double, _put, _over, _end, _line, _byte), min_size=1, max_size=4)
SWAPS = st.lists(st.tuples(_place, st.sampled_from(("set", "drop", "wrap")), st.sampled_from(VALUES)), max_size=3)


def damaged(content: bytes, edits: list[tuple[Any, ...]]) -> bytes:
    """A copy of a file with some edits made, one after the other."""
    for kind, where, what in edits:
        at = int(where * len(content))
        if kind == "cut":
            content = content[:at] + content[at + what :]
        elif kind == "double":
            content = content[: at + what] + content[at:]
        elif kind == "put":
            content = content[:at] + what.encode("utf-8", "replace") + content[at:]
        elif kind == "over":
            token = what.encode("utf-8", "replace")
            content = content[:at] + token + content[at + max(len(token), 1) :]
        elif kind == "end":
            content = content[:at]
        elif kind == "line":
            lines = content.split(b"\n")
            one, other = int(where * len(lines)), int(what * len(lines))
            lines[one], lines[other] = lines[other], lines[one]
            content = b"\n".join(lines)
        else:
            content = content[:at] + bytes([what]) + content[at + 1 :]
    return content


def swapped(text: str, swaps: list[tuple[float, str, Any]]) -> str:
    """JSON with values set to others, taken away or wrapped, wherever they stand."""
    data = json.loads(text)
    for where, act, value in swaps:
        places = list(_places(data))
        if not places:
            break
        parent, key = places[int(where * len(places))]
        if act == "set":
            parent[key] = deepcopy(value)
        elif act == "wrap":
            parent[key] = [parent[key]]
        elif isinstance(parent, dict):
            del parent[key]
        else:
            parent.pop(key)
    return json.dumps(data)


def _places(node: Any) -> Any:
    for key in list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ():
        yield node, key
        yield from _places(node[key])
