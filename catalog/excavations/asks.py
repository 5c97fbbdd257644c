"""What excavations ask of the rooms above when a place is kept back more strictly, or stands elsewhere."""

from __future__ import annotations

from catalog.excavations.models import Excavation, Permit, Site
from catalog.ground.asks import Ask, Panel
from catalog.ground.roles import Actor

# asked after the new category is stored; each answer says in a sentence what followed
place_raised: Ask[[Site], str] = Ask("the category of a site was changed; what follows for you?")
# asked after the exact place and the site of an excavation are stored
excavation_placed: Ask[[Excavation], str] = Ask("an excavation got its place, or another one; what follows for you?")
# pictures, papers, casts on the page of an excavation or a permit; the question of a Panel is its heading there
excavation_panels: Ask[[Actor, Excavation | Permit], Panel] = Ask("what does this room show beside it?")
