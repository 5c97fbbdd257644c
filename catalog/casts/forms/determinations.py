"""A determination as typed."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Determination
from catalog.ground import fields as f
from catalog.people.reads import person_meant
from catalog.taxa.models import Taxon


class DeterminationForm(f.Form):
    """Who says which animal it is, and on which ground."""

    what = "determination"
    pencil = "determination"
    taxon = f.ChooserField(
        "Which animal?", kind="taxon", required=False, hint="A name on our list, or words that are kept as said."
    )
    qualifier = f.PicksField("How sure?", choices=[("", "Sure"), *Determination.QUALIFIERS], required=False)
    ground = f.PicksField("On which ground?", choices=Determination.GROUNDS)
    by = f.ChooserField("Who says so?", kind="person", required=False, as_new="person")
    on = f.UncertainDayField("When?", required=False)
    remark = f.Words("Remark", required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        chosen, by = typed.get("taxon"), typed.get("by")
        if not chosen and "taxon" not in self.errors:
            self.add_error("taxon", "Name an animal, or write what it may be.")
        typed["by"] = person_meant(by.value or by.text) if by else None
        return typed

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        chosen = typed["taxon"]
        taxon = _taxon(chosen)
        words = "" if taxon else chosen.text
        kept = {n: typed[n] for n in ("qualifier", "ground", "by", "on", "remark")}
        return kept | {"taxon": taxon, "words": words}


def _taxon(chosen: f.Chosen) -> Taxon | None:
    if chosen.value.isdigit():
        return Taxon.objects.filter(pk=int(chosen.value)).first()
    return Taxon.objects.filter(name__iexact=chosen.text).first()
