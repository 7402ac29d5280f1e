"""One measured figure: what it is, how it is shown, and what was wished for."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Figure:
    """A number that was measured.

    Parameters
    ----------
    name : str
        What it is; the same in every run, so that runs can be compared.
    value : float
        As measured.
    unit : str
        `s`, `ms`, `%`, `×`, `/s` and the like; empty for a bare number.
    most, least : float or None
        What was wished for: no more, or no less, than this.
    note : str
        What else belongs to it, such as sizes.
    digits : int
        Digits after the point as shown.
    """

    name: str
    value: float
    unit: str = ""
    most: float | None = None
    least: float | None = None
    note: str = ""
    digits: int = 2

    @property
    def met(self) -> bool | None:
        """Whether the wish is met; None without one."""
        if self.most is not None:
            return self.value <= self.most
        return None if self.least is None else self.value >= self.least

    @property
    def less_is_better(self) -> bool | None:
        """Which way is better; None when neither is."""
        if self.most is not None or self.unit in ("s", "ms", "MB", "kB"):
            return True
        return False if self.least is not None or self.unit in ("/s", "×") else None

    def shown(self) -> str:
        """The value with its unit."""
        return self.written(self.value)

    def wished(self) -> str:
        """The wish with its unit; empty without one."""
        if self.most is not None:
            return f"≤ {self.written(self.most)}"
        return "" if self.least is None else f"≥ {self.written(self.least)}"

    def written(self, value: float) -> str:
        """A value of this figure as it is read."""
        small = 0.0 < abs(value) < 10.0**-self.digits
        number = f"{value:.1e}" if small else f"{value:,.{self.digits}f}"
        if "." in number and not small:
            number = number.rstrip("0").rstrip(".") if value == round(value) else number
        return f"{number} {self.unit}".strip()

    def record(self) -> dict[str, Any]:
        """As JSON has it."""
        return asdict(self)
