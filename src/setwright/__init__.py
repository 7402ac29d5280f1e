"""Plan, explain and check foothold-trap sets, one link of the chain at a time."""

__version__ = "0.1.0"
