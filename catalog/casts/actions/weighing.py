"""The one way in which the mass of a body changes: a weighing that stands."""

from __future__ import annotations

from decimal import Decimal

from catalog.casts.actions.pieces import hold_subject
from catalog.casts.models import Cast, Piece
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject
from catalog.ground.acting import action, store
from catalog.ground.refusal import Refusal, refuse_if
from catalog.ground.roles import Actor


@action("tray.enter")
def set_mass(
    actor: Actor, subject: Subject, mass_g: Decimal | None, *, u_g: Decimal | None = None, state: str = ""
) -> Subject:
    """The mass that stands of a cast or piece, its standard uncertainty, the state it was weighed in. None: none stands."""
    held = hold_subject(subject)
    refuse_if(rules.hinders_mass(mass_g) + rules.hinders_uncertainty(u_g), Refusal)
    body: Cast | Piece = held.piece or held.cast
    body.mass_g, body.mass_u_g, body.mass_state = mass_g, u_g, state
    if isinstance(body, Cast):
        body.mass_said = ""
    store(body)
    return held
