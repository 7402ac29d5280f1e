"""When it dawns, when the sun rises and sets: for the check run and for rules that count from them."""

from __future__ import annotations

import datetime as clock
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from setwright.basis.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True)
class SunTimes:
    """Aware local times of one date; None where the sun does not pass that height."""

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
        Aware times in that zone, of the solar day whose noon falls on the date; near midsummer dusk may come after
        midnight. Sunrise and sunset: centre of the sun at -0.833 degrees; dawn and dusk: civil
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
    # Asked in the hours of its own meridian, no rise or set falls near the change of date, where the library errs.
    meridian = clock.timezone(clock.timedelta(hours=round(longitude / 15.0)))

    days = [date + clock.timedelta(days=shift) for shift in (0, -1, 1)]
    noons: list[clock.datetime] = [solar.noon(observer, date=day) for day in days]
    noon = next((moment for moment in noons if moment.astimezone(zone).date() == date), noons[0])

    def moment(name: str, first: float, last: float) -> clock.datetime | None:
        for day in days:
            try:
                found: clock.datetime = getattr(solar, name)(observer, date=day, tzinfo=meridian)
            except ValueError:
                continue
            if first <= (found - noon) / clock.timedelta(hours=1) < last:
                return found.astimezone(zone)
        return None

    return SunTimes(
        dawn=moment("dawn", -12.2, 0.0),
        sunrise=moment("sunrise", -12.2, 0.0),
        noon=noon.astimezone(zone),
        sunset=moment("sunset", 0.0, 12.2),
        dusk=moment("dusk", 0.0, 12.2),
    )


@dataclass(frozen=True, slots=True)
class LegalLight:
    """Hours of a rule that counts from the sun, rounded inward; both None when the sun does not pass that height.

    Parameters
    ----------
    begin, end : datetime or None
        Aware local times on full minutes.
    polar : bool
        True when the sun does not rise or set that day: the rule itself must say what holds then.

    """

    begin: clock.datetime | None
    end: clock.datetime | None
    polar: bool


def legal_light(
    times: SunTimes,
    before_sunrise: clock.timedelta = clock.timedelta(0),
    after_sunset: clock.timedelta = clock.timedelta(0),
    margin: clock.timedelta = clock.timedelta(minutes=2),
) -> LegalLight:
    """Hours between sunrise and sunset, with the offsets of a rule, never longer than the rule allows.

    Parameters
    ----------
    times : SunTimes
        Of the date and place.
    before_sunrise, after_sunset : timedelta
        Offsets of the rule, such as half an hour; negative ones make the hours shorter.
    margin : timedelta
        Taken off at both ends for what the sums and the hills leave open; not below zero.

    Returns
    -------
    LegalLight
        Begin is rounded up and end down to a full minute. Both None when they would meet or cross.

    Raises
    ------
    OutOfRange
        When the margin is below zero.

    """
    if margin < clock.timedelta(0):
        raise OutOfRange("a margin only shortens", field="margin", found=margin, allowed="at least 0")
    if times.sunrise is None or times.sunset is None:
        return LegalLight(None, None, True)
    minute = clock.timedelta(minutes=1)
    # Moments are reckoned in UTC: a clock change between the offset and the sun must not lengthen the hours.
    first = (times.sunrise.astimezone(clock.UTC) - before_sunrise + margin + minute).replace(second=0, microsecond=0)
    exact = times.sunrise.astimezone(clock.UTC) - before_sunrise + margin
    if exact.second == 0 and exact.microsecond == 0:
        first = exact
    last = (times.sunset.astimezone(clock.UTC) + after_sunset - margin).replace(second=0, microsecond=0)
    if first >= last:
        return LegalLight(None, None, False)
    return LegalLight(first.astimezone(times.sunrise.tzinfo), last.astimezone(times.sunset.tzinfo), False)
