"""Change the physics a little, many times, and see whether the tests notice.

Usage: python proof/mutants.py --room water --sample 60 --seed 1 [--again] [--budget S] [--files TEST ...]

A random sample of small changes is drawn for a room, each module by its share. Each change is made in a copy of the
project, and those tests of the room that run the changed line are run, quickest first, until one fails. What is found
is kept in `proof/mutants.csv`, one line a change, and not asked again; `--again` runs only those once more that no
test noticed and nobody explained, with all tests of the files that use the module: what is computed once and kept, or
on import, is seen by one test only, or by none.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import covering
import forked
from changes import Place, changed, places, two_lines
from rows import KEPT, MENDED, NOT_REACHED, NOTICED, ROOMS, SLOW, SURVIVED, Row, note_size, read, write

ROOT = Path(__file__).resolve().parents[1]
# Test folders of a room; modules of a room that compute, where not all do.
FOLDERS = {"ground": ("ground", "frost")}
ONLY = {
    "log": ("rates", "compare", "depletion", "effort", "shrink", "cluster", "waits", "spans"),
    # Calibration and the motion of the jaws are left out: their tests take minutes for every change.
    "trap": (
        "build", "frames", "guard", "holding", "loop", "pan", "setting", "spring_check", "springs", "strength",
        "swivel", "trigger", "wear",
    ),
    # Of the chain, how chances combine.
    "sets": ("outcome", "risks", "gang", "hours", "level"),
    "law": ("clock", "answer", "evaluate", "evaluate_number", "evaluate_time", "season", "measure", "applies"),
}  # fmt: skip
SLOW_TESTS = (
    "test_trap_calibrate", "test_trap_sense", "test_trap_dimensions", "test_log_campaign", "test_log_store",
)  # fmt: skip
NO_SUMS = ("__init__.py", "tables.py", "welfare_tables.py", "trial_rows.py", "notes.py", "naming.py")


def modules(room: str) -> list[str]:
    """Modules of a room that compute something."""
    found = sorted(file.name for file in (ROOT / "src/setwright" / room).glob("*.py"))
    chosen = ONLY.get(room)
    return [
        f"{room}/{name}"
        for name in found
        if name not in NO_SUMS and not name.endswith("_words.py") and (not chosen or name[:-3] in chosen)
    ]


def drawn(room: str, sample: int, seed: int) -> tuple[list[Place], int]:
    """A sample of places, every module by its share, and how many places there are."""
    source = random.Random(f"{room} {seed}")
    known = {module: places(ROOT, module) for module in modules(room)}
    total = sum(map(len, known.values()))
    found: list[Place] = []
    carried = source.random()
    for module in sorted(known, key=lambda module: (len(known[module]), module)):
        carried += sample * len(known[module]) / total
        count = int(carried)
        carried -= count
        text = (ROOT / "src/setwright" / module).read_text(encoding="utf-8")
        shuffled = source.sample(known[module], len(known[module]))
        usable = (place for place in shuffled if changed(text, place.kind, place.occurrence) is not None)
        found += [place for place, _ in zip(usable, range(count), strict=False)]
    return source.sample(found, len(found)), total


class Bench:
    """A copy of the project in which changes are made."""

    def __init__(self, room: str, folder: Path, budget: float, files: list[str]):
        self.room, self.root, self.budget, self.made = room, folder / room, budget, 0
        shutil.copytree(ROOT, self.root, ignore=shutil.ignore_patterns(".*", "__pycache__", "_build", "*-venv"))
        self.files = files or [
            str(file.relative_to(self.root))
            for name in FOLDERS.get(room, (room,))
            for file in sorted((self.root / "tests" / name).glob("test_*.py"))
            if not file.name.startswith(SLOW_TESTS)
        ]
        kept = self.root / "reach.json"
        ended = forked.in_child(
            lambda: covering.measure(self.root, room, self.files, forked.run_tests, kept), self.root, 1800, 3600
        )
        if ended.code != 0:
            raise SystemExit(f"the tests of {room} fail without any change:\n{ended.words}")
        self.reach = covering.read(kept)

    def tests(self, place: Place, wide: bool) -> list[str]:
        """Tests for a change (`wide`: of all files that use its module), quickest first, as many as time allows."""
        found: list[str] = []
        spent = 0.0
        reach, module = self.reach, place.module
        tests = reach.of_files(self.root, module) if wide else reach.of_line(self.root, module, place.line)
        for test in tests:
            spent += self.reach.seconds.get(test, 0.0)
            if found and spent > self.budget:
                break
            found.append(test)
        return found

    def named(self, place: Place) -> tuple[str, str, str, str]:
        """Name of the row that a change would get."""
        source = (self.root / "src/setwright" / place.module).read_text(encoding="utf-8")
        text = changed(source, place.kind, place.occurrence)
        assert text is not None
        return place.module, place.kind, *two_lines(source, text)

    def outcome(self, place: Place, wide: bool = False) -> Row:
        """Make a change, run its tests, take it back."""
        file = self.root / "src/setwright" / place.module
        source = file.read_text(encoding="utf-8")
        text = changed(source, place.kind, place.occurrence)
        assert text is not None
        row = Row(
            self.room, place.module, place.line, place.kind, place.occurrence, NOT_REACHED, *two_lines(source, text)
        )
        tests = self.tests(place, wide)
        if not tests:
            return row
        files = sorted({test.split("::")[0] for test in tests})
        kernel = covering.is_kernel(place.module)
        seconds = int(12 + 4 * sum(self.reach.seconds.get(test, 0.0) for test in tests) + (120 if kernel else 0))
        self.write(file, text)
        try:
            ended = forked.in_child(
                lambda: forked.run_tests(
                    self.root, files, [forked.Chosen(tests)], changed=True, fresh_kernels=kernel
                ),
                self.root, seconds, 6.0 * seconds,
            )  # fmt: skip
        finally:
            self.write(file, source)
        word = SLOW if ended.code is None else SURVIVED if ended.code == 0 else NOTICED
        if ended.code == 5:
            raise SystemExit(f"no test was run for {place}:\n{ended.words}")
        return replace(row, outcome=word)

    def write(self, file: Path, text: str) -> None:
        """Write a module with a time of its own, so that no kept bytecode passes for it."""
        file.write_text(text, encoding="utf-8")
        self.made += 1
        os.utime(file, (1_000_000_000 + self.made, 1_000_000_000 + self.made))


def found_again(room: str, kept: list[Row]) -> list[tuple[Place, Row]]:
    """Changes that no test noticed and nobody explained, in the files as they are now; of like lines the nearest."""
    found = []
    for module in sorted({row.module for row in kept if row.room == room and row.left and not row.explanation}):
        wanted = [row for row in kept if row.module == module and row.left and not row.explanation]
        text = (ROOT / "src/setwright" / module).read_text(encoding="utf-8")
        lines = text.splitlines()
        near: dict[tuple[str, str, str, str], list[Place]] = {row.name: [] for row in wanted}
        starts = {(row.kind, row.before) for row in wanted}
        for place in places(ROOT, module):
            if (place.kind, lines[place.line - 1].strip()) in starts:
                new = changed(text, place.kind, place.occurrence)
                near.get((module, place.kind, *two_lines(text, new)) if new else ("", "", "", ""), []).append(place)
        for row in wanted:
            if near[row.name]:
                found.append((min(near[row.name], key=lambda place: abs(place.line - row.line)), row))
    return found


def main(words: list[str]) -> int:
    """Run one room; the answer is 0 whether or not changes survive, which is for reading."""
    parser = argparse.ArgumentParser(description="Change the physics a little and see whether the tests notice.")
    parser.add_argument("--room", required=True, choices=ROOMS)
    parser.add_argument("--sample", type=int, default=60, metavar="N", help="changes to draw (60)")
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="of the draw (1)")
    parser.add_argument("--budget", type=float, default=30.0, metavar="S", help="seconds of tests for a change (30)")
    parser.add_argument("--again", action="store_true", help="only what no test noticed and nobody explained")
    parser.add_argument("--files", nargs="*", default=[], metavar="TEST", help="ask these test files only")
    parser.add_argument("--keep", type=Path, default=KEPT, metavar="FILE", help="where rows are kept")
    asked = parser.parse_args(words)
    forked.load_heavy()
    kept = read(asked.keep)
    known: list[tuple[Place, Row | None]]
    if asked.again:
        known = [*found_again(asked.room, kept)]
        print(f"{asked.room}: {len(known)} changes once more", flush=True)
    else:
        drawn_places, total = drawn(asked.room, asked.sample, asked.seed)
        print(f"{asked.room}: {len(drawn_places)} of {total} changes", flush=True)
        note_size(asked.room, total)
        known = [(place, None) for place in drawn_places]
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(asked.room, Path(folder).resolve(), asked.budget, asked.files)
        for count, (place, old) in enumerate(known, 1):
            if old is None and bench.named(place) in {one.name for one in read(asked.keep)}:
                continue
            row = bench.outcome(place, wide=asked.again)
            if old is not None:
                new = row.outcome if row.left else MENDED
                row = replace(old, line=row.line, occurrence=row.occurrence, outcome=new)
            print(f"{count:4} {row.outcome:12} {row.module}:{row.line} {row.before} => {row.after}", flush=True)
            # Read anew each time: someone may be writing explanations meanwhile.
            others = {one.name: one for one in read(asked.keep)}
            before = others.get(row.name)
            others[row.name] = replace(row, explanation=before.explanation if before else row.explanation)
            write(asked.keep, list(others.values()))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
