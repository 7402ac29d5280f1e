"""Words of a command in the units that its line book asks for."""

from __future__ import annotations

import functools
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Answer = TypeVar("Answer")


def in_units_of_book(command: Callable[Given, Answer]) -> Callable[Given, Answer]:
    """Run a command that has a `book` with its figures shown in the units of that book."""

    @functools.wraps(command)
    def run(*args: Given.args, **kwargs: Given.kwargs) -> Answer:
        book = kwargs.get("book")
        if not isinstance(book, Path):
            return command(*args, **kwargs)
        from setwright.basis.units import shown_in
        from setwright.line.brief import units_of

        with shown_in(units_of(book)):
            return command(*args, **kwargs)

    return run
