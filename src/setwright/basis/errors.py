"""One family of errors that says where, what was found and what is allowed."""

from __future__ import annotations


class SetwrightError(Exception):
    """Something the user can mend; printed as one line, never as a traceback.

    Parameters
    ----------
    message : str
        What is wrong, as a plain sentence without a full stop.
    file, field, found, allowed : str, optional
        Where it stands, what was read there, what would have been right.
    line : int, optional
        Line in `file`, counted from 1.

    """

    def __init__(
        self,
        message: str,
        *,
        file: object = None,
        line: int | None = None,
        field: str | None = None,
        found: object = None,
        allowed: str | None = None,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.file = None if file is None else str(file)
        self.line = line
        self.field = field
        self.found = None if found is None else _short(found)
        self.allowed = allowed

    def at(self, *, file: object = None, line: int | None = None, field: str | None = None) -> SetwrightError:
        """Return the same error with the missing part of its place filled in."""
        return type(self)(
            self.message,
            file=self.file if self.file is not None else file,
            line=self.line if self.line is not None else line,
            field=self.field if self.field is not None else field,
            found=self.found,
            allowed=self.allowed,
        )

    def __str__(self) -> str:
        place = ", ".join(
            part
            for part in (
                self.file,
                f"line {self.line}" if self.line is not None else None,
                self.field,
            )
            if part
        )
        text = f"{place}: {self.message}" if place else self.message
        if self.found is not None:
            text += f"; found {self.found!r}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        return text


class BadInput(SetwrightError):
    """A file, a field or a command-line value that cannot be used as it stands."""


class BadTable(SetwrightError):
    """A row of a shipped table that breaks the table's own rules."""


class OutOfRange(SetwrightError):
    """A physics function was called outside its domain by the caller's mistake."""


def _short(found: object, limit: int = 80) -> str:
    text = str(found)
    return text if len(text) <= limit else text[: limit - 1] + "…"
