"""Where the time of a plan goes: the share of each link of the chain and of what stands around it."""

from __future__ import annotations

import functools
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from figure import Figure

from setwright.desk import plan as desk_plan
from setwright.desk.demo import write_demo
from setwright.line import allot, assemble, run
from setwright.sets import check, close, evaluate, gates, hold, lawful, order, outcome, step, visit

PARTS: dict[str, tuple[Callable[..., Any], ...]] = {
    "reading the book and preparing sites": (desk_plan.read_job,),
    "visit": (visit.visit_link,),
    "step": (step.step_link,),
    "fire": (evaluate._fire,),
    "close": (close.close_link,),
    "hold": (hold.hold_link,),
    "check": (check.check_link,),
    "frost and level by the hour": (evaluate._order, order.frost_order),
    "outcome in time": (outcome.outcome_by_hour,),
    "gates of welfare": (gates.gates,),
    "facts and answers of law": (lawful.facts_of, lawful.law_answers),
    "allotment": (allot.allot,),
    "check run": (run.check_run,),
    "words of the plan": (desk_plan.document,),
}
REST = "everything else"


class Stopwatch:
    """Time by part; while one part calls another, only the inner one counts."""

    def __init__(self) -> None:
        self.spent: dict[str, float] = defaultdict(float)
        self._within = [REST]
        self._since = time.perf_counter()

    def _book(self) -> None:
        now = time.perf_counter()
        self.spent[self._within[-1]] += now - self._since
        self._since = now

    def around(self, part: str, function: Callable[..., Any]) -> Callable[..., Any]:
        """The same function with its time counted to a part."""

        @functools.wraps(function)
        def timed(*given: Any, **named: Any) -> Any:
            self._book()
            self._within.append(part)
            try:
                return function(*given, **named)
            finally:
                self._book()
                self._within.pop()

        return timed

    @contextmanager
    def running(self) -> Iterator[None]:
        """Count while the block runs; every module gets its own functions back afterwards."""
        put: list[tuple[Any, str, Any]] = []
        for part, functions in PARTS.items():
            for function in functions:
                instead = self.around(part, function)
                for module in [one for name, one in sys.modules.items() if name.startswith("setwright")]:
                    for name, value in list(vars(module).items()):
                        if value is function:
                            put.append((module, name, value))
                            setattr(module, name, instead)
        self._since = time.perf_counter()
        try:
            yield
        finally:
            self._book()
            for module, name, value in put:
                setattr(module, name, value)


def figures(folder: Path) -> list[Figure]:
    """Share of the time of the demo plan, by part."""
    book = write_demo(folder)
    watch = Stopwatch()
    with watch.running():
        desk_plan.document(assemble.plan_line(desk_plan.read_job(book)))
    total = sum(watch.spent.values())
    return [
        Figure(f"plan: share of {part}", 100.0 * watch.spent[part] / total, "%", digits=1) for part in (*PARTS, REST)
    ]
