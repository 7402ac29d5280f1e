"""When it dawns, when the sun rises and sets: for the check run and for rules that count from them."""

from __future__ import annotations

import datetime as clock
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from setwright.basis.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True)
class SunTimes:
    """Aware local times of one date; None where the sun does not pass that height on it."""

    dawn: clock.datetime | None
    sunrise: clock.datetime | None
    noon: clock.datetime
    sunset: clock.datetime | None
    dusk: clock.datetime | None


def sun_times(date: clock.date, latitude: float, longitude: float, timezone: str) -> SunTimes:
    """Dawn, sunrise, noon, sunset and dusk of one date at one place.

    Parameters
    ----------
    date : date
        Local calendar date.
    latitude, longitude : float [degrees]
        WGS 84, north and east positive.
    timezone : str
        IANA name, such as `America/Chicago`.

    Returns
    -------
    SunTimes
        Aware times in that zone. Sunrise and sunset: centre of the sun at -0.833 degrees; dawn and dusk: civil
        twilight, -6 degrees. None on days when the sun does not get there (polar day or night).

    Raises
    ------
    BadInput
        When the zone is not known.
    OutOfRange
        When the place is not on the globe.

    Notes
    -----
    Within 90 s of almanac tables at moderate latitudes. Hills, trees and unusual refraction are left out:
    a limit in law should be rounded inward by two minutes, and its own offset (half an hour before sunrise,
    say) is part of the rule, not of this function.

    References
    ----------
    Almanac definitions of the US Naval Observatory and NOAA (seen); equations of the `astral` library.

    """
    from astral import Observer
    from astral import sun as solar

    if not (-90.0 <= latitude <= 90.0 and -180.0 <= longitude <= 180.0):
        raise OutOfRange(
            "no such place", field="latitude, longitude", found=f"{latitude}, {longitude}",
            allowed="-90 to 90, -180 to 180",
        )  # fmt: skip
    try:
        zone = ZoneInfo(timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput(
            "unknown time zone", field="timezone", found=timezone, allowed="an IANA name such as America/Chicago"
        ) from None
    observer = Observer(latitude, longitude, 0.0)

    def moment(name: str) -> clock.datetime | None:
        try:
            found: clock.datetime = getattr(solar, name)(observer, date=date, tzinfo=zone)
        except ValueError:
            return None
        return found

    return SunTimes(
        moment("dawn"),
        moment("sunrise"),
        solar.noon(observer, date=date, tzinfo=zone),
        moment("sunset"),
        moment("dusk"),
    )
