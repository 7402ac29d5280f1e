"""The cases of a study as Parquet: typed columns, each with its unit and meaning, for programs of statistics."""

from __future__ import annotations

import io
from importlib import import_module
from typing import TYPE_CHECKING, Any

from setwright.basis.errors import BadInput

if TYPE_CHECKING:
    from setwright.desk.study_document import Study

NAME = "cases.parquet"
WAITS = "per 100 waits of one check interval"
FIGURES = {
    "held": "animals of the target caught and held",
    "others": "animals other than the target that fire the trap",
    "pets": "pets that fire the trap",
}
ENDS = {"": "median of the draws", " low": "5 % point of the draws", " high": "95 % point of the draws"}
WORDS = {
    "standing": "worst standing of the links: sound, thin, fails or cannot tell",
    "weakest": "link that stands worst",
    "law": "answer of the law pack: meets, breaks or cannot tell",
    "practice": "answer of the good practice named in the book: meets, breaks or cannot tell",
    "welfare": "answer of the welfare gates: meets, breaks or cannot tell",
    "why": "what stands in the way of the answers asked for; empty when nothing does",
}


def parquet_library() -> tuple[Any, Any]:
    """The two modules that write Parquet, asked for before a study is begun.

    Raises
    ------
    BadInput
        When it is not installed.
    """
    try:
        return import_module("pyarrow"), import_module("pyarrow.parquet")
    except ImportError:
        raise BadInput(
            "Parquet needs one package more", field="--parquet", found="no pyarrow in this installation",
            allowed='pip install "setwright[parquet]", or the cases as CSV without this option',
        ) from None  # fmt: skip


def told(name: str, factors: dict[str, list[str]]) -> tuple[str, str, str]:
    """Kind (`text`, `count` or `figure`), unit and meaning of a column of the cases.

    Parameters
    ----------
    name : str
        Name of the column.
    factors : dict of str to list of str
        Factors of the study with their levels.
    """
    if name in factors:
        return "text", "", "level of the factor"
    if name == "repeat":
        return "count", "1", "which repeat, 1 first; each has draws of its own"
    for figure, what in FIGURES.items():
        for end, which in ENDS.items():
            if name == figure + end:
                return "figure", WAITS, f"{what}: {which}; null when it cannot be told"
    if name in WORDS:
        return "text", "", WORDS[name]
    if name.endswith(" stands"):
        return "text", "", f"standing of the link {name.removesuffix(' stands')}: sound, thin, fails or cannot tell"
    return "text", "", f"answer of the {name}: meets, breaks or cannot tell"


def cases_parquet(found: Study) -> bytes:
    """All cases in the order of the study, as one Parquet file.

    Text is UTF-8, `repeat` a 32-bit integer, figures are 64-bit floats per 100 waits, null when they cannot be told.
    Each field carries `unit` and `meaning` in its metadata; the table carries the study's name, digest, draws, seed
    and the version of the program.

    Raises
    ------
    BadInput
        When the library for Parquet is not installed.
    """
    arrow, parquet = parquet_library()
    kinds = {"text": arrow.string(), "count": arrow.int32(), "figure": arrow.float64()}
    fields = []
    for name in found.columns:
        kind, unit, meaning = told(name, found.factors)
        fields.append(arrow.field(name, kinds[kind], metadata={"unit": unit, "meaning": meaning}))
    about = {
        "schema": found.schema_, "program": found.program, "study": found.name, "digest": found.digest,
        "draws": str(found.draws), "seed": str(found.seed), "note": " ".join(found.notes),
    }  # fmt: skip
    columns = [[row.get(name) for row in found.table] for name in found.columns]
    schema = arrow.schema(fields, metadata=about)
    out = io.BytesIO()
    parquet.write_table(arrow.Table.from_arrays(
        [arrow.array(values, type=field.type) for values, field in zip(columns, fields, strict=True)], schema=schema
    ), out, compression="zstd")  # fmt: skip
    return out.getvalue()
