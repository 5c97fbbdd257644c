"""What the forms of this room share: whose eyes they look with, and how words become people, names and sites."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from catalog.excavations import reads
from catalog.excavations.models import MATERIALS, Excavation
from catalog.ground import fields as f
from catalog.ground.roles import Actor
from catalog.people.models import Person
from catalog.people.reads import person_meant

MATERIAL_CHOICES = [(m, m) for m in MATERIALS]


class FieldForm(f.Form):
    """A form that knows who fills it in."""

    def __init__(self, *args: Any, actor: Actor, **kwargs: Any) -> None:
        self.actor = actor
        super().__init__(*args, **kwargs)

    def of(self, *names: str) -> dict[str, Any]:
        """These answers, figures as decimals."""
        return {name: figure(self.cleaned_data[name]) for name in names}

    def one_of(self, name: str, rows: Iterable[Any]) -> Any:
        """The record that was chosen in a list; None for none."""
        return next((r for r in rows if str(r.pk) == self.cleaned_data[name]), None)

    def person(self, name: str) -> Person | None:
        """The person that a chooser means; an error where nobody is."""
        chosen: f.Chosen | None = self.cleaned_data.get(name)
        found = person_meant(chosen.value or chosen.text) if chosen else None
        if chosen and found is None:
            self.add_error(name, unknown_person(chosen.text))
        return found

    def dig(self, name: str) -> Excavation | None:
        """The excavation that a chooser means, by its own number or the field book's; an error where there is none."""
        chosen: f.Chosen | None = self.cleaned_data.get(name)
        found = reads.excavation_meant(self.actor, chosen.value or chosen.text) if chosen else None
        if chosen and found is None:
            self.add_error(name, f"“{chosen.text}” is not an excavation of ours. Write it under Excavations first.")
        return found


def unknown_person(words: str) -> str:
    return f"“{words}” is nobody we know. Write them under People first, or leave this empty."


def figure(answer: Any) -> Any:
    """The value of a figure that was typed; anything else as it is."""
    return answer.value if hasattr(answer, "value") and isinstance(answer.value, Decimal) else answer
