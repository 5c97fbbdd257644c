"""What was typed of a name."""

from __future__ import annotations

from typing import Any, ClassVar

from catalog.ground import fields as f
from catalog.taxa.models import Taxon
from catalog.taxa.rules import SAYABLE


class NameForm(f.Form):
    """The scientific name; the rest as far as known."""

    what = "name"
    sections: ClassVar[list[f.Section]] = [
        f.Section("What does it belong to?", ["order", "family", "class_name", "phylum", "kingdom"], folded=True),
        f.Section("What else should be known?", ["group", "note"], folded=True),
    ]
    name = f.TextLine("Scientific name", wanted="Write the scientific name, such as Upogebia deltaura.")
    author = f.TextLine(
        "Author and year", required=False, hint="As the code of its science writes them: (Montagu, 1808)."
    )
    common_name = f.TextLine("Common name", required=False)
    rank = f.PicksField("What kind of name is it?", choices=Taxon.RANKS)
    order = f.TextLine("Order", required=False, most=80)
    family = f.TextLine("Family", required=False, most=80)
    class_name = f.TextLine("Class", required=False, most=80)
    phylum = f.TextLine("Phylum", required=False, most=80)
    kingdom = f.TextLine("Kingdom", required=False, most=80)
    group = f.TextLine(
        "Form of its nest",
        required=False,
        most=80,
        hint="Spiral, branching, bundle of shafts, gallery, chambers on a shaft: so it is drawn where no photograph is.",
    )
    note = f.Words("Notes", required=False, most=10_000)

    def said(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in SAYABLE}

    @staticmethod
    def begin(taxon: Taxon) -> dict[str, Any]:
        return {name: getattr(taxon, name) for name in SAYABLE} | {"version": taxon.version}
