"""Choosing: a few answers as picks, one known thing out of many by the chooser."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms

from catalog.ground.fields.base import Asks, refuse

UNKNOWN = ("unknown", "Unknown")
KINDS = ("place", "person", "taxon", "cast", "excavation")
LONGEST = 200

Choices = Iterable[tuple[str, str]]


class PicksInput(forms.RadioSelect):
    template_name = "look/widgets/picks.html"
    use_fieldset = True


class ManyPicksInput(forms.CheckboxSelectMultiple):
    template_name = "look/widgets/picks.html"
    use_fieldset = True


class PicksField(Asks, forms.ChoiceField):
    """One of up to seven answers -> its value, or "". Nothing is chosen beforehand; `unknown` adds an answer of that name."""

    widget = PicksInput
    wanted = "Choose one of these."

    def __init__(self, label: str = "", *, choices: Choices, unknown: bool = False, **rest: Any) -> None:
        answers = [*choices, *([UNKNOWN] if unknown else [])]
        rest["error_messages"] = {"invalid_choice": self.wanted} | rest.get("error_messages", {})
        super().__init__(label, choices=answers, **rest)


class ManyPicksField(Asks, forms.MultipleChoiceField):
    """Any of up to seven answers -> list of values."""

    widget = ManyPicksInput
    wanted = "Choose at least one of these."

    def __init__(self, label: str = "", *, choices: Choices, **rest: Any) -> None:
        rest["error_messages"] = {"invalid_choice": self.wanted} | rest.get("error_messages", {})
        super().__init__(label, choices=list(choices), **rest)


class ListField(Asks, forms.ChoiceField):
    """One of many known answers, by the browser's own list -> its value, or "". `none` says what an empty answer means."""

    widget = forms.Select
    wanted = "Choose one of the list."

    def __init__(self, label: str = "", *, choices: Choices = (), none: str = "", **rest: Any) -> None:
        rest["error_messages"] = {"invalid_choice": self.wanted} | rest.get("error_messages", {})
        self.none = none
        super().__init__(label, choices=self._with_none(choices), **rest)
        self.widget.attrs |= {"class": "in"}

    def offer(self, choices: Choices) -> None:
        """The answers that are known only when the form is made."""
        self.choices = self._with_none(choices)

    def _with_none(self, choices: Choices) -> list[tuple[str, str]]:
        return [*([("", self.none)] if self.none else []), *choices]


@dataclass(frozen=True)
class Chosen:
    """What stands in a chooser: the words, and what was chosen by them (a place's code, a number, a public id), if anything."""

    text: str
    value: str = ""

    def __str__(self) -> str:
        return self.text


class ChooserInput(forms.TextInput):
    template_name = "look/widgets/chooser.html"
    kind = ""
    as_new = ""

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value.text if isinstance(value, Chosen) else value, attrs)
        chosen = value if isinstance(value, Chosen) and value.value else None
        context["widget"] |= {
            "kind": self.kind,
            "as_new": self.as_new,
            "chosen": chosen.value if chosen else "",
            "was": chosen.text if chosen else "",
            "scans": self.kind in ("place", "cast"),
        }
        return context

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Chosen:
        text = (data.get(name) or "").strip()
        stands = text and text == (data.get(f"{name}_was") or "").strip()
        return Chosen(text, (data.get(f"{name}_value") or "").strip() if stands else "")


class ChooserField(Asks, forms.Field):
    """Something known, by its words -> `Chosen`, or None. `value` is set when a row of the list was taken, else the words alone.

    `kind`: place, person, taxon, cast, excavation. `as_new`: a last row such as `Write … as a new person`.
    """

    widget = ChooserInput
    wanted = "Write its name or number, or scan it."

    def __init__(self, label: str = "", *, kind: str, as_new: str = "", **rest: Any) -> None:
        if kind not in KINDS:
            raise ValueError(f"no such kind to choose from: {kind}")
        super().__init__(label, **rest)
        self.widget.kind, self.widget.as_new = kind, as_new
        self.widget.attrs |= {"class": "in", "autocomplete": "off", "spellcheck": "false"}

    def to_python(self, value: Any) -> Chosen | None:
        if not isinstance(value, Chosen):
            value = Chosen(str(value or "").strip())
        if len(value.text) > LONGEST:
            raise refuse(f"Shorten this to {LONGEST} letters; it has {len(value.text)}.")
        return value if value.text else None

    def prepare_value(self, value: Any) -> Any:
        return value if isinstance(value, (Chosen, str)) or value is None else Chosen(str(value))


class PlaceField(ChooserField):
    """A place, by its code, any part of its path, or a scan -> `Chosen`; its `value` is the place's code."""

    wanted = "Write the place or its code, or scan it."

    def __init__(self, label: str = "", **rest: Any) -> None:
        super().__init__(label, kind="place", **rest)
