"""One kind of animal, with every figure and where it came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from setwright.basis.source import Quantity, unknown

ROLES = ("target", "nontarget", "protected", "pet", "stock", "game", "limited")

# What has to be measured or asked where a figure is not known.
UNKNOWN: Mapping[str, Quantity] = MappingProxyType(
    {
        "mass": unknown("kg", "weigh some of these animals"),
        "mass_cv": unknown("one", "weigh several of these animals"),
        "mass_low": unknown("kg", "weigh several of these animals"),
        "mass_high": unknown("kg", "weigh several of these animals"),
        "fore_width": unknown("m", "measure a fore foot across"),
        "fore_length": unknown("m", "measure a fore foot along"),
        "hind_width": unknown("m", "measure a hind foot across"),
        "hind_length": unknown("m", "measure a hind foot along"),
        "step": unknown("m", "measure the distance between tracks at a walk"),
        "reach_fore": unknown("m", "measure from fore foot to nostrils, stretched"),
        "reach_hind": unknown("m", "measure from hind foot to nostrils, stretched"),
        "jaw_low": unknown("m", "which is the smallest jaw spread that suits it"),
        "jaw_high": unknown("m", "which is the largest jaw spread that suits it"),
        "pan_low": unknown("N", "which is the lowest pan trip force in use for it"),
        "pan_high": unknown("N", "which is the highest pan trip force in use for it"),
        "share": unknown("one", "what share of the weight does one foot bear at a walk"),
        "share_sd": unknown("one", "how much does that share vary"),
        "dive_max": unknown("s", "how long does it dive of its own will"),
        "loss_time": unknown("s", "after what time under water is brain activity lost"),
        "speed": unknown("m/s", "how fast is it at most"),
        "acceleration": unknown("m/s**2", "how hard does it start"),
        "grip_thickness_fore": unknown("m", "measure the fore limb where the jaws take it"),
        "grip_thickness_hind": unknown("m", "measure the hind limb where the jaws take it"),
        "grip_height": unknown("m", "at what height above the pan should the jaws meet the foot"),
        "night": unknown("one", "what share of it passes by night"),
        "twilight": unknown("one", "what share of it passes at dawn and dusk"),
        "day": unknown("one", "what share of it passes by day"),
        "group": unknown("one", "how many travel together"),
    }
)

QUANTITIES: tuple[str, ...] = tuple(UNKNOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """A kind of animal that may come to a set; a figure that nobody knows has the value None.

    Parameters
    ----------
    key : str
        Name in the table.
    name, latin : str
        Name for people, zoological name.
    class_ : str
        Build: canid, felid, procyonid, mephitid, didelphid, rodent, mustelid, lagomorph, bird, ungulate.
    roles : tuple of str
        Any of `ROLES`. A role is the usual standing; the local law decides.
    note : str
        One remark, or empty.
    mass, mass_cv, mass_low, mass_high : Quantity
        Median body mass [kg], relative spread of individuals [-], range of adults [kg].
    fore_width, fore_length, hind_width, hind_length : Quantity
        Print of the fore and hind foot [m].
    step : Quantity
        Distance between successive foot places at a walk [m]; a stride is two steps.
    reach_fore, reach_hind : Quantity
        Held foot to nostrils [m].
    jaw_low, jaw_high : Quantity
        Band of jaw spreads in use for the animal [m].
    pan_low, pan_high : Quantity
        Band of pan trip forces in use for the animal [N].
    share, share_sd : Quantity
        Peak vertical force of one foot over body weight at a walk, and its spread [-].
    dive_max, loss_time : Quantity
        Longest free dive [s]; time to loss of brain activity in forced submersion [s] (disputed).
    speed, acceleration : Quantity
        Top speed [m/s], hard start [m/s²]; in water for beaver, muskrat, otter, nutria.
    grip_thickness_fore, grip_thickness_hind : Quantity
        Thickness of the held limb [m].
    grip_height : Quantity
        Height above the pan at which the jaws should meet the foot for a catch across the pad [m].
    night, twilight, day : Quantity
        Shares of what passes a place in 24 h by part of the day; they add up to 1 [-].
    group : Quantity
        Animals that travel together [-].

    """

    key: str
    name: str
    latin: str = ""
    class_: str = ""
    roles: tuple[str, ...] = ()
    note: str = ""
    mass: Quantity = UNKNOWN["mass"]
    mass_cv: Quantity = UNKNOWN["mass_cv"]
    mass_low: Quantity = UNKNOWN["mass_low"]
    mass_high: Quantity = UNKNOWN["mass_high"]
    fore_width: Quantity = UNKNOWN["fore_width"]
    fore_length: Quantity = UNKNOWN["fore_length"]
    hind_width: Quantity = UNKNOWN["hind_width"]
    hind_length: Quantity = UNKNOWN["hind_length"]
    step: Quantity = UNKNOWN["step"]
    reach_fore: Quantity = UNKNOWN["reach_fore"]
    reach_hind: Quantity = UNKNOWN["reach_hind"]
    jaw_low: Quantity = UNKNOWN["jaw_low"]
    jaw_high: Quantity = UNKNOWN["jaw_high"]
    pan_low: Quantity = UNKNOWN["pan_low"]
    pan_high: Quantity = UNKNOWN["pan_high"]
    share: Quantity = UNKNOWN["share"]
    share_sd: Quantity = UNKNOWN["share_sd"]
    dive_max: Quantity = UNKNOWN["dive_max"]
    loss_time: Quantity = UNKNOWN["loss_time"]
    speed: Quantity = UNKNOWN["speed"]
    acceleration: Quantity = UNKNOWN["acceleration"]
    grip_thickness_fore: Quantity = UNKNOWN["grip_thickness_fore"]
    grip_thickness_hind: Quantity = UNKNOWN["grip_thickness_hind"]
    grip_height: Quantity = UNKNOWN["grip_height"]
    night: Quantity = UNKNOWN["night"]
    twilight: Quantity = UNKNOWN["twilight"]
    day: Quantity = UNKNOWN["day"]
    group: Quantity = UNKNOWN["group"]

    @property
    def is_target(self) -> bool:
        """True when sets are made for it."""
        return "target" in self.roles

    @property
    def is_nontarget(self) -> bool:
        """True when it may come to a set that is not meant for it."""
        return "nontarget" in self.roles

    @property
    def is_protected(self) -> bool:
        """True when the law protects it in many places; the local law decides."""
        return "protected" in self.roles

    @property
    def is_pet(self) -> bool:
        """True for dogs and house cats."""
        return "pet" in self.roles

    @property
    def is_stock(self) -> bool:
        """True for farm animals."""
        return "stock" in self.roles

    @property
    def is_game(self) -> bool:
        """True for animals that are hunted by licence and not trapped."""
        return "game" in self.roles

    @property
    def is_limited(self) -> bool:
        """True when a bag limit is usual."""
        return "limited" in self.roles
