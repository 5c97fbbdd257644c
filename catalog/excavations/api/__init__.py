"""Digs, sites, permits, pours, lifts, bags and material lots by the API. Exact places go only to who may know them."""

from catalog.excavations.api.around import Permits, SiteCategory, Sites
from catalog.excavations.api.digs import Excavations
from catalog.excavations.api.lifting import Bags, Lifts
from catalog.excavations.api.material import LotLines, MaterialLots, Pours

__all__ = ["Bags", "Excavations", "Lifts", "LotLines", "MaterialLots", "Permits", "Pours", "SiteCategory", "Sites"]
