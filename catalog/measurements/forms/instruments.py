"""An instrument, and its calibration."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalog.ground import fields as f
from catalog.measurements.models import Instrument

_UNIT = "In grams for a balance, in millimetres for what measures lengths."


def _figure(label: str, hint: str = "") -> f.TextLine:
    return f.TextLine(label, required=False, most=20, hint=hint)


class _Figures(f.Form):
    """Plain figures whose unit follows from the kind of instrument."""

    figures: tuple[str, ...] = ()

    def figures_said(self) -> dict[str, Decimal | None]:
        return {name: self.cleaned_data.get(name) for name in self.figures}

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for name in self.figures:
            said = (typed.get(name) or "").strip().replace(",", ".")
            typed[name] = None
            if not said:
                continue
            if not said.replace(".", "", 1).isascii() or not said.replace(".", "", 1).isdigit():
                self.add_error(name, "Write a bare figure, such as 0.1.")
            elif len(said) > 12:
                self.add_error(name, "Write at most 12 figures.")
            else:
                typed[name] = Decimal(said)
        return typed


class InstrumentForm(_Figures):
    """What stands on it, and what its maker states."""

    what = "instrument"
    figures = ("resolution", "repeatability", "linearity", "most")
    sections = [
        f.Section("What is it?", ["code", "kind", "what"]),
        f.Section("What does its maker state?", [*figures, "oiml_class"], _UNIT),
        f.Section("What else should be known?", ["note"], folded=True),
    ]
    code = f.TextLine("The short name that stands on it", most=20, wanted="Write its name, such as Bal-2.")
    kind = f.PicksField("Kind", choices=Instrument.KINDS)
    what = f.TextLine("Maker and type", required=False, most=200)  # type: ignore[assignment]
    resolution = _figure("Smallest step it shows")
    repeatability = _figure("Repeatability, one standard deviation")
    linearity = _figure("Linearity, plus or minus")
    most = _figure("The most it measures")
    oiml_class = f.PicksField(
        "Class of the balance, if one is printed on it", choices=Instrument.CLASSES, required=False
    )
    note = f.Words("Notes", required=False)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return self.figures_said() | {n: typed[n] for n in ("what", "oiml_class", "note")}


class CalibrationForm(_Figures):
    """A certificate, or a fall, a repair, an adjustment."""

    what = "calibration"
    figures = ("u", "k")
    on = f.ExactDayField("When?", past_only=True)
    outcome = f.PicksField(
        "What was found?",
        choices=[("passed", "It is within what it states"), ("doubt", "It failed, fell, or was adjusted")],
    )
    u = _figure("Uncertainty on the certificate, expanded", "In the instrument's unit.")
    k = _figure("Its factor k, mostly 2")
    due_on = f.ExactDayField("Holds until", required=False)
    paper = f.TextLine("Number of the certificate", required=False, most=200)

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        facts = self.figures_said() | {n: typed[n] for n in ("due_on", "paper")}
        if facts["u"] is not None and facts["k"] is None:
            facts["k"] = Decimal(2)
        return facts | {"passed": typed["outcome"] == "passed"}
