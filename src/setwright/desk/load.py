"""Weights of a set-out in words: out and back, the boat's plate, bags, trips, beavers."""

from __future__ import annotations

from setwright.desk import document as doc
from setwright.desk.wording import show
from setwright.line.load import BoatLoad, Load


def load_shown(found: Load) -> doc.Load:
    """The load as a part of the plan document."""
    says = [
        f"Out {show(found.out, 'mass')}, back {show(found.back, 'mass')} without the sets, of what has a known mass."
    ]
    if found.unknown:
        some = ", ".join(found.unknown[:6]) + (" …" if len(found.unknown) > 6 else "")
        says.append(f"No mass is known of: {some}; weigh them once.")
    boat = found.boat
    if boat is not None:
        says += _boat(boat)
    return doc.Load(
        out=found.out,
        back=found.back,
        unknown=list(found.unknown),
        capacity=None if boat is None else boat.capacity,
        boat_empty=None if boat is None else boat.empty,
        boat_filled=None if boat is None else boat.filled,
        trips_empty=None if boat is None else boat.trips_empty,
        trips_filled=None if boat is None else boat.trips_filled,
        most_beavers=None if boat is None else boat.beavers,
        say=says,
    )


def _boat(boat: BoatLoad) -> list[str]:
    if boat.capacity <= 0:
        return ["The boat's plate leaves nothing for gear beside persons and fittings: leave something at home."]
    says = [
        f"The boat takes {show(boat.capacity, 'mass')} of gear beside persons, fittings, tools and safety things."
    ]
    if boat.trips_filled is None:
        names = ", ".join(map(str, boat.too_heavy))
        says.append(f"With filled bags set {names} is too heavy for one trip; fill the bags on site.")
    elif boat.trips_filled > (boat.trips_empty or 0):
        says.append(
            f"Fill bags on site: {boat.trips_empty} trip{'' if boat.trips_empty == 1 else 's'} with empty ones "
            f"({show(boat.empty, 'mass')}), {boat.trips_filled} with filled ones ({show(boat.filled, 'mass')})."
        )
    else:
        plural = "" if boat.trips_filled == 1 else "s"
        says.append(f"The gear of the sets by boat, {show(boat.filled, 'mass')}: {boat.trips_filled} trip{plural}.")
    if boat.beavers is not None:
        says.append(f"Most beavers on a trip back, all heavy ones: {boat.beavers}. Trim low and even, vests on.")
    return says
