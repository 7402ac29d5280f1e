"""What one site shares between all rigs tried there: draws, species, night; results that repeat are kept."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from setwright.animal.ages import MassMix
from setwright.animal.model import Species
from setwright.animal.probit import LoadPosterior
from setwright.basis.source import Quantity
from setwright.basis.spread import Draws
from setwright.sets import tables
from setwright.sets.model import CheckPlan, Conditions, SiteFacts
from setwright.sets.record import RigRecord

Floats = NDArray[np.float64]
Result = TypeVar("Result")


class Kept:
    """Results of pure computations by their arguments, so that rigs that share a part share its work."""

    def __init__(self) -> None:
        self._found: dict[Hashable, Any] = {}

    def get(self, key: Hashable, make: Callable[[], Result]) -> Result:
        """Return the kept result of `key`, or make and keep it."""
        if key not in self._found:
            self._found[key] = make()
        found: Result = self._found[key]
        return found


@dataclass(frozen=True)
class SiteRecord:
    """What was seen of one animal at a site: `visits` in `nights`, and `contacts`, visits with a foot on the pan.

    None is what nobody wrote down. `origin` says where it stands.
    """

    visits: int
    contacts: int | None = None
    nights: float | None = None
    origin: str = "record of the site in the book"


@dataclass(frozen=True)
class Context:
    """One site on one night.

    `draws` are the site's own, `shared` the line's (errors that all sites and species have in common).
    `species` are the animals that may come, the target first; `mixes` the old and young of those whose shares are
    stated; `records` what was seen here, by animal. `posterior` is the load model of the line when notes moved it,
    `rig_records` what is known of trap designs by pattern, `wind` [m/s] by hour of the night. `learned` are figures
    of the chain that the log has moved: they stand in place of those of the table.
    """

    site: SiteFacts
    conditions: Conditions
    check: CheckPlan
    draws: Draws
    shared: Draws
    species: Mapping[str, Species]
    mixes: Mapping[str, MassMix] = field(default_factory=dict)
    records: Mapping[str, SiteRecord] = field(default_factory=dict)
    posterior: LoadPosterior | None = None
    rig_records: Mapping[str, RigRecord] = field(default_factory=dict)
    wind: Floats | None = None
    learned: Mapping[str, Quantity] = field(default_factory=dict)
    kept: Kept = field(default_factory=Kept, compare=False)
    line_kept: Kept = field(default_factory=Kept, compare=False)

    @property
    def n(self) -> int:
        """Number of draws."""
        return self.draws.n

    @property
    def target(self) -> Species:
        """The animal that the set is made for."""
        return self.species[self.site.target]

    def figure(self, name: str) -> Quantity:
        """One figure of the chain with its source."""
        return self.learned[name] if name in self.learned else tables.figures()[name]

    def shared_figure(self, name: str) -> Floats:
        """Draws of a figure that all sites and species share, shape (n,)."""
        return self.line_kept.get(("figure", name), lambda: self.shared.quantity(name, self.figure(name)))

    def own_figure(self, name: str) -> Floats:
        """Draws of a figure that belongs to this site alone, shape (n,)."""
        return self.kept.get(("figure", name), lambda: self.draws.quantity(name, self.figure(name)))

    def mass(self, species: Species) -> Floats:
        """Draws of a species' median body mass [kg], shape (n,); one population comes to all sites of the line."""
        return self.line_kept.get(
            ("mass", species.key, species.mass),
            lambda: self.shared.quantity(f"mass.{species.key}", species.mass.with_spread(0.1)),
        )

    def drawn(self, name: str, quantity: Quantity) -> Floats:
        """Draws of a quantity of this site, shape (n,)."""
        return self.draws.quantity(name, quantity)

    def drawn_share(self, name: str, quantity: Quantity) -> Floats:
        """Draws of a share or chance of this site, from 0 to 1, shape (n,)."""
        return self.draws.share(name, quantity)


def limit(name: str) -> float:
    """A limit of the chain as a bare number."""
    return tables.limits()[name].number
