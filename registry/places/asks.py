"""Questions that places state and the rooms above answer."""

from __future__ import annotations

from catalog.ground.asks import Ask, Panel
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor
from registry.places.models import Place

what_hinders_putting: Ask[[Place], Reason] = Ask("what stands in the way of putting anything into this place?")
place_panels: Ask[[Actor, Place], Panel] = Ask("what does this room show on the page of a place?")
