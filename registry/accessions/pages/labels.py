"""Labels: for which things, which label, on what; seen before they are printed. Nothing is written here."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse, QueryDict
from django.shortcuts import render

from catalog.casts.lists import casts_listing
from catalog.ground.http import Asked, page
from catalog.ground.pdf import pdf_answer
from catalog.ground.refusal import NotFound, Reason, Refusal
from registry.accessions.forms.labels import ROLL, SHEET, LabelsForm, numbers_in
from registry.accessions.label_kinds import KINDS, Kind
from registry.accessions.label_words import Thing, heading
from registry.accessions.pages.markings import MOST as MOST_MARKED
from registry.accessions.papers import printed_labels as printed
from registry.accessions.reads.labelled import MOST, of_casts, pieces_of_cast, things_of, unused_bags

_SHOWN = 12
_WHOLE = ("list:", "pieces:", "bags")


@dataclass(frozen=True)
class Wanted:
    """What was asked for: the things, the texts that are none of ours, the kind, the sheet or roll, the first free label."""

    of: str
    things: list[Thing]
    unknown: list[str]
    kind: Kind
    on: str
    first: int

    @property
    def query(self) -> str:
        return urlencode({"of": self.of, "kind": self.kind.key, "on": self.on, "first": self.first})

    @property
    def n(self) -> int:
        return len(self.things) * (2 if self.kind.paired else 1)


def _wanted(request: Asked) -> Wanted:
    asked = request.GET
    form = LabelsForm(asked)
    if not form.is_valid():
        raise Refusal(*(Reason(" ".join(str(s) for s in sentences), name) for name, sentences in form.errors.items()))
    of, on = form.cleaned_data["of"], form.cleaned_data["on"] or SHEET
    things, unknown = _things(request, of)
    if len(things) > MOST:
        raise Refusal(f"These are {len(things)} things. At most {MOST} labels are printed at once: narrow the list.")
    return Wanted(
        of, things, unknown, printed.kind_of(asked.get("kind", ""), things), on, form.cleaned_data["first"] or 1
    )


def _things(request: Asked, of: str) -> tuple[list[Thing], list[str]]:
    """`list:` and the query of the list of casts; `pieces:` and a cast's number; `bags` for the unused ones; else numbers."""
    if of.startswith("list:"):
        asked = copy.copy(request)
        asked.GET = QueryDict(of.removeprefix("list:").lstrip("?"))  # type: ignore[assignment]
        return of_casts(casts_listing(asked).rows[: MOST + 1]), []
    if of.startswith("pieces:"):
        return pieces_of_cast(request.actor, of.removeprefix("pieces:")), []
    if of == "bags":
        return unused_bags(request.actor), []
    numbers = numbers_in(of)
    if len(numbers) > MOST:
        raise Refusal(f"These are {len(numbers)} numbers. At most {MOST} labels are printed at once.")
    return things_of(request.actor, numbers)


@page("label.print")
def labels(request: Asked) -> HttpResponse:
    """What for, which label, on what, from where; then the sheet as it will be."""
    try:
        wanted = _wanted(request)
    except (Refusal, NotFound) as refusal:
        if type(refusal) not in (Refusal, NotFound):
            raise
        form = LabelsForm(request.GET)
        facts = {"form": form, "refused": [r.sentence for r in refusal.reasons], "chosen": KINDS["object"], "of": ""}
        return render(request, "accessions/labels.html", facts, status=refusal.status)
    return render(request, "accessions/labels.html", _facts(wanted))


def _facts(wanted: Wanted) -> dict[str, Any]:
    begun = {"of": wanted.of, "on": wanted.on, "first": wanted.first}
    numbers = [thing.number for thing in wanted.things]
    of, kind = wanted.things, wanted.kind
    markable = [thing.number for thing in of if thing.kind in ("cast", "piece")]
    return {
        "form": LabelsForm(initial=begun),
        "of": wanted.of if wanted.of.startswith(_WHOLE) else "",
        "one_by_one": urlencode({"of": ",".join(numbers), "kind": kind.key}) if len(numbers) <= 300 else "",
        "wanted": wanted,
        "query": wanted.query,
        "heading": heading(of),
        "shown": of[:_SHOWN],
        "more": len(of) - _SHOWN,
        "pieces_of": of[0].number if len(of) == 1 and of[0].kind == "cast" and of[0].has_pieces else "",
        "kinds": _offered(wanted),
        "chosen": kind,
        "sheet": printed.sheet_of(kind, SHEET),
        "roll": printed.sheet_of(kind, ROLL),
        "hinders": printed.hinders_printing(of, kind, wanted.on, wanted.first) if of else [],
        "where": printed.where_they_come(len(of), kind, wanted.on, wanted.first) if of else "",
        "costs": printed.what_the_address_costs(kind, of) if of else "",
        "mark": urlencode({"of": ",".join(markable)}) if 0 < len(markable) <= MOST_MARKED else "",
    }


def _offered(wanted: Wanted) -> list[dict[str, Any]]:
    """The kinds that suit at least one of the things, each with its picture at true size."""
    first: dict[str, Thing] = {}
    for thing in wanted.things:
        for key in thing.suited:
            first.setdefault(key, thing)
    first.setdefault(wanted.kind.key, wanted.things[0]) if wanted.things else None
    return [
        {
            "kind": KINDS[key],
            "name": KINDS[key].name.partition(" ")[2].capitalize(),
            "src": f"/labels/label.png?{urlencode({'of': thing.number, 'kind': key})}",
            "width": round(KINDS[key].width_mm / 25.4 * 96),
            "height": round(KINDS[key].height_mm / 25.4 * 96),
            "of": thing.number,
            "fits": not printed.hinders_printing([thing], KINDS[key], ROLL, 1),
        }
        for key, thing in first.items()
    ]


@page("label.print")
def labels_pdf(request: Asked) -> HttpResponse:
    """The sheets or the roll. What is not one of ours holds it up: nothing is left out unseen."""
    wanted = _wanted(request)
    if wanted.unknown:
        raise Refusal(*(f"“{text[:60]}” is not a number of ours. Take it out, or mend it." for text in wanted.unknown))
    body = printed.print_labels(wanted.things, wanted.kind, wanted.on, wanted.first)
    return pdf_answer(body, f"labels-{wanted.kind.key}-{wanted.n}")


@page("label.print")
def test_page(request: Asked) -> HttpResponse:
    """Outlines and rulers, to be held against a sheet of labels."""
    kind = printed.kind_of(request.GET.get("kind", ""), [])
    on = ROLL if request.GET.get("on") == ROLL else SHEET
    return pdf_answer(printed.print_ruler(kind, on), f"test-page-{kind.key}")


@page("label.print")
def label_png(request: Asked) -> HttpResponse:
    """One label as it will be, at true size on a screen of 96 dots."""
    wanted = _wanted(request)
    if not wanted.things:
        raise NotFound("There is nothing to draw a label for.")
    return HttpResponse(printed.picture_of_label(wanted.things[0], wanted.kind), content_type="image/png")


@page("label.print")
def sheet_png(request: Asked) -> HttpResponse:
    """The first sheet as it will be, small."""
    wanted = _wanted(request)
    picture = printed.picture_of_sheet(wanted.things, wanted.kind, wanted.on, wanted.first)
    return HttpResponse(picture, content_type="image/png")
