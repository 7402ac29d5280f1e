"""A plan without positions, or with blurred ones: the one place where they are taken out.

Blurring puts every site into the middle of a square of a fixed grid. The same site is always in the same square, so
that many exports tell no more than one; and the squares of 1, 5 and 10 km lie within one another, so that exports of
different sizes tell no more than the smallest.
"""

from __future__ import annotations

import math

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan, Positions, SetPlan, SetWhatIf, Site

# Free sizes would cut each other, and where many squares overlap there the site is.
SIZES: dict[str, Positions] = {"1km": "1 km", "5km": "5 km", "10km": "10 km"}
# Metres in a degree of latitude on a sphere of the earth's volume.
DEGREE = 6371008.8 * math.pi / 180.0
LARGEST = 10_000.0


def size_of(asked: str) -> Positions:
    """Size of the squares from what was asked for, such as `1km`.

    Raises
    ------
    BadInput
        When there are no such squares.
    """
    found = SIZES.get(asked.replace(" ", "").lower())
    if found is None:
        raise BadInput("positions are blurred by fixed squares", field="blur", found=asked, allowed=", ".join(SIZES))
    return found


def square(latitude: float, longitude: float, size: float) -> tuple[float, float]:
    """Middle of the square of `size` metres in which a place lies, degrees; sizes divide 10 km.

    Squares of 10 km are laid from the equator and from Greenwich, in rows; smaller ones divide them, so that each
    lies in one of the next size.
    """
    shares = round(LARGEST / size)
    high = LARGEST / DEGREE
    row = math.floor(latitude / high)
    middle = math.cos(math.radians(min(abs(row + 0.5) * high, 89.9)))
    wide = high / middle
    small_high, small_wide = high / shares, wide / shares
    up = min(math.floor((latitude - row * high) / small_high), shares - 1)
    column = math.floor(longitude / wide)
    along = min(math.floor((longitude - column * wide) / small_wide), shares - 1)
    return (
        round(row * high + (up + 0.5) * small_high, 5),
        round(column * wide + (along + 0.5) * small_wide, 5),
    )


def without_places(plan: Plan) -> Plan:
    """The same plan with every position, leg and the base left out."""
    return _changed(plan, "left out")


def blurred(plan: Plan, size: str) -> Plan:
    """The same plan with each site in the middle of its square; base and legs are left out.

    Parameters
    ----------
    plan : Plan
        The plan document.
    size : str
        Side of the squares: `1km`, `5km` or `10km`.

    Raises
    ------
    BadInput
        For another size.
    """
    return _changed(plan, size_of(size))


def set_without_place(part: SetPlan) -> SetPlan:
    """The same set with its position left out."""
    return part.model_copy(update={"site": _site(part.site, "left out")})


def change_without_place(found: SetWhatIf) -> SetWhatIf:
    """The same change with the position of the set left out."""
    update = {"before": set_without_place(found.before), "after": set_without_place(found.after)}
    return found.model_copy(update=update)


def _site(site: Site, positions: str) -> Site:
    spot: tuple[float | None, float | None] = (None, None)
    if positions != "left out" and site.latitude is not None and site.longitude is not None:
        spot = square(site.latitude, site.longitude, 1000.0 * float(positions.split()[0]))
    return site.model_copy(update={"latitude": spot[0], "longitude": spot[1]})


def _changed(plan: Plan, positions: str) -> Plan:
    way = {"distance": None, "bearing_deg": None}
    run = plan.run.model_copy(
        update={"stops": [stop.model_copy(update=way) for stop in plan.run.stops], "total_distance": None}
    )
    sets = [part.model_copy(update={"site": _site(part.site, positions)}) for part in plan.sets]
    line = plan.line.model_copy(update={"base": None, "positions": positions})
    return plan.model_copy(update={"line": line, "run": run, "sets": sets})
