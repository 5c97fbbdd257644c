"""What stands on /look/: every part of the look in every state, with matter from the invented station."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any, ClassVar

from catalog.ground.drawings import OUTLINES
from catalog.ground.fields import (
    AmountField,
    ChooserField,
    Chosen,
    CoordinatesField,
    CountField,
    ExactDayField,
    Form,
    ManyPicksField,
    PaperField,
    PhotographsField,
    PicksField,
    PlaceField,
    Section,
    TextLine,
    UncertainDayField,
    Words,
)
from catalog.ground.icons import ICONS

HOW = [
    ("excavated", "We dug it"),
    ("offered", "Offered to us"),
    ("loan", "For loan"),
    ("found", "Found in the collection"),
]


class EveryField(Form):
    """One field of each kind; nothing it says is written anywhere."""

    what = "entry"
    pencil = "look"
    sections: ClassVar[list[Section]] = [
        Section("What came?", ["what_it_is", "how", "parts", "mass_g"]),
        Section("When and where?", ["made", "back_by", "coordinates", "place"], hint="Whatever is known."),
        Section("From whom, papers, remarks", ["from_whom", "hazards", "paper", "photographs", "remark"], folded=True),
    ]

    what_it_is = TextLine("What is it, in a line?", hint="As you would say it at the door.")
    how = PicksField("How did it come?", choices=HOW, unknown=True)
    parts = CountField("How many parts or packages?", unit="boxes", required=False)
    mass_g = AmountField("What does it weigh?", unit="g", what="mass", required=False)
    made = UncertainDayField("When was it cast?", hint="A year, a month, or words like about 1987.", required=False)
    back_by = ExactDayField("To be back by", from_today=True, required=False)
    coordinates = CoordinatesField("Where was it dug?", required=False)
    place = PlaceField("Where is it now?")
    from_whom = ChooserField("From whom?", kind="person", as_new="Write … as a new person", required=False)
    hazards = ManyPicksField(
        "What may be in it?", choices=[("dust", "Dust"), ("sharp", "Sharp edges"), ("mould", "Mould")], required=False
    )
    paper = PaperField("A paper that came with it", required=False)
    photographs = PhotographsField("Photographs", required=False)
    remark = Words("Remark", required=False)


def filled(today: date) -> EveryField:
    started = {
        "what_it_is": "Plaster cast in two boxes, one large piece and many small",
        "how": "found",
        "parts": 2,
        "mass_g": Decimal("1500"),
        "made": "1987~",
        "place": Chosen("Workshop, bench 2", "W-2"),
        "from_whom": "Jonna Beck",
    }
    return EveryField(initial=started | {"back_by": today + timedelta(days=9)})


def failed() -> EveryField:
    said = {
        "what_it_is": "",
        "parts": "a few",
        "mass_g": "-3",
        "made": "31 February 2011",
        "back_by": "2001-06-07",
        "remark": "kept",
    }
    return EveryField({f"wrong-{name}": words for name, words in said.items()}, prefix="wrong")


def everything(today: date) -> dict[str, Any]:
    """Template context of `look/look.html`."""
    return {
        "icons": list(ICONS),
        "forms_of_nests": list(OUTLINES),
        "form": filled(today),
        "wrong": failed(),
        **_parts(today),
    }


def _parts(today: date) -> dict[str, Any]:
    noon = datetime.combine(today, datetime.min.time(), UTC) + timedelta(hours=12)
    return {
        "steps_path": [{"href": "#", "word": "Loans"}, {"href": "#", "word": "Out"}],
        "acts": [
            {"label": "Go on weighing at piece 129", "href": "#", "icon": "weigh"},
            {"label": "Label", "href": "#", "icon": "print", "kind": "plain"},
            {"label": "Later", "href": "#", "kind": "bare"},
        ],
        "every_act": [
            {"label": "Write line 413", "submit": True, "icon": "seal"},
            {"label": "Only print", "href": "#", "kind": "plain"},
            {"label": "Melt it down", "submit": True, "kind": "harm"},
            {"label": "Later", "href": "#", "kind": "bare"},
            {"label": "Hand it over: one paper is missing", "closed": True},
        ],
        "lacks": [
            {"there": True, "sentence": "Insured until 30 June for 3 100 EUR"},
            {"there": False, "sentence": "Name the courier.", "who": "Museum of the Low Shore, asked on 4 June"},
            {"there": False, "sentence": "Set aside a place for it.", "who": "You. Shelf 3 in bay B is free", "href": "#", "way": "Set it aside"},
        ],
        "words": [
            {"word": "in order"},
            {"word": "waits for approval", "state": "wants"},
            {"word": "four days late", "state": "harm"},
            {"word": "in other hands", "state": "gone", "icon": "van"},
            {"word": "in pencil", "state": "pen"},
        ],
        "moments": [
            {"kind": kind, "at": at, "who": who, "sentence": sentence}
            for kind, at, who, sentence in [
                ("exam", noon, "Saar Osei", "Tray T-9 laid out: 56 pieces, four weighed"),
                ("break", today - timedelta(days=7), "Lenno Haak", "Piece 58 broke in two while turning the tray"),
                ("mend", today - timedelta(days=8), "Ottilie Brandt", "Fixed 74 joins in chambers A to H"),
                ("loan", today - timedelta(days=40), "Imke Roodenburg", "Out to the Museum of the Low Shore"),
                ("reg", today - timedelta(days=63), "Imke Roodenburg", "Accessioned. Register line 412, sealed"),
                ("move", today - timedelta(days=66), "Tobias Wren", "From North Creek to the workshop, four crates"),
                ("field", today - timedelta(days=69), "Tobias Wren", "Poured 11 kg plaster, dug out in nine lifts"),
            ]
        ],
        "rows": [
            {"word": "four days late", "state": "harm", "number": "2022.1", "href": "#", "text": "Mining bee nest is still at Art Hall Ostermeer.", "small": "Insured for 2 400 EUR until 30 June", "act": {"label": "Call or write", "href": "#"}},
            {"number": "2023.4", "href": "#", "text": "mole gallery, 11 pieces", "small": "one not found on 3 June", "figures": "3.1 kg"},
            {"href": "#", "text": "Loan agreement", "small": "signed 2 February"},
        ],
        "heads": [
            {"word": "Cast", "sort": "#", "sorted": "descending"},
            {"word": "State"},
            {"word": "Place"},
            {"word": "Pieces", "n": True, "sort": "#"},
            {"word": "Mass, kg", "n": True},
        ],
        "casts": [
            {"number": "2025.6", "form": "bundle of shafts", "name": "Bee nest", "taxon": "Panurgus calcaratus", "word": "31 pieces to refit", "state": "wants", "place": "Trays T-1 to T-4", "pieces": 64, "kg": "2.176"},
            {"number": "2022.1", "form": "branching", "name": "Mining bee nest", "taxon": "Andrena cf. vaga", "word": "four days late", "state": "harm", "place": "Art Hall Ostermeer", "pieces": 3, "kg": "1.310"},
            {"number": "2014.2", "form": "spiral", "name": "Ghost crab burrow", "taxon": "Ocypode ceratophthalma (Pallas, 1772)", "word": "back in nine days", "state": "gone", "place": "Science House Fennevik", "pieces": 1, "kg": "5.240"},
        ],
        "filters": [
            {"legend": "State", "name": "state", "choices": [{"value": "wants", "word": "wants somebody", "n": 6, "chosen": True}, {"value": "ok", "word": "in order", "n": 32}]},
            {"legend": "Material", "name": "material", "choices": [{"value": "plaster", "word": "plaster", "n": 4}, {"value": "zinc", "word": "zinc", "n": 0}]},
        ],
        "chosen": [{"word": "wants somebody", "href": "#"}],
        "sorts": [{"value": "-number", "word": "number, newest first", "now": True}, {"value": "mass", "word": "mass"}],
        "answers": [{"href": "#", "word": "Excavation, permit and pour"}, {"href": "#", "word": "42 photographs"}, {"word": "Former number: field 26-03"}],
        "pairs": [{"name": "Shafts", "value": "27"}, {"name": "Deepest", "value": "62 ± 1 cm", "fig": True}],
        "sides": [
            {"heading": "Tobias’s, saved at 14:05", "small": "on a phone", "state": "theirs", "act": {"label": "Keep Tobias’s, put mine aside in pencil", "href": "#"}, "pairs": [{"name": "To be back by", "value": "14 June 2026", "differs": True}, {"name": "Letter", "value": "drafted, not sent"}]},
            {"heading": "Yours, not saved yet", "small": "begun at 13:58", "state": "mine", "act": {"label": "Write mine over it, and tell Tobias", "submit": True}, "pairs": [{"name": "To be back by", "value": "20 July 2026", "differs": True}]},
        ],
        "steps": [
            {"word": "Asked", "small": "12 Jan", "state": "done"},
            {"word": "Agreed", "small": "2 Feb", "state": "done"},
            {"word": "Out", "small": "10 Mar", "state": "done"},
            {"word": "At Fennevik", "small": "12 May", "state": "now"},
            {"word": "Back", "small": "due 20 June", "state": "todo"},
            {"word": "Closed", "state": "todo"},
        ],
        "tree": [
            {"href": "#", "word": "Station", "count": 211, "nodes": [
                {"href": "#", "word": "Bay B", "count": 72, "nodes": [
                    {"href": "#", "word": "Crate K-12", "icon": "crate", "count": 14, "here": True},
                    {"href": "#", "word": "Crate K-9", "icon": "crate", "count": 9, "more": "#", "n_more": 12},
                ]},
                {"href": "#", "word": "Van 1", "icon": "van", "count": 0},
            ]},
        ],
        "shares": [(9274, 13050, 60), (25, 318, 0), (13, 13, 0), (14, 13, 0)],
    }  # fmt: skip
