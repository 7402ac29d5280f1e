"""Slow answers worked out beside the pages: a page waits a little, and says so when it takes longer."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures import TimeoutError as Late
from typing import Any, TypeVar

# How long a page may wait before it says that the answer is still being worked out, s.
PATIENCE = 4.0
# Answers that are kept; each rests on the files as they were, so that older ones are of no use.
MOST = 24
T = TypeVar("T")


class Background:
    """Answers by key, each worked out once; at most one at a time, so that other pages stay quick."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._found: dict[Hashable, Future[Any]] = {}
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="answers")

    def ask(self, key: Hashable, make: Callable[[], T], patience: float | None = PATIENCE) -> T | None:
        """The answer of a key; None while it is being worked out.

        Parameters
        ----------
        key : hashable
            Names the question and the state of the files that it rests on.
        make : callable
            Works the answer out; it must not be None.
        patience : float or None [s]
            How long to wait for it; None to wait until it is there.

        Raises
        ------
        SetwrightError
            What working it out raised; asked again, it is tried again.
        """
        with self._lock:
            if key not in self._found:
                while len(self._found) >= MOST:
                    self._found.pop(next(iter(self._found))).cancel()
                self._found[key] = self._worker.submit(make)
            answer: Future[T] = self._found[key]
        try:
            return answer.result(patience)
        except Late:
            if answer.done():
                raise
            return None
        except Exception:
            with self._lock:
                if self._found.get(key) is answer:
                    del self._found[key]
            raise
