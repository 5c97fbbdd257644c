"""Sites, permits and material lots."""

from __future__ import annotations

from typing import Any, ClassVar

from catalog.excavations import reads
from catalog.excavations.forms.base import MATERIAL_CHOICES, FieldForm
from catalog.excavations.models import Permit, Site
from catalog.ground import fields as f


class SiteForm(FieldForm):
    what = "site"
    name = f.TextLine("What is it called?", hint="Read by all who work here; visitors read the region.")
    region = f.TextLine(
        "Region, as visitors may read it", required=False, hint="So wide that nobody finds the nest by it."
    )
    country = f.TextLine("Country, two letters", required=False, most=2, hint="NL, DE, MA.")
    note = f.Words(
        "Notes", required=False, most=10_000, hint="Read by all who work here: no coordinates, no way there."
    )

    def said(self) -> dict[str, Any]:
        return self.of("name", "region", "country", "note")

    @staticmethod
    def begin(site: Site) -> dict[str, Any]:
        return {name: getattr(site, name) for name in ("name", "region", "country", "note", "version")}


_CATEGORIES = [
    ("1", "Only the region is given"),
    ("2", "To 0.1 degree, some 10 km"),
    ("3", "To 0.01 degree, some 1 km"),
    ("4", "To 0.001 degree, some 100 m"),
    ("none", "Not kept back"),
]


class CategoryForm(FieldForm):
    """How strictly a site is kept back: nothing is chosen beforehand."""

    what = "decision"
    category = f.PicksField("How is it kept back from now on?", choices=_CATEGORIES)
    ground = f.TextLine("Why?", most=300, wanted="Write why: it is read by whoever asks later.")


class PermitForm(FieldForm):
    """A permit or a consent, as the paper says."""

    what = "paper"
    sections: ClassVar[list[f.Section]] = [
        f.Section("Which paper?", ["kind", "number", "given_by", "holder"]),
        f.Section("What does it allow?", ["site", "from_on", "until_on", "most_nests", "animals", "method"]),
        f.Section("What does it ask, and where does it lie?", ["duties", "where_it_lies", "note"]),
    ]
    kind = f.PicksField("It is a", choices=Permit.KINDS)
    number = f.TextLine("Its number, or the words it is known by", most=80, figures=True)
    given_by = f.ChooserField("Who gave it?", kind="person", required=False)
    holder = f.ChooserField("Who holds it?", kind="person", required=False)
    site = f.ListField("For which site?", none="for no single site", required=False)
    from_on = f.ExactDayField("From", required=False)
    until_on = f.ExactDayField("Until", required=False)
    most_nests = f.CountField("How many nests at most?", unit="nests", most=10_000, required=False)
    animals = f.TextLine("Which animals?", required=False, most=300)
    method = f.TextLine("By which method?", required=False, most=300)
    duties = f.Words("What has to be reported, to whom, by when?", required=False, rows=2, most=10_000)
    where_it_lies = f.TextLine("Where does the paper lie?", required=False, most=300)
    note = f.Words("Notes", required=False, most=10_000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sites = list(reads.sites(self.actor).order_by("name"))
        self.fields["site"].offer((str(s.pk), s.name) for s in self.sites)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        self.people = {name: self.person(name) for name in ("given_by", "holder")}
        return typed

    def said(self) -> dict[str, Any]:
        names = ("kind", "number", "from_on", "until_on", "most_nests", "animals", "method", "duties", "where_it_lies")
        return self.of(*names, "note") | self.people | {"site": self.one_of("site", self.sites)}

    @staticmethod
    def begin(paper: Permit) -> dict[str, Any]:
        names = ("kind", "number", "from_on", "until_on", "most_nests", "animals", "method", "duties", "where_it_lies")
        begun = {name: getattr(paper, name) for name in (*names, "note", "version")}
        for name in ("given_by", "holder"):
            person = getattr(paper, name)
            begun[name] = f.Chosen(person.name, str(person.pk)) if person else None
        return begun | {"site": str(paper.site_id or "")}


class LotForm(FieldForm):
    """A bag, can, ingot set or scrap source."""

    what = "lot"
    code = f.TextLine("Its code", most=20, figures=True, hint="Short, with a figure: Z-4, P-11.")
    material = f.ListField("Of what?", choices=MATERIAL_CHOICES, none="choose one")
    kind = f.TextLine(
        "What is it?", most=300, required=False, hint="Ingots from old gutters; fine casting plaster, 25 kg bag."
    )
    from_whom = f.TextLine("From whom?", required=False)
    taken_in_g = f.AmountField("How much is there?", unit="g", what="mass", required=False)
    opened_on = f.ExactDayField("Since when?", required=False, past_only=True)
    note = f.Words("Notes", required=False, most=10_000)

    def said(self) -> dict[str, Any]:
        return self.of("material", "from_whom", "opened_on", "note") | {"what": self.cleaned_data["kind"]}


class MassForm(FieldForm):
    """One line of a lot's ledger. A correction may be below zero."""

    what = "line"
    mass_g = f.AmountField("How much?", unit="g", what="mass")
    on = f.ExactDayField("When, if not today?", required=False, past_only=True)
    by = f.ChooserField("By whom, if not you?", kind="person", required=False)
    words = f.TextLine("How did it come to that?", required=False, most=300)

    def __init__(self, *args: Any, signed: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if signed:
            self.fields["mass_g"].least = None  # type: ignore[attr-defined]
            self.fields["mass_g"].help_text = "Too little in the book: above zero. Too much: below zero, such as -250."

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        self.moved_by = self.person("by")
        return typed

    def said(self) -> dict[str, Any]:
        return self.of("on", "words") | {"by": self.moved_by}
