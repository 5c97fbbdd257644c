"""Words: a line, a paragraph, coordinates as they were read."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator

from catalog.ground import say
from catalog.ground.fields.base import Asks


class LineInput(forms.TextInput):
    template_name = "look/widgets/line.html"


class WordsInput(forms.Textarea):
    template_name = "look/widgets/words.html"


class CoordinatesInput(forms.TextInput):
    template_name = "look/widgets/coordinates.html"


class Short(MaxLengthValidator):
    def __init__(self, most: int) -> None:
        super().__init__(most, f"Shorten this to {say.figure(most)} letters; it has %(show_value)s.")


class TextLine(Asks, forms.CharField):
    """One line. `figures` sets it in the face of numbers; `autocomplete` and `spoken_as` (inputmode) go to the browser."""

    widget: type[forms.TextInput] = LineInput
    wanted = "Write a few words here."

    def __init__(
        self,
        label: str = "",
        *,
        most: int = 200,
        figures: bool = False,
        autocomplete: str = "",
        inputmode: str = "",
        **rest: Any,
    ) -> None:
        super().__init__(label, **rest)
        self.validators.append(Short(most))
        self.widget.attrs["class"] = "in fig" if figures else "in"
        if autocomplete:
            self.widget.attrs["autocomplete"] = autocomplete
        if inputmode:
            self.widget.attrs["inputmode"] = inputmode


class Words(Asks, forms.CharField):
    """Several lines, kept as they are written but for blank edges."""

    widget = WordsInput
    wanted = "Write a few words here."

    def __init__(self, label: str = "", *, most: int = 5000, rows: int = 4, **rest: Any) -> None:
        super().__init__(label, **rest)
        self.validators.append(Short(most))
        self.widget.attrs |= {"class": "in", "rows": rows}


class CoordinatesField(TextLine):
    """Coordinates letter for letter as they were read from a field book, a phone or a map: text, up to 120 letters."""

    widget = CoordinatesInput
    wanted = "Write where it is, such as 52°58'30\" N 5°21' E."

    def __init__(self, label: str = "", **rest: Any) -> None:
        super().__init__(label, most=120, figures=True, autocomplete="off", **rest)
