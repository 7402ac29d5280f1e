"""Units at the edges: one small registry, trade fractions read and printed.

Inside the program every number is SI, with temperatures in °C.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from tokenize import TokenError
from typing import TYPE_CHECKING

from setwright.basis.errors import BadInput

if TYPE_CHECKING:
    import pint

# Only what a trapper, a table or a gauge writes: a short list loads fast and refuses the rest.
_DEFINITIONS = """
meter = [length] = m = metre
second = [time] = s = sec
kilogram = [mass] = kg
kelvin = [temperature]; offset: 0 = K
radian = [] = rad
degC = kelvin; offset: 273.15 = celsius
degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = fahrenheit
one = 1 = fraction = _ = each
percent = 0.01 = pct
millimeter = 0.001 meter = mm
centimeter = 0.01 meter = cm
kilometer = 1000 meter = km
inch = 0.0254 meter = in = inches
foot = 12 inch = ft = feet
yard = 3 foot = yd = yards
mile = 5280 foot = mi = miles
gram = 0.001 kilogram = g
pound = 0.45359237 kilogram = lb = pounds = lbs
ounce = pound / 16 = oz
millisecond = 0.001 second = ms
minute = 60 second = min = minutes
hour = 3600 second = h = hr = hours
day = 86400 second = d = days = night = nights
year = 31557600 second = yr = years
newton = kilogram * meter / second ** 2 = N
kilonewton = 1000 newton = kN
pound_force = 4.4482216152605 newton = lbf
kilogram_force = 9.80665 newton = kgf
pascal = newton / meter ** 2 = Pa
kilopascal = 1000 pascal = kPa
megapascal = 1e6 pascal = MPa
gigapascal = 1e9 pascal = GPa
psi = pound_force / inch ** 2
joule = newton * meter = J
kilojoule = 1000 joule = kJ
megajoule = 1e6 joule = MJ
watt = joule / second = W
mph = mile / hour
kph = kilometer / hour
knot = 1852 meter / hour = kt = knots
degree = 0.017453292519943295 radian = deg = degrees
liter = 0.001 meter ** 3 = L = litre
gallon = 231 inch ** 3 = gal = gallons
"""

_GLYPHS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_PRINTED = {
    (1, 2): "½", (1, 4): "¼", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝", (7, 8): "⅞",
    (1, 16): "1⁄16", (3, 16): "3⁄16", (5, 16): "5⁄16", (7, 16): "7⁄16",
    (9, 16): "9⁄16", (11, 16): "11⁄16", (13, 16): "13⁄16", (15, 16): "15⁄16",
}  # fmt: skip

_NUMBER = re.compile(
    r"""^\s*(?P<sign>[-−+]?)\s*
    (?: (?P<whole>\d+)[\s-]+(?P<num1>\d+)\s*/\s*(?P<den1>\d+)
      | (?P<num2>\d+)\s*/\s*(?P<den2>\d+)
      | (?P<dec>\d+(?:\.\d*)?(?:[eE][-+]?\d+)?|\.\d+(?:[eE][-+]?\d+)?)
    )\s*(?P<unit>[^\d\s/].*)?$""",
    re.VERBOSE,
)

# Unit expressions are short words joined by * / and small powers: nothing that could be evaluated or explode.
_UNIT = re.compile(
    r"[A-Za-z_°%][A-Za-z_°%²³]*(?:(?:\*\*|\^)-?\d)?(?:\s*[*/·]\s*[A-Za-z_²³]+(?:(?:\*\*|\^)-?\d)?){0,4}"
)

EXAMPLES = {
    "m": "a length such as '5 3/8 in', '14 ft' or '135 mm'",
    "kg": "a mass such as '26 lb' or '12 kg'",
    "N": "a force such as '3.5 lbf' or '15.6 N'",
    "s": "a time such as '20 min' or '36 h'",
    "degC": "a temperature such as '27 degF' or '-3 degC'",
    "Pa": "a pressure or strength such as '36 kPa'",
    "m/s": "a speed such as '9 mph' or '4 m/s'",
    "one": "a plain number such as '0.25' or a share such as '25 percent'",
    "rad": "an angle such as '15 deg'",
    "N/m": "a spring rate such as '17 lbf/in' or '2.9 kN/m'",
    "m**3": "a volume such as '2 gal' or '8 L'",
}


@cache
def registry() -> pint.UnitRegistry[float]:
    """The one unit registry of the program."""
    import pint

    ureg: pint.UnitRegistry[float] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    for line in _DEFINITIONS.strip().splitlines():
        ureg.define(line)
    return ureg


@cache
def _linear(unit: str, to: str) -> tuple[float, float]:
    """Slope and offset that take a number in `unit` to `to`."""
    quantity = registry().Quantity
    zero = float(quantity(0.0, unit).to(to).magnitude)
    one = float(quantity(1.0, unit).to(to).magnitude)
    return one - zero, zero


def convert(value: float, unit: str, to: str) -> float:
    """Convert a number from one unit to another; BadInput when they do not fit."""
    import pint

    if unit == to:
        return value
    try:
        slope, offset = _linear(unit, to)
    except (pint.PintError, AttributeError, TypeError, ValueError, SyntaxError, TokenError) as error:
        allowed = EXAMPLES.get(to, f"a quantity in {to}")
        raise BadInput("this unit is not known here or does not fit", found=unit, allowed=allowed) from error
    return value * slope + offset


def read_number(text: str) -> tuple[float, str | None]:
    """Split '5 3/8 in' into 5.375 and 'in'; fractions, glyphs and both minus signs are read."""
    plain = text
    for glyph, ascii_form in _GLYPHS.items():
        plain = plain.replace(glyph, f" {ascii_form} ")
    match = _NUMBER.match(plain.replace("⁄", "/"))
    if match is None:
        raise BadInput("this is not a number with a unit", found=text)
    parts = match.groupdict()
    if parts["dec"] is not None:
        value = float(parts["dec"])
    else:
        numerator, denominator = (parts["num1"], parts["den1"]) if parts["num1"] else (parts["num2"], parts["den2"])
        if int(denominator) == 0:
            raise BadInput("a fraction over zero", found=text)
        value = int(parts["whole"] or 0) + int(numerator) / int(denominator)
    if not math.isfinite(value):
        raise BadInput("this number is too large to use", found=text)
    unit = parts["unit"].strip().rstrip(".") if parts["unit"] else None
    if unit is not None and not _UNIT.fullmatch(unit):
        raise BadInput("this is not a unit", found=unit)
    return (-value if parts["sign"] in ("-", "−") else value), unit


def parse(text: str, to: str) -> float:
    """Read a quantity with its unit and return it in the SI unit `to`.

    A bare number is refused (a unit is never guessed), except for plain numbers (`to="one"`).
    """
    if len(text) > 200:
        raise BadInput("this is too long for a quantity", found=text, allowed=EXAMPLES.get(to, to))
    try:
        value, unit = read_number(text)
    except BadInput as error:
        raise BadInput(error.message, found=text, allowed=EXAMPLES.get(to, f"a quantity in {to}")) from None
    if unit is None:
        if to == "one":
            return value
        raise BadInput("the unit is missing", found=text, allowed=EXAMPLES.get(to, f"a quantity in {to}"))
    return convert(value, _plain_unit(unit), to)


def _plain_unit(unit: str) -> str:
    if unit == "%":
        return "percent"
    return unit.replace("^", "**").replace("·", "*").replace("°", "deg").replace("²", "**2").replace("³", "**3")


def fraction(value: float, denominator: int = 16) -> str:
    """Print a number as a trade fraction to the nearest 1/denominator: 5.375 -> '5⅜'."""
    if not math.isfinite(value):
        return "–"
    steps = round(abs(value) * denominator)
    whole, part = divmod(steps, denominator)
    sign = "−" if value < 0 and steps else ""
    if part == 0:
        return f"{sign}{whole}"
    common = math.gcd(part, denominator)
    key = (part // common, denominator // common)
    glyph = _PRINTED.get(key) or f"{key[0]}⁄{key[1]}"
    # A sixteenth has no glyph of its own: a thin space keeps '5 3⁄16' from reading as 53⁄16.
    joint = "\u2009" if whole and "⁄" in glyph else ""
    return f"{sign}{whole or ''}{joint}{glyph}"


# The one setting of a surface that its words follow; a call outside of any surface shows US units.
_SYSTEM: ContextVar[str] = ContextVar("system", default="us")
SYSTEMS = ("us", "metric")


@contextmanager
def shown_in(system: str) -> Iterator[None]:
    """Show figures in US or metric units within this block; set by the surfaces, for a whole answer.

    Raises
    ------
    BadInput
        For a system that is not known.
    """
    if system not in SYSTEMS:
        raise BadInput("no such system of units", field="units", found=system, allowed=", ".join(SYSTEMS))
    token = _SYSTEM.set(system)
    try:
        yield
    finally:
        _SYSTEM.reset(token)


def metric() -> bool:
    """Whether figures are shown in metric units now."""
    return _SYSTEM.get() == "metric"


def metres_words(metres: float) -> str:
    """Length in mm below a metre, in m above."""
    if not math.isfinite(metres):
        return "–"
    size = abs(metres)
    if size < 0.9995:
        return _minus(f"{metres * 1000.0:.1f} mm" if size < 0.00995 else f"{metres * 1000.0:.0f} mm")
    return _minus(f"{metres:.2f} m" if size < 9.995 else f"{metres:.1f} m" if size < 99.95 else f"{metres:.0f} m")


def inches(metres: float, denominator: int = 8) -> str:
    """Length for the field in inches and fractions: 0.1365 -> '5⅜ in'; in mm where metric units are shown."""
    if metric():
        return metres_words(metres)
    return f"{fraction(metres / 0.0254, denominator)} in"


def feet(metres: float) -> str:
    """Length for the field, in inches below 3 ft, in feet above; in mm and m where metric units are shown."""
    if metric():
        return metres_words(metres)
    if not math.isfinite(metres):
        return "–"
    if abs(metres) < 0.9144:
        # As fine as a trapper reads it: sixteenths below an inch, eighths below two, quarters above.
        size = abs(metres) / 0.0254
        return inches(metres, 16 if size < 1 else 8 if size < 2 else 4)
    value = metres / 0.3048
    return f"{_minus(f'{value:.1f}' if abs(value) < 20 else f'{value:.0f}')} ft"


def pounds(kilograms: float) -> str:
    """Mass for the field in pounds, or in kilograms."""
    if metric():
        size = abs(kilograms)
        return f"{_minus(f'{kilograms:.{2 if size < 0.995 else 1 if size < 9.95 else 0}f}')} kg"
    value = kilograms / 0.45359237
    return f"{_minus(f'{value:.1f}' if abs(value) < 10 else f'{value:.0f}')} lb"


def pounds_force(newtons: float) -> str:
    """Force for the field in pounds-force, or in newtons."""
    if metric():
        return f"{_minus(f'{newtons:.1f}' if abs(newtons) < 99.95 else f'{newtons:.0f}')} N"
    value = newtons / 4.4482216152605
    return f"{_minus(f'{value:.1f}' if abs(value) < 20 else f'{value:.0f}')} lbf"


def fahrenheit(celsius: float) -> str:
    """Temperature for the field in °F, or in °C."""
    if metric():
        return f"{_minus(f'{celsius:.0f}')} °C".replace("−0 ", "0 ")
    return f"{_minus(f'{celsius * 1.8 + 32:.0f}')} °F"


def along(metres: float) -> tuple[float, str]:
    """A distance along the line as a number with its unit: miles, or kilometres."""
    return (metres / 1000.0, "km") if metric() else (convert(metres, "m", "mi"), "mi")


def span(metres: float) -> tuple[float, str]:
    """A size of a trap as a number with its unit: inches, or centimetres."""
    return (metres * 100.0, "cm") if metric() else (metres / 0.0254, "in")


def pull(newtons: float) -> tuple[float, str]:
    """A force as a number with its unit: pounds-force, or newtons."""
    return (newtons, "N") if metric() else (newtons / 4.4482216152605, "lbf")


def _minus(text: str) -> str:
    return text.replace("-", "−")
