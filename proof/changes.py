"""Small changes to a module of physics, each of which some test ought to notice."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import parso
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator

# Only replacements that still mean something for numbers and arrays: one that ends in a TypeError proves nothing.
_PAIRS = {
    "Add": ("Sub", "Mul"),
    "Sub": ("Add",),
    "Mul": ("Div", "Add"),
    "Div": ("Mul",),
    "FloorDiv": ("Div",),
    "Mod": ("Mul",),
    "Pow": ("Mul",),
    "BitOr": ("BitAnd",),
    "BitAnd": ("BitOr",),
}
_COMPARED = {
    "Lt": ("LtE", "GtE"),
    "LtE": ("Lt", "Gt"),
    "Gt": ("GtE", "LtE"),
    "GtE": ("Gt", "Lt"),
    "Eq": ("NotEq",),
    "NotEq": ("Eq",),
    "Is": ("IsNot",),
    "IsNot": ("Is",),
}
_OTHERS = (
    "ReplaceUnaryOperator_USub_UAdd",
    "ReplaceUnaryOperator_Invert_UAdd",
    "ReplaceUnaryOperator_Delete_Not",
    "AddNot",
    "ReplaceAndWithOr",
    "ReplaceOrWithAnd",
    "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue",
    "ReplaceBreakWithContinue",
    "ReplaceContinueWithBreak",
    "ZeroIterationForLoop",
)
_SWAPPED = {
    one: other
    for pair in (
        ("minimum", "maximum"),
        ("fmin", "fmax"),
        ("min", "max"),
        ("nanmin", "nanmax"),
        ("argmin", "argmax"),
        ("sin", "cos"),
        ("floor", "ceil"),
        ("any", "all"),
        ("sum", "prod"),
        ("log", "log1p"),
        ("exp", "expm1"),
    )
    for one, other in (pair, pair[::-1])
}


class WholeNumber(Operator):
    """One more or one less where a whole number is written."""

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        """Places of this change in a node."""
        if isinstance(node, parso.python.tree.Number) and isinstance(ast.literal_eval(node.value), int):
            for _ in range(2):
                yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        """The node, changed."""
        node.value = str(ast.literal_eval(node.value) + (1, -1)[index])
        return node

    @classmethod
    def examples(cls) -> tuple[()]:
        """None."""
        return ()


class TenPercent(Operator):
    """A tenth more or less where a decimal number is written; zero becomes a tenth."""

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        """Places of this change in a node."""
        if isinstance(node, parso.python.tree.Number) and isinstance(ast.literal_eval(node.value), float):
            for _ in range(2):
                yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        """The node, changed."""
        value = ast.literal_eval(node.value)
        node.value = repr(float(f"{value * (1.1, 0.9)[index]:.9g}") if value else (0.1, -0.1)[index])
        return node

    @classmethod
    def examples(cls) -> tuple[()]:
        """None."""
        return ()


class OtherFunction(Operator):
    """Least for greatest, sine for cosine, any for all, and so on."""

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        """Places of this change in a node."""
        if isinstance(node, parso.python.tree.Name) and node.value in _SWAPPED:
            after = node.get_next_leaf()
            if after is not None and after.value == "(" and node.get_previous_leaf().value != "def":
                yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        """The node, changed; there is one way only, of index 0."""
        node.value = (_SWAPPED[node.value],)[index]
        return node

    @classmethod
    def examples(cls) -> tuple[()]:
        """None."""
        return ()


@dataclass(frozen=True)
class Place:
    """Where one small change may be made: module below `src/setwright`, line, kind, and which of that kind."""

    module: str
    line: int
    kind: str
    occurrence: int


def operators() -> dict[str, Operator]:
    """Kinds of change by name."""
    names = [f"ReplaceBinaryOperator_{one}_{other}" for one, others in _PAIRS.items() for other in others]
    names += [f"ReplaceComparisonOperator_{one}_{other}" for one, others in _COMPARED.items() for other in others]
    found: dict[str, Operator] = {name: get_operator(f"core/{name}")() for name in (*names, *_OTHERS)}
    return found | {"WholeNumber": WholeNumber(), "TenPercent": TenPercent(), "OtherFunction": OtherFunction()}


def _left_out(source: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Spans where nothing is computed: type hints, decorators, messages of refusals."""
    spans: list[ast.AST] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef):
            spans += [*node.decorator_list, *([node.returns] if node.returns else [])]
        elif isinstance(node, ast.ClassDef):
            spans += node.decorator_list
        elif isinstance(node, ast.arg | ast.AnnAssign) and node.annotation:
            spans.append(node.annotation)
        elif isinstance(node, (ast.Raise, ast.JoinedStr, ast.Import, ast.ImportFrom)):
            spans.append(node)
        elif isinstance(node, ast.Assign) and any(isinstance(one, ast.Subscript) for one in ast.walk(node.value)):
            # A name for a type, as `Floats = NDArray[np.float64]`.
            if isinstance(node.value, (ast.Subscript, ast.BinOp)) and _names_a_type(node):
                spans.append(node)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "isinstance":
            spans += node.args[1:]
    return [
        ((node.lineno, node.col_offset), (node.end_lineno or node.lineno, node.end_col_offset or 0))
        for node in spans
        if isinstance(node, (ast.stmt, ast.expr))
    ]


def _names_a_type(node: ast.Assign) -> bool:
    target = node.targets[0]
    return (
        node.col_offset == 0 and isinstance(target, ast.Name) and target.id[:1].isupper() and not target.id.isupper()
    )


def places(root: Path, module: str) -> list[Place]:
    """Every place of a module; `module` as `water/stage.py`, below `src/setwright` of `root`."""
    source = (root / "src/setwright" / module).read_text(encoding="utf-8")
    shut = _left_out(source)
    tree = get_ast(source)
    found = []
    for kind, operator in operators().items():
        nodes = ((node, start) for node in ast_nodes(tree) for start, _ in operator.mutation_positions(node))
        for occurrence, (node, at) in enumerate(nodes):
            # A bare star between arguments is no product.
            if kind.startswith("ReplaceBinary") and node.parent.type in ("parameters", "lambdef"):
                continue
            if not any(first <= at < last for first, last in shut):
                found.append(Place(module, at[0], kind, occurrence))
    return found


def changed(source: str, kind: str, occurrence: int) -> str | None:
    """The module's text with one change; None where nothing changes or no program comes of it."""
    text: str | None = mutate_code(source, operators()[kind], occurrence)
    if text is None:
        return None
    try:
        same = ast.dump(ast.parse(text)) == ast.dump(ast.parse(source))
    except SyntaxError:
        return None
    return None if same else text


def two_lines(source: str, text: str) -> tuple[str, str]:
    """The line that differs, as it was and as it became."""
    for old, new in zip(source.splitlines(), text.splitlines(), strict=False):
        if old != new:
            return old.strip(), new.strip()
    return "", ""
