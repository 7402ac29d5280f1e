"""What is known, and disputed, of an animal held under water."""

from __future__ import annotations

from dataclasses import dataclass

from setwright.animal.model import Species
from setwright.basis.source import Kind, Quantity, Source

KILL_LIMIT = Quantity(
    300.0,
    "s",
    Source(
        Kind.TABLE,
        "Agreement on International Humane Trapping Standards, annex I, section 3.3 (French copy of the text)",
        "seen",
    ),
)

LOSS_SIDE = (
    "One study of beaver, muskrat and mink held under water gives times to loss of brain activity and holds that "
    "semi-aquatic animals pass out from carbon dioxide (Gilbert & Gofton 1982; times recalled, not looked up)."
)
DISPUTE_SIDE = (
    "Others answer that the study reported no carbon dioxide in the blood, and veterinary panels do not accept "
    "drowning as euthanasia (Ludders et al. 1999, abstract)."
)
CAUTION = (
    "Whether it spares distress is not settled. The local law decides whether a submersion set may be used, and for "
    "which animals. A set that may hold an animal at the surface is a restraining set and takes its check interval."
)


@dataclass(frozen=True, slots=True)
class DiveFacts:
    """Facts on one kind of animal under water, both sides of the dispute with them.

    Parameters
    ----------
    dive_max : Quantity
        Longest free dive [s].
    loss_time : Quantity
        Time to loss of brain activity in forced submersion [s]; unknown for most animals.
    kill_limit : Quantity
        Time limit for killing traps that the figure is held against [s].
    over_limit : bool or None
        True when `loss_time` is above `kill_limit`, None when it is unknown.
    statement, objection, caution : str
        What the study says, what is said against it, what follows.

    """

    dive_max: Quantity
    loss_time: Quantity
    kill_limit: Quantity
    over_limit: bool | None
    statement: str = LOSS_SIDE
    objection: str = DISPUTE_SIDE
    caution: str = CAUTION


def dive_facts(species: Species, kill_limit: Quantity = KILL_LIMIT) -> DiveFacts:
    """Dive and loss-of-brain-activity figures of an animal, with the dispute.

    Parameters
    ----------
    species : Species
        The animal.
    kill_limit : Quantity
        Time limit [s]; the default is the agreement's for beaver, muskrat and otter.

    Returns
    -------
    DiveFacts
        Never a claim on pain or distress.

    Notes
    -----
    Doubt: the times are recalled from one disputed study. If its figure for the beaver, about 9 min, is right, it
    exceeds the 300 s limit.

    References
    ----------
    Gilbert & Gofton (1982), memory; Ludders et al. (1999), abstract seen; Harrington et al. (2012), abstract seen;
    Agreement on International Humane Trapping Standards, annex I, section 3.3, seen in a French copy.

    """
    loss, limit = species.loss_time.value, kill_limit.value
    over = None if loss is None or limit is None else loss > limit
    return DiveFacts(species.dive_max, species.loss_time, kill_limit, over)
