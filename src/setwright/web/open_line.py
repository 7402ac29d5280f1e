"""The line that is open in the app: read, planned and kept warm until one of its files changes."""

from __future__ import annotations

import ctypes
import gc
import sys
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from setwright.basis.errors import BadInput, SetwrightError
from setwright.basis.units import shown_in
from setwright.desk import bench_document, document, tonight_document
from setwright.desk.bench import OnBench, on_bench, sheet_of, variant
from setwright.desk.bench_pick import pick
from setwright.desk.plan import document as document_of
from setwright.desk.plan import read_job, set_of
from setwright.desk.positions import blurred, size_of, without_places
from setwright.desk.set_whatif import compared
from setwright.desk.tonight import tonight
from setwright.draw.traverse import traverse
from setwright.line.assemble import DRAWS, SEED, Assembly, PlannedSet, plan_line
from setwright.sets.evaluate import SetResult, evaluate
from setwright.sheets.page import DESK, PHONE
from setwright.sheets.speech import spoken
from setwright.sheets.write import MAKERS, NAMES
from setwright.web.ledger import Ledger

Progress = Callable[[str], None]
Stamp = tuple[tuple[str, int], ...]
# Files beside a book that are looked at for a change; a folder with more is no folder of a line.
MOST_FILES = 400
# Pages and drawings kept with a plan.
MOST_ANSWERS = 60
# Between two pictures of a closing, s: what a scrubber steps by.
MOTION_STEP = 0.0001


class NoBook(SetwrightError):
    """There is no line book yet where the app was opened."""


class StillPlanning(SetwrightError):
    """The line is being planned, and there is no earlier plan to show meanwhile."""


class _Superseded(Exception):
    """The files changed while they were planned: this plan is not wanted any more."""


@dataclass
class Planned:
    """One reading of the book with all that was computed from it; sheets are made when asked for."""

    assembly: Assembly
    plan: document.Plan
    evening: tonight_document.Tonight | BadInput
    files: dict[str, bytes] = field(default_factory=dict)
    answers: dict[tuple[object, ...], object] = field(default_factory=dict, repr=False)
    shown: dict[str, Planned] = field(default_factory=dict, repr=False)
    before: dict[str, tuple[SetResult, document.SetPlan]] = field(default_factory=dict)
    benched: dict[str, tuple[OnBench, bench_document.BenchSheet]] = field(default_factory=dict)

    @property
    def units(self) -> str:
        """Units in which its words are written; pages are written in the same."""
        return self.assembly.job.book.line.units

    def part(self, site: str) -> document.SetPlan | None:
        """The set at a site, by id or number; None when there is none."""
        return next((one for one in self.plan.sets if site in (one.site.id, str(one.site.number))), None)

    def with_positions(self, positions: str) -> Planned:
        """The same with its positions left out, or blurred to squares of a size; made once."""
        if positions not in self.shown:
            plan = without_places(self.plan) if positions == "left out" else blurred(self.plan, positions)
            self.shown[positions] = replace(self, plan=plan, files={}, shown={}, answers={})
        return self.shown[positions]

    def keep(self, key: tuple[object, ...], answer: object) -> None:
        """Keep an answer that stays the same as long as this plan; the oldest gives way."""
        while len(self.answers) >= MOST_ANSWERS:
            self.answers.pop(next(iter(self.answers)), None)
        self.answers[key] = answer

    def traverse(self, wide: bool) -> str:
        """The check run drawn; made once, as its labels look for room among all others."""
        key = ("traverse", wide)
        found = self.answers.get(key)
        if found is None:
            found = traverse(self.plan, DESK if wide else PHONE)
            self.keep(key, found)
        return str(found)

    def planned_set(self, site: str) -> PlannedSet | None:
        """The same set as it was computed."""
        found = self.part(site)
        if found is None:
            return None
        return next(one for one in self.assembly.sets if one.context.site.key == found.site.id)


@dataclass
class Step:
    """How far the planning has come: sites begun, of how many, and the name of the present one."""

    stamp: Stamp
    done: int = 0
    of: int = 0
    name: str = ""
    ended: threading.Event = field(default_factory=threading.Event)
    planned: Planned | None = None
    fault: BaseException | None = None


class OpenLine:
    """A line book on this machine, planned anew when it or a file beside it was changed.

    Parameters
    ----------
    book : Path
        Line book; it need not be there yet.
    draws, seed : int
        Number and seed of the draws.
    progress : callable, optional
        Called with the name of every site while the line is planned.
    patience : float, optional
        How long a page waits for a plan [s]; then it shows the one before, or says how far the planning has come.
        Without it pages wait to the end.
    """

    def __init__(
        self,
        book: Path,
        *,
        draws: int = DRAWS,
        seed: int = SEED,
        progress: Progress | None = None,
        patience: float | None = None,
    ) -> None:
        self.book, self.draws, self.seed, self.progress, self.patience = book, draws, seed, progress, patience
        self.ledger = Ledger(book)
        self._lock = threading.Lock()
        self._work = threading.Lock()
        self._kept: tuple[Stamp, Planned] | None = None
        self._step: Step | None = None

    def now(self) -> Planned:
        """The line as its files are now, or, while it is planned anew, as it was before.

        Raises
        ------
        NoBook
            When there is no book yet.
        StillPlanning
            When nothing was planned yet and the patience is over.
        BadInput
            When the book cannot be used.
        """
        with self._lock:
            stamp = self.stamp()
            if self._kept is not None and self._kept[0] == stamp:
                return self._kept[1]
            step = self._begun(stamp)
        if not step.ended.wait(self.patience):
            if self._kept is not None:
                return self._kept[1]
            raise StillPlanning("the line is being planned", field=step.name or None)
        if step.planned is not None:
            return step.planned
        if isinstance(step.fault, _Superseded):
            return self.now()
        assert step.fault is not None
        raise step.fault.with_traceback(None)

    @property
    def units(self) -> str:
        """Units in which the plan at hand is written; pages are written in the same."""
        with self._lock:
            kept = self._kept
        return "us" if kept is None else kept[1].units

    def step(self) -> Step | None:
        """How far the planning has come; None when nothing is planned at present."""
        with self._lock:
            found = self._step
        return found if found is not None and not found.ended.is_set() else None

    def begin(self) -> None:
        """Begin to plan what was changed, without waiting for it."""
        if self.patience is not None:
            with self._lock:
                stamp = self.stamp()
                if self._kept is None or self._kept[0] != stamp:
                    self._begun(stamp)

    def changed(self, site: str, changes: Mapping[str, str]) -> document.SetWhatIf | None:
        """The set at a site with something changed on it; None when there is no such set.

        Raises
        ------
        BadInput
            When a change is not known or not allowed.
        """
        line = self.now()
        one = line.planned_set(site)
        if one is None or one.result is None:
            return None
        key, job = one.context.site.key, line.assembly.job
        with self._work, shown_in(line.units):
            if key not in line.before:
                result = evaluate(one.context, one.result.rig, job.person)
                line.before[key] = (result, set_of(job, PlannedSet(one.context, result)))
            result, shown = line.before[key]
            return compared(job, one.context, result, changes, shown)

    def trap(self, tag: str, what_if: str = "") -> bench_document.BenchSheet:
        """One trap of the outfit on the bench.

        Raises
        ------
        BadInput
            When there is no such trap, or a change to it is not allowed.
        """
        on, found = self.on_bench(tag)
        if not what_if:
            return found
        return found.model_copy(update={"what_if": [variant(on, what_if, frame_step=MOTION_STEP)]})

    def on_bench(self, tag: str) -> tuple[OnBench, bench_document.BenchSheet]:
        """One trap of the outfit with all that its readings tell, and its sheet; computed once.

        Raises
        ------
        BadInput
            When there is no such trap.
        """
        line = self.now()
        with self._work, shown_in(line.units):
            if tag not in line.benched:
                on = on_bench(pick(tag, self.book))
                line.benched[tag] = (on, sheet_of(on, drawn_too=True, frame_step=MOTION_STEP))
            return line.benched[tag]

    def file(self, name: str, blur: str = "") -> bytes | None:
        """A file of the plan by name, such as `set-cards.pdf`; None when the plan has no such file.

        Raises
        ------
        BadInput
            When positions are not blurred by `blur`.
        """
        line = self.now() if not blur else self.now().with_positions(size_of(blur))
        if name not in MAKERS:
            return None
        key = f"{spoken()}/{name}"
        if key not in line.files:
            with shown_in(line.units):
                line.files[key] = MAKERS[name](line.plan)
        return line.files[key]

    def _begun(self, stamp: Stamp) -> Step:
        """The planning of a state of the files, begun when it is not; called with the lock held."""
        step = self._step
        if step is not None and step.stamp == stamp and not isinstance(step.fault, _Superseded):
            return step
        step = self._step = Step(stamp)
        threading.Thread(target=self._follow, args=(step,), daemon=True, name="planning").start()
        return step

    def _follow(self, step: Step) -> None:
        try:
            found = self._plan(step)
            with self._lock:
                if self._step is step:
                    self._kept = (step.stamp, found)
            step.planned = found
        except BaseException as error:
            step.fault = error
        finally:
            step.ended.set()

    def _plan(self, step: Step) -> Planned:
        job = read_job(self.book, draws=self.draws, seed=self.seed)
        names = {site.name for site in job.sites}
        step.of = len(job.sites)

        def told(name: str) -> None:
            if self._step is not step:
                raise _Superseded
            step.done, step.name = min(step.done + (name in names), step.of), name
            if self.progress is not None:
                self.progress(name)

        with shown_in(job.book.line.units):
            assembly = plan_line(job, told)
            step.name = "the coming night"
            try:
                evening: tonight_document.Tonight | BadInput = tonight(self.book, seed=self.seed)
            except BadInput as error:
                evening = error
            step.name = "words and drawings"
            whole = document_of(assembly)
            # Rigs that were only compared hold most of the draws; what is said of them stands in the document.
            sets = tuple(replace(one, candidates=(), advice=()) for one in assembly.sets)
            slim = replace(assembly, sets=sets)
        del assembly
        _hand_back()
        return Planned(slim, whole, evening)

    def stamp(self) -> Stamp:
        """State of the book and of the files beside it; another one means that something was changed."""
        place = self.book.resolve()
        if not place.exists():
            raise NoBook("there is no line book here yet", file=self.book)
        made = {*NAMES, "season.html", "season.json"}
        found = sorted(
            path
            for path in place.parent.iterdir()
            if path.is_file() and path.name not in made and ".db" not in path.name and not path.name.startswith(".")
        )
        return tuple((path.name, path.stat().st_mtime_ns) for path in (place, *found[:MOST_FILES]))


def _hand_back() -> None:
    """Give memory that planning no longer needs back to the system, where its C library can do that."""
    gc.collect()
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if sys.platform == "linux" else None
    if trim is not None:
        trim(0)
