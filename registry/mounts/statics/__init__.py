"""Loads on supports by statics: rigid body, weights straight down. Pure; loads on the record, never a design."""

from registry.mounts.statics.bodies import G, Part, centre_of_mass, weight_n
from registry.mounts.statics.margin import Verdict, use_of, verdict_of
from registry.mounts.statics.reckoning import Carrier, Carrying, Reckoned, reckon
from registry.mounts.statics.sharing import Shared, share
from registry.mounts.statics.special import bracket, tension_n
from registry.mounts.statics.tipping import Tipping, tipping

__all__ = [
    "Carrier",
    "Carrying",
    "G",
    "Part",
    "Reckoned",
    "Shared",
    "Tipping",
    "Verdict",
    "bracket",
    "centre_of_mass",
    "reckon",
    "share",
    "tension_n",
    "tipping",
    "use_of",
    "verdict_of",
    "weight_n",
]
