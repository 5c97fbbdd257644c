"""Days: an uncertain one in plain words, an exact one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django import forms

from catalog.ground import say
from catalog.ground.edtf import from_words, in_words, read_edtf
from catalog.ground.fields.base import Asks, refuse


class UncertainDayInput(forms.TextInput):
    template_name = "look/widgets/line.html"


class DayInput(forms.TextInput):
    input_type = "date"
    template_name = "look/widgets/line.html"


def collection_today() -> date:
    """The local day of the collection."""
    from catalog.ground.collection import today

    return today()


class UncertainDayField(Asks, forms.CharField):
    """A date in plain words (`about 1987`, `summer 2011`, `before 1990`) -> EDTF text; empty stays empty.

    `past_only` refuses what has not come yet. `day_first` settles 3/4/2011, None asks back. `south`: whose summer it is.
    """

    widget = UncertainDayInput
    wanted = "Write a year, a month, a day, or unknown."

    def __init__(
        self,
        label: str = "",
        *,
        past_only: bool = True,
        day_first: bool | None = None,
        south: bool | None = False,
        today: Callable[[], date] = collection_today,
        **rest: Any,
    ) -> None:
        self.past_only, self.day_first, self.south, self.today = past_only, day_first, south, today
        super().__init__(label, **rest)
        self.widget.attrs |= {"class": "in day", "autocomplete": "off"}

    def to_python(self, value: Any) -> Any:
        said = super().to_python(value)
        if not said:
            return ""
        try:
            return from_words(
                said, today=self.today(), day_first=self.day_first, past_only=self.past_only, south=self.south
            )
        except ValueError as error:
            raise refuse(error) from error

    def prepare_value(self, value: Any) -> Any:
        """A kept EDTF text is shown in words where the words lead back to it; they bear a year, so no day of reading matters."""
        if not isinstance(value, str) or not value:
            return value
        words = in_words(value)
        try:
            same = from_words(words, today=date.max, past_only=False, south=self.south) == value
        except ValueError:
            same = False
        return words if same else value

    def read_back(self, value: str) -> str:
        if not value:
            return ""
        span = read_edtf(value, south=self.south)
        words = f"= {in_words(value)}"
        if span.earliest and span.latest and span.earliest != span.latest:
            return f"{words}: {say.day(span.earliest)} to {say.day(span.latest)}"
        return words


class ExactDayField(Asks, forms.CharField):
    """One day -> `datetime.date`, or None. The browser's own calendar; words such as `11 June 2026` are read too.

    `past_only` refuses days to come, `from_today` days gone by.
    """

    widget = DayInput
    wanted = "Write a day, such as 11 June 2026."

    def __init__(
        self,
        label: str = "",
        *,
        past_only: bool = False,
        from_today: bool = False,
        today: Callable[[], date] = collection_today,
        **rest: Any,
    ) -> None:
        self.past_only, self.from_today, self.today = past_only, from_today, today
        super().__init__(label, **rest)
        self.widget.attrs |= {"class": "in day"}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, date):
            return value
        said = super().to_python(value)
        return self._day(said) if said else None

    def _day(self, said: str) -> date:
        try:
            span = read_edtf(from_words(said, today=self.today(), day_first=True, past_only=self.past_only))
        except ValueError as error:
            raise refuse(error) from error
        if span.earliest is None or span.precision != "day" or span.uncertain or span.approximate:
            raise refuse(f"Here the exact day is wanted, not {in_words(span.text)}. {self.wanted}")
        if self.from_today and span.earliest < self.today():
            raise refuse(f"{say.day(span.earliest)} is over. Write today or a later day.")
        return span.earliest

    def validate(self, value: Any) -> None:
        if value is None:
            super().validate("")

    def run_validators(self, value: Any) -> None:
        """A day is checked where it is read."""

    def prepare_value(self, value: Any) -> Any:
        return value.isoformat() if isinstance(value, date) else value
