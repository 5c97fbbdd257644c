"""Rich facts for every paper: quotes, markup, four scripts, long numbers; nothing here is spared to the templates."""

import base64
from datetime import datetime, timedelta, timezone
from typing import Any

from catalog.ground.papers import Paper

PRINTED_AT = datetime(2026, 4, 9, 14, 2, tzinfo=timezone(timedelta(hours=2)))
MARKUP = '#strong[x] $a_1$ @fig \\ *not bold* _nor this_ `raw` <tag> "quoted" ‘’ ~ /* */ // = #read("/etc/passwd")'
ARABIC = "دار الحمادة الحمراء"
CYRILLIC = "Всеволод Щукин"
BUG = "🐞"  # a sign that none of our fonts has

COLLECTION = {"name": "Tarn Holm dune and marsh station", "code": "TH", "address": "Marsh Lane 1\n1799 TH Tarn Holm"}
DRAWING = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 62 78" width="62" height="78">
<path d="M2 6h58" stroke="#000" fill="none"/><path d="M31 6c-2 14 3 22 0 36s-3 20 1 30" stroke="#000" stroke-width="3" fill="none"/>
<ellipse cx="22" cy="30" rx="9" ry="3"/><ellipse cx="41" cy="48" rx="9" ry="3"/><ellipse cx="31" cy="72" rx="8" ry="3"/></svg>"""


def family(paper: str, paper_number: str, **more: Any) -> dict[str, Any]:
    """What every paper of the station carries."""
    return {
        "lang": "en",
        "page": "a4",
        "collection": COLLECTION,
        "paper": {"name": paper, "number": paper_number, "version": 1},
        "printed": {"by": "Imke Roodenburg", "from": "version 7"},
        "seal": {"size": 412, "seal": "9c41 b07e 55d2"},
        **more,
    }


def signs(sentence: str, name: str = "", capacity: str = "", **more: str) -> dict[str, str]:
    return {"sentence": sentence, "name": name, "capacity": capacity, **more}


def entry_receipt(**more: Any) -> Paper:
    facts = family(
        "Entry receipt",
        "E-2026-14/1",
        number="E-2026-14",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/E-2026-14",
        sentence="We have taken in what is named here. No title passes by this paper.",
        entry={
            "brought_by": f"{CYRILLIC}\nOude Dijk 4, 1790 Hesselmond",
            "owner": f"{ARABIC}\nOued Semira",
            "what": "Plaster cast of an unknown burrow, wrapped in a “Zoë & Sons” bag",
            "parts": "3 parts in 2 boxes",
            "how": "offered",
            "return_by": "1 July 2026",
            "labels": MARKUP,
            "condition": "one arm loose, no powder",
            "hazards": "none known",
            "put": "Store, bay B, shelf 3",
            "taken_by": "Imke Roodenburg, registrar",
        },
        terms=[
            "We keep it as carefully as what is ours.",
            "What is not fetched four weeks after the day named here goes back at the owner's cost.",
            "We answer for damage up to the value stated.",
        ],
        signatures=[
            signs("I hand over what is named here.", CYRILLIC, "who brought it"),
            signs("I have taken it in.", "Imke Roodenburg", "registrar"),
        ],
    )
    return Paper("registry/accessions/papers/entry_receipt.typ", facts | more, "Entry receipt E-2026-14")


def exit_note() -> Paper:
    facts = family(
        "Exit note",
        "X-2026-9",
        number="TH 2014.2",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/2014.2",
        sentence="What is named here leaves our hands today against this receipt.",
        exit={
            "date": "9 April 2026",
            "reason": "return to the depositor",
            "authority": "Tobias Wren, keeper, decision 2026/7 of 2 April 2026",
            "receiver": f"{CYRILLIC}, for {ARABIC}\nMuseum of the Low Shore\nQuay 3, Hesselmond",
            "identity_seen": "passport, shown",
            "carrier": "the receiver's own van",
            "condition": "fair; report C-2026-31",
            "packing": "crate K-7, sealed 00412",
            "back_by": "for good",
            "entry": "E-2026-4",
        },
        objects=[
            {"number": "TH 2014.2", "what": "Resin cast, spiral burrow of a ghost crab", "parts": "1 part"},
            {"number": "TH 2016.1.4.1", "what": MARKUP, "parts": "3 parts in 1 box"},
        ],
        terms=["The receiver has counted the parts.", "Care passes with this signature."],
        signatures=[
            signs(
                "I have received what is named here, whole and counted.", CYRILLIC, "for the Museum of the Low Shore"
            ),
            signs("I have handed it over.", "Imke Roodenburg", "registrar"),
        ],
    )
    return Paper("registry/accessions/papers/exit_note.typ", facts, "Exit note X-2026-9")


def acquisition_proposal(decided: bool = True) -> Paper:
    facts = family(
        "Acquisition proposal",
        "A-2026-3",
        number="E-2026-4",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/E-2026-4",
        sentence="Saar Osei proposes to take this cast into the collection.",
        object={
            "what": "Epoxy cast of a shaft",
            "parts": "1 piece",
            "entry": "E-2026-4",
            "animal": {"common": "dung beetle", "latin": "Geotrupes", "qualifier": "sp."},
        },
        case={
            "why": "The first shaft of this animal from the wet meadow.\nIts depth is known to the centimetre.",
            "owner": "Tarn Holm dune and marsh station",
            "hands": "dug by Saar Osei and Lenno Haak; not out of our hands since",
            "title": "own excavation under permit OA-26; consent of the landowner, letter of 3 March 2026",
            "lawful": "permit OA-26, ceiling three nests, this is the second",
            "rights": MARKUP,
            "condition": "good",
            "cost": "one box on shelf 3",
        },
        proposed={"by": "Saar Osei", "on": "2 April 2026"},
        signatures=[
            signs("I propose it.", "Saar Osei", "laboratory technician", date="2 April 2026", place="Tarn Holm"),
            signs("I have decided as written here.", "Tobias Wren", "keeper"),
        ],
    )
    if decided:
        facts["decision"] = {
            "what": "accepted",
            "by": "Tobias Wren, keeper",
            "on": "4 April 2026",
            "minute": "2026/7, item 3",
            "reasons": "evidence well kept",
            "conditions": "none",
        }
    return Paper("registry/accessions/papers/acquisition_proposal.typ", facts, "Acquisition proposal A-2026-3")


def transfer_of_title() -> Paper:
    facts = family(
        "Transfer of title",
        "T-2026-2",
        number="E-2026-9",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/E-2026-9",
        sentence="The giver makes over to the receiver the objects named here, with all rights of an owner.",
        giver={
            "name": f"{ARABIC} (House of the Red Hamada)",
            "address": "Rue du Puits 2\nOued Semira",
            "agent": CYRILLIC,
        },
        receiver={"name": "Tarn Holm dune and marsh station, foundation", "address": "Marsh Lane 1\n1799 TH Tarn Holm"},
        way="gift",
        objects=[{"number": "E-2026-9", "what": f"Zinc cast of a nest. {MARKUP}", "parts": "3 parts"}],
        passes_on="the day both have signed",
        warranty="that they are the owner, may give it, and that nobody else has a claim to it",
        conditions="none",
        rights="The receiver may publish photographs and measurements; the giver is named as the giver.",
        signatures=[
            signs("I give what is named here.", ARABIC, "owner"),
            signs("We accept it on these terms.", "Tobias Wren", "keeper, for the foundation"),
        ],
    )
    return Paper("registry/accessions/papers/transfer_of_title.typ", facts, "Transfer of title T-2026-2")


CHECKPOINT = (
    "casts.example/TH\n5\nsMIA54DzfSSF/vn/UcUPFOm7zIH7Sak28ETxRQ1G0QA=\n\n— casts.example/TH 6Gg+5f+5IfZuqCO2J2sf2I/K1zsfYKIvITKWJJXm9NZO1OGy9"
    "+DjmF94eno1MLnfQSYxK8+WDKp2uAn82LdgYYFACQ4=\n"
)
KEY = "casts.example/TH+e8683ee5+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
LINE_3 = (
    '{"act":"0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11","at":"2026-03-05T10:02:11Z","by":"p1","entry":"E-2026-4",'
    '"from_commit":"6241c74a51fe3c863ebb86a31139939c5a9ae6d1002c6a0e3af35eb7924df353","kind":"accession","line":3,'
    '"mass_g":"412.60","number":"TH 2026.1","object":"Epoxy cast, shaft of Geotrupes sp.","pieces":1,'
    '"register":"casts.example/TH","title":"clear","v":1}'
)
LEAF_3 = "8b00c2e084daf55f5b206dd2a94d131e71f5b0de09137e50ae09b8959ebe006b"
ROOT_5 = "b0c200e780f37d2485fef9ff51c50f14e9bbcc81fb49a936f044f1450d46d100"
PROOF_3_OF_5 = [
    {"side": "right", "hash": "72456856159468f331fec0ed7c7b69165fc0ab29cd4d2c115f66b14511c1c85d"},
    {"side": "left", "hash": "cb77962311d4c993ea7091bda5a3c64e9e7b3e7faf0b2f9325754cb925e12e21"},
    {"side": "right", "hash": "6ae98bdb82d09e4e7d90a38078cd6a8487fc4a9537f64b9d7fd8064a26e5b9be"},
]


def certificate(line: str = LINE_3, with_drawing: bool = True) -> Paper:
    """Line 3 of five lines whose leaves and roots are known, with the RFC 8032 test key."""
    facts = family(
        "Accession certificate",
        "line 3",
        number="TH 2026.1",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/2026.1",
        sentence="TH 2026.1 is line 3 of our accession register.",
        line={
            "line": 3,
            "kind": "an accession",
            "words": [
                ["Object", "Epoxy cast, shaft of Geotrupes sp."],
                ["Pieces", "1"],
                ["Mass", "412.60 g, corrected by line 4"],
                ["Title", "clear"],
                ["Entry", "E-2026-4"],
                ["Written", "5 March 2026, 11:02, by Imke Roodenburg"],
                ["Given by", f"{ARABIC}, {CYRILLIC} {BUG} {MARKUP}"],
            ],
            "bytes": line,
            "leaf": LEAF_3,
        },
        tree={
            "size": 5,
            "root": ROOT_5,
            "root_base64": base64.b64encode(bytes.fromhex(ROOT_5)).decode(),
            "proof": PROOF_3_OF_5,
        },
        checkpoint={"text": CHECKPOINT, "on": "9 March 2026", "key": KEY},
        asked={"by": "Imke Roodenburg", "on": "9 April 2026"},
        signatures=[signs("I have printed this from our register.", "Imke Roodenburg", "registrar")],
    )
    pictures = {}
    if with_drawing:
        facts["drawing"] = {
            "file": "drawing.svg",
            "alt": "The cast seen from the side: one shaft, three swellings.",
            "words": "One shaft, 31 cm deep",
        }
        pictures["drawing.svg"] = DRAWING
    attached = {
        "line.json": line.encode(),
        "proof.txt": "".join(f"{step['side']} {step['hash']}\n" for step in PROOF_3_OF_5).encode(),
        "checkpoint.txt": CHECKPOINT.encode(),
    }
    return Paper(
        "registry/accessions/papers/certificate.typ", facts, "Certificate of line 3", pictures, attached, "a-3a"
    )


def _register_line(n: int) -> dict[str, Any]:
    line: dict[str, Any] = {
        "line": n,
        "date": "5 March 2026",
        "number": f"TH 2026.{n}",
        "entry": f"E-2026-{n}",
        "kind": "accession",
        "what": "Epoxy cast, shaft of Geotrupes sp., 1 piece, 412.60\u202fg",
        "source": "own excavation, permit OA-26",
        "seal": "afc3 3180 3e70",
    }
    if n % 5 == 0:
        line |= {
            "kind": "correction",
            "what": "Corrects line 3, mass",
            "was": "412.60 g",
            "is": "421.60 g",
            "ground": "Digits swapped; weighed again on Bal-2",
            "source": "",
        }
    if n == 3:
        line |= {"see": "corrected by line 5", "what": f"{MARKUP} {BUG}", "source": f"gift of {CYRILLIC}, {ARABIC}"}
    return line


def register_paper(kind: str, name: str, lines: int) -> Paper:
    facts = family(
        name,
        f"{kind}-2026-1",
        sentence="These lines stand in the accession register of the station as printed here.",
        range=f"Lines 1 to {lines} of 412",
        lines=[_register_line(n) for n in range(1, lines + 1)],
        checkpoint={"text": CHECKPOINT, "on": "9 April 2026, 14:02", "signed": True},
        signatures=[
            signs("Printed from the register and compared.", "Imke Roodenburg", "registrar"),
            signs("Seen.", "Tobias Wren", "keeper"),
        ],
    )
    return Paper(
        f"registry/accessions/papers/{name.lower().replace(' ', '_')}.typ", facts, f"{name}, lines 1 to {lines}"
    )


def old_numbers() -> Paper:
    rows = [
        {"old": "7a", "list": "List of the casting shed, 1998", "new": "TH 2014.2", "what": "ghost crab, spiral"},
        {"old": "Nest 7", "list": "List of the casting shed, 1998", "new": "TH 2011.3", "what": "dune bee, 27 shafts"},
        {"old": MARKUP, "list": f"tag of {CYRILLIC}", "new": "TH 2016.1.4.1", "what": BUG},
    ]
    facts = family(
        "Old numbers and new",
        "N-2026-1",
        sentence="Which number a thing had before, and which it has now.",
        numbers=rows,
        by_new=sorted(rows, key=lambda row: row["new"]),
    )
    return Paper("registry/accessions/papers/old_numbers.typ", facts, "Old numbers and new")


def letter_of_refusal() -> Paper:
    facts = family(
        "Letter",
        "A-2026-5/1",
        number="E-2026-21",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/E-2026-21",
        to={"name": f"{CYRILLIC}", "address": f"{ARABIC}\nOude Dijk 4\n1790 Hesselmond"},
        our_sign="E-2026-21",
        place_date="Tarn Holm, 9 April 2026",
        subject="The cast you offered us on 2 April",
        greeting="Dear Mr Щукин,",
        opening="Thank you for the cast and for the story that came with it.\n\nWe cannot take it into the collection, for these reasons:",
        reasons=[
            "Nobody could tell us from which place it was dug.",
            f"It has no paper that says who owned it. {MARKUP}",
        ],
        closing="It waits for you here until 1 July and is kept as carefully as what is ours.",
        farewell="With kind regards,",
        signatures=[signs("For the station", "Tobias Wren", "keeper")],
    )
    return Paper("registry/accessions/papers/letter_of_refusal.typ", facts, "Letter about E-2026-21")


def movement_list() -> Paper:
    facts = family(
        "Movement list",
        "M-2026-12",
        code="HTTPS://TARNHOLM.EXAMPLE/Q/M-2026-12",
        sentence="Seven things go from bay B to the stair hall in this order.",
        move={
            "on": "Monday 13 April 2026, 9:00",
            "reason": "photographs",
            "led_by": "Ottilie Brandt",
            "route": "Store, ramp, yard, stair hall; not over the gravel",
            "vehicle": "Van 1",
            "cautions": "Lift the tray, not the piece.",
        },
        rows=[
            {
                "order": n,
                "number": f"2016.1.{n}",
                "what": MARKUP if n == 2 else "Plaster, branching burrow",
                "mass": "1\u202f042 g",
                "people": 1,
                "from": "B-3, crate K-12",
                "to": "F-1",
            }
            for n in range(1, 8)
        ]
        + [{"order": 8, "number": "K-12", "what": f"Crate of {CYRILLIC}, {ARABIC}", "from": "B-3", "to": "VAN-1"}],
        totals="8 things, 7.3 kg weighed, one not weighed",
        signatures=[
            signs("Moved as ticked above.", "", "handler"),
            signs("Places written into the record.", "Imke Roodenburg", "registrar"),
        ],
    )
    return Paper("registry/places/papers/movement_list.typ", facts, "Movement list M-2026-12")


def removal_slip() -> Paper:
    from catalog.ground.codes import code_svg

    slips = [
        {
            "number": number,
            "code": f"HTTPS://TARNHOLM.EXAMPLE/Q/{number}",
            "file": f"code-{n}.svg",
            "what": what,
            "from": "Store, bay B, shelf 3",
            "to": "Lecture room",
            "by": CYRILLIC,
            "on": "9 April 2026, 14:02",
            "reason": "lecture",
            "back_by": "Friday 10 April 2026",
        }
        for n, (number, what) in enumerate([("2016.1", "Mud shrimp, plaster"), ("2016.1.4.12.3", MARKUP)])
    ]
    facts = family("Removal slip", "S-2026-4", sentence="", slips=slips)
    pictures = {slip["file"]: code_svg(slip["code"]).encode() for slip in slips}
    return Paper("registry/places/papers/removal_slip.typ", facts, "Removal slips", pictures)


def every_paper() -> dict[str, Paper]:
    return {
        "entry_receipt": entry_receipt(),
        "entry_receipt_long": entry_receipt(
            terms=["We keep it as carefully as what is ours, and say so here at length."] * 30
        ),
        "entry_receipt_letter": entry_receipt(page="us-letter"),
        "exit_note": exit_note(),
        "acquisition_proposal": acquisition_proposal(),
        "acquisition_proposal_open": acquisition_proposal(decided=False),
        "transfer_of_title": transfer_of_title(),
        "register_extract": register_paper("X", "Register extract", 4),
        "register_page": register_paper("P", "Register page", 23),
        "certificate": certificate(),
        "old_numbers": old_numbers(),
        "letter_of_refusal": letter_of_refusal(),
        "movement_list": movement_list(),
        "removal_slip": removal_slip(),
    }
