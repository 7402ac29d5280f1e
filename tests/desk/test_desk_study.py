"""Studies: the same rows whoever does the work, taken up again after a kill, faults told with their place."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.desk import study_engine
from setwright.desk.study import KEPT, study
from setwright.desk.study_case import run_task, seeds
from setwright.desk.study_document import Study
from setwright.desk.study_file import changes, patched, read_study
from setwright.draw.study_grid import study_grid
from setwright.sheets import study_parquet
from setwright.sheets.study import NAMES, cases_csv, study_page, write_study

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "study-practice"
SMALL = """
schema: setwright/study/1
name: Two foxes <b>in two soils</b>
book: line-book.yaml
site: field
draws: 50
stands: thin
vary:
  species:
    red fox: {sites.field.target: red_fox, sites.field.sign.red_fox: fresh}
    gray fox: {sites.field.target: gray_fox, sites.field.sign.gray_fox: fresh}
  soil: {field: sites.field.ground.layers.0.soil, values: [loam, firm-sand]}
change:
  jaws: [regular, offset]
  trip_force: [1 lbf, 3 lbf]
"""


@pytest.fixture
def asked(tmp_path: Path) -> Path:
    shutil.copy(EXAMPLE / "line-book.yaml", tmp_path)
    file = tmp_path / "study.yaml"
    file.write_text(SMALL, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Study:
    folder = tmp_path_factory.mktemp("whole")
    shutil.copy(EXAMPLE / "line-book.yaml", folder)
    file = folder / "study.yaml"
    file.write_text(SMALL, encoding="utf-8")
    return study(file, folder / "out")


@pytest.fixture(scope="module")
def whole(done: Study) -> str:
    return cases_csv(done)


def test_a_row_for_every_case_in_the_order_of_the_file(whole: str) -> None:
    lines = whole.splitlines()
    assert len(lines) == 1 + 2 * 2 * 2 * 2
    assert [line.split(",")[:4] for line in lines[1:4]] == [
        ["red fox", "loam", "regular", "1 lbf"],
        ["red fox", "loam", "regular", "3 lbf"],
        ["red fox", "loam", "offset", "1 lbf"],
    ]
    assert lines[-1].startswith("gray fox,firm-sand,offset,3 lbf")


@pytest.mark.parametrize("engine", ["processes", "cluster"])
def test_every_engine_gives_the_same_rows(asked: Path, whole: str, engine: str) -> None:
    if engine == "processes":
        found = study(asked, asked.parent / "out", engine=engine, workers=2)
    else:
        from distributed import LocalCluster

        with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
            found = study(asked, asked.parent / "out", engine=engine, address=cluster.scheduler_address)
    assert cases_csv(found) == whole


def test_killed_and_begun_again_it_goes_on_where_it_was(
    asked: Path, whole: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = asked.parent / "out"
    code = "import sys, pathlib; from setwright.desk.study import study; study(*map(pathlib.Path, sys.argv[1:]))"
    running = subprocess.Popen([sys.executable, "-c", code, str(asked), str(out)])
    kept = out / KEPT
    for _ in range(1200):
        if kept.exists() and kept.read_bytes().count(b"\n") >= 2:
            break
        time.sleep(0.05)
    os.kill(running.pid, signal.SIGKILL)
    running.wait()
    done = kept.read_bytes().count(b"\n") - 1
    assert done >= 1
    with kept.open("ab") as file:
        file.write(b'{"task": 3, "rows": [{"torn')
    worked: list[int] = []
    real = study_engine.run_task

    def counted(one: Any, number: int) -> Any:
        worked.append(number)
        return real(one, number)

    monkeypatch.setattr(study_engine, "run_task", counted)
    assert cases_csv(study(asked, out)) == whole
    assert len(worked) == 4 - done
    assert cases_csv(study(asked, out)) == whole
    assert len(worked) == 4 - done


def test_a_folder_of_another_study_is_left_alone(asked: Path) -> None:
    out = asked.parent / "out"
    out.mkdir()
    (out / KEPT).write_text(json.dumps({"study": "other", "tasks": 4}) + "\n", encoding="utf-8")
    with pytest.raises(BadInput, match="another folder"):
        study(asked, out)
    assert json.loads((out / KEPT).read_text(encoding="utf-8")) == {"study": "other", "tasks": 4}
    (out / KEPT).write_text("no study\n", encoding="utf-8")
    with pytest.raises(BadInput, match="not the progress"):
        study(asked, out)


def test_anything_that_an_answer_depends_on_changes_the_digest(asked: Path) -> None:
    before = read_study(asked).digest
    book = asked.parent / "line-book.yaml"
    text = book.read_text(encoding="utf-8")
    book.write_text(text.replace('"shipped:demo/weather.csv"', "own.csv"), encoding="utf-8")
    changed = read_study(asked).digest
    (asked.parent / "own.csv").write_text("one", encoding="utf-8")
    with_file = read_study(asked)
    (asked.parent / "own.csv").write_text("two", encoding="utf-8")
    assert len({before, changed, with_file.digest, read_study(asked).digest}) == 4
    assert dict(with_file.files) == {"own.csv": b"one"}


def test_repeats_draw_anew_and_a_repeat_shares_its_draws(asked: Path) -> None:
    asked.write_text(SMALL.replace("draws: 50", "draws: 50\nrepeats: 3\nseed: 7"), encoding="utf-8")
    found = read_study(asked)
    spawned = np.random.SeedSequence(7).spawn(3)
    assert seeds(found) == [int(one.generate_state(1)[0] % 2**31) for one in spawned]
    first, again, other = run_task(found, 0), run_task(found, 0), run_task(found, 4)
    assert first == again
    assert first[0]["repeat"] == 1
    assert other[0]["repeat"] == 2
    assert first[0]["held"] != other[0]["held"]


def test_fields_are_written_by_number_or_by_id_and_the_book_stays() -> None:
    book = {"sites": [{"id": "a", "soil": 1}, {"id": "b"}]}
    assert patched(book, {"sites.b.soil": 2, "sites.0.soil": 3})["sites"] == [
        {"id": "a", "soil": 3},
        {"id": "b", "soil": 2},
    ]
    assert book == {"sites": [{"id": "a", "soil": 1}, {"id": "b"}]}


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("sites.field.ground", "sites.meadow.ground", "no such entry"),
        ("layers.0.soil", "layers.0.soil.kind.more", "nothing lies below|no such field"),
        ("setwright/study/1", "setwright/study/9", "known version"),
        ("book: line-book.yaml", "book: gone.yaml", "no such line book"),
        ("draws: 50", "draws: 5", "draws"),
        ("draws: 50", "draws: 50\nextra: 1", "extra"),
        ("jaws: [regular, offset]", "soil: [loam]", "vary and in change"),
        ("[loam, firm-sand]", "[loam, loam]", "twice"),
        ("  soil: {field", "  weakest: {field", "column of the answers"),
        ("1 lbf, 3 lbf", "1 lbf, 1 lbf", "twice"),
        ("repeats: 1", "", ""),
    ],
)
def test_a_faulty_file_is_told_with_its_place(asked: Path, old: str, new: str, words: str) -> None:
    if not words:
        old, new, words = "draws: 50", "draws: 50\nrepeats: 1000\n", "too many cases"
        many = ", ".join(f"{k / 100} lbf" for k in range(100, 200))
        asked.write_text(SMALL.replace("1 lbf, 3 lbf", many).replace(old, new), encoding="utf-8")
    else:
        asked.write_text(SMALL.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput, match=words):
        read_study(asked)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("site: field", "site: elsewhere", "no such site"),
        ("[loam, firm-sand]", "[loam, cheese]", "soil cheese"),
        ("jaws: [regular, offset]", "jaws: [regular, velvet]", "velvet"),
    ],
)
def test_a_case_that_cannot_be_worked_out_names_itself(asked: Path, old: str, new: str, words: str) -> None:
    asked.write_text(SMALL.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput, match=words):
        study(asked, asked.parent / "out")
    assert not (asked.parent / "out" / "cases.csv").exists()


def test_what_the_cases_come_to_can_be_counted_by_hand(asked: Path) -> None:
    found = study(asked, asked.parent / "out")
    for cell in found.cells:
        rows = [
            row
            for row in found.table
            if row["species"] == cell.row and all(row[name] == level for name, level in cell.choice.items())
        ]
        good = [
            row for row in rows
            if row["welfare"] == row["practice"] == "meets" and row["standing"] in ("sound", "thin")
        ]  # fmt: skip
        assert (cell.cases, cell.good) == (len(rows), len(good))
        assert cell.good + cell.untold + cell.bad == cell.cases
        held = sorted(row["held"] for row in rows)
        assert cell.held == pytest.approx(((held[0] + held[1]) / 2, held[0], held[1]))
    regular = [cell for cell in found.cells if cell.choice["jaws"] == "regular"]
    # Good practice asks for kinder jaws on land for a fox.
    assert all(cell.good == 0 for cell in regular)


def test_page_and_files_hold_the_words_of_the_file_as_words(asked: Path) -> None:
    found = study(asked, asked.parent / "out")
    page = study_page(found)
    assert "<b>in two soils</b>" not in page
    assert "&lt;b&gt;in two soils" in page
    assert "<script" not in page
    written = write_study(found, asked.parent / "out")
    assert [path.name for path in written] == list(NAMES)


def test_parquet_reads_back_equal_with_types_and_units(done: Study, tmp_path: Path) -> None:
    import pyarrow
    import pyarrow.parquet

    # A figure that cannot be told is a null among numbers, not a number.
    table = [{**row, "held": None} if number == 2 else row for number, row in enumerate(done.table)]
    asked = done.model_copy(update={"table": table})
    written = write_study(asked, tmp_path, parquet=True)
    assert [path.name for path in written] == [*NAMES, study_parquet.NAME]
    read = pyarrow.parquet.read_table(written[-1])
    assert read.to_pylist() == table
    types = {
        "species": pyarrow.string(), "repeat": pyarrow.int32(), "held": pyarrow.float64(),
        "pets high": pyarrow.float64(), "welfare": pyarrow.string(),
    }  # fmt: skip
    assert {name: read.schema.field(name).type for name in types} == types
    told = {name: read.schema.field(name).metadata for name in read.column_names}
    assert [name for name, words in told.items() if words[b"unit"] == b"per 100 waits of one check interval"] == [
        f"{figure}{end}" for figure in ("held", "others", "pets") for end in (" low", "", " high")
    ]
    assert all(words[b"meaning"] for words in told.values())
    assert told["trip_force"][b"meaning"] == b"level of the factor"
    about = read.schema.metadata
    assert (about[b"study"], about[b"digest"]) == (done.name.encode(), done.digest.encode())
    assert (about[b"draws"], about[b"seed"]) == (b"50", b"20")


def test_parquet_without_its_library_is_told_before_any_work(asked: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from setwright.cli import study_command

    monkeypatch.setitem(sys.modules, "pyarrow", None)
    out = asked.parent / "out"
    with pytest.raises(BadInput) as told:
        study_command.study(asked, out, parquet=True)
    assert "setwright[parquet]" in str(told.value)
    assert not out.exists()


def test_the_grid_fills_as_much_as_is_good() -> None:
    drawn = study_grid(["a"], [["x"]], [[(3, 0, 1)]], 400.0)
    box = drawn.split('class="f-i"')[1].split('d="')[1].split('"')[0]
    frame = drawn.split('class="g thin"')[1].split('d="')[1].split('"')[0]

    def wide(path: str) -> float:
        xs = [float(point.split()[0]) for point in path.strip("MZ").split("L")]
        return max(xs) - min(xs)

    assert wide(box) / wide(frame) == pytest.approx(0.75, abs=0.01)
    assert "3/4" in drawn


def test_the_example_asks_for_six_animals_four_soils_three_winters_and_twenty_or_so_rigs() -> None:
    found = read_study(EXAMPLE / "jaws-and-pans.yaml")
    assert [len(levels) for levels in found.factors.values()] == [6, 4, 3, 4, 4]
    assert (found.tasks, found.rows, len(changes(found))) == (72, 1152, 16)
    assert sorted(found.files) == ["valley-2017.csv", "valley-2023.csv"]
