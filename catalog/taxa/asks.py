"""What names of animals ask of the rooms above."""

from __future__ import annotations

from catalog.ground.asks import Ask
from catalog.taxa.models import Taxon

# asked after a corrected name is stored; each answer says in a sentence what followed
name_corrected: Ask[[Taxon], str] = Ask("a name was corrected; what of yours is found by it?")
