"""Figures: an amount with its unit, a count."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms

from catalog.ground import figures, say
from catalog.ground.fields.base import Asks, refuse


class AmountInput(forms.TextInput):
    template_name = "look/widgets/amount.html"
    unit = ""

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"]["unit"] = self.unit
        return context


class CountInput(AmountInput):
    template_name = "look/widgets/count.html"


class AmountField(Asks, forms.CharField):
    """A figure with its unit, as people write it (`1,5 kg`, `~80`, `80±2`) -> `figures.Amount` in `unit`, or None.

    `what` is the word for the quantity in sentences; `decimal_comma` settles 1.500, None asks back; `least` None: may be below zero.
    """

    widget = AmountInput

    def __init__(
        self,
        label: str = "",
        *,
        unit: str,
        what: str,
        least: Decimal | None = Decimal(0),
        decimal_comma: bool | None = None,
        **rest: Any,
    ) -> None:
        self.unit, self.what, self.least, self.decimal_comma = unit, what, least, decimal_comma
        super().__init__(label, **{"wanted": f"Write the {what}, such as 12.5 {unit}.", **rest})
        self.widget.unit = unit
        self.widget.attrs |= {"class": "in fig", "inputmode": "decimal", "autocomplete": "off"}

    def to_python(self, value: Any) -> Any:
        said = super().to_python(value)
        if not said:
            return None
        try:
            return figures.read_amount(
                said, unit=self.unit, what=self.what, least=self.least, decimal_comma=self.decimal_comma
            )
        except ValueError as error:
            raise refuse(error) from error

    def validate(self, value: Any) -> None:
        if value is None:
            super().validate("")

    def run_validators(self, value: Any) -> None:
        """An Amount is checked where it is read."""

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, figures.Amount):
            return value.said
        if not isinstance(value, (Decimal, int)):
            return value
        shown = say.figure(value, spaced_from=99).replace(say.MINUS, "-")
        # what we show is never asked back: 412.605 could be read two ways, 412.6050 cannot
        return f"{shown}0" if self.decimal_comma is None and re.fullmatch(r"-?\d{1,3}\.\d{3}", shown) else shown

    def read_back(self, value: figures.Amount | None) -> str:
        if value is None or value.said.strip() == say.figure(value.value, spaced_from=99):
            return ""
        if value.uncertainty is not None:
            return f"= {figures.with_uncertainty(value.value, value.uncertainty, self.unit)}"
        sign = "about " if value.approximate else "below " if value.below else ""
        return f"= {sign}{figures.shown(value.value, self.unit)}"


class CountField(Asks, forms.CharField):
    """A whole number -> int, or None. `unit` names what is counted and stands behind the field."""

    widget = CountInput
    wanted = "Write a whole number, such as 3."

    def __init__(self, label: str = "", *, least: int = 0, most: int = 100_000, unit: str = "", **rest: Any) -> None:
        self.least, self.most = least, most
        super().__init__(label, **rest)
        self.widget.unit = unit
        self.widget.attrs |= {"class": "in fig", "inputmode": "numeric", "autocomplete": "off"}

    def to_python(self, value: Any) -> Any:
        said = super().to_python(value)
        if not said:
            return None
        figures_only = re.sub(r"[\s\u202f]", "", said)
        if not re.fullmatch(r"[0-9]{1,9}", figures_only):
            raise refuse(f"'{said[:20]}' is not a whole number. Write it in figures, such as 3.")
        count = int(figures_only)
        if not self.least <= count <= self.most:
            raise refuse(f"Write a number from {say.figure(self.least)} to {say.figure(self.most)}.")
        return count

    def validate(self, value: Any) -> None:
        if value is None:
            super().validate("")

    def run_validators(self, value: Any) -> None:
        """A count is checked where it is read."""
