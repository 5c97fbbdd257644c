"""Papers over HTTP, as those who may: read back by another program; what is not for these eyes is not in them."""

from __future__ import annotations

import hashlib
import io
import unicodedata
from datetime import date
from typing import Any

import pdfplumber
import pytest
from django.test import Client

from catalog.casts import actions as casts
from catalog.excavations.models import ExactPlace
from catalog.ground.acting import store
from catalog.ground.models import Paper
from catalog.people.models import Contact
from registry.accessions import actions
from registry.accessions.models import Checkpoint, Entry
from registry.accessions.reads.register import root_now
from registry.accessions.said import CaseSaid, DecisionSaid, ExitSaid, TitleSaid
from registry.accessions.seal import seal_words
from tests import builders
from tests.registry.accessions import makers_accessions as makers

pytestmark = pytest.mark.django_db

HOUSE_NUMBER = "Oude Dijk 4711"
VALUE = "81 234"
EXACT = "53.1471147"


def squeezed(text: str) -> str:
    return "".join(unicodedata.normalize("NFKC", text).split())


def text_of(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return squeezed("".join(sign["text"] for page in opened.pages for sign in page.chars))


def asked(who: str, address: str, status: int = 200) -> bytes:
    answer = builders.signed_in(Client(), who).get(address)
    assert answer.status_code == status, answer.content[:2000]
    if status == 200:
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"].startswith("inline; ")
    return bytes(answer.content)


def says(pdf: bytes, *texts: str) -> None:
    read = text_of(pdf)
    for text in texts:
        assert squeezed(text) in read, f"{text!r} is not on the paper: {read}"


def marit() -> Any:
    """Somebody outside, with an address that only the heads read."""
    person = builders.person("Marit Olde", town="the white house")
    if not Contact.objects.filter(person=person).exists():
        with builders.by_hand():
            store(Contact(person=person, address=f"{HOUSE_NUMBER}\n1790 Hesselmond", email="marit@example.org"))
    return person


def offered(**more: Any) -> Entry:
    """Brought by Marit, with a value that only the heads read, dug at a place that nobody else may know exactly."""
    dig = builders.excavation()
    if not ExactPlace.objects.filter(excavation=dig).exists():
        with builders.by_hand():
            store(ExactPlace(excavation=dig, said=EXACT, form="degrees", lat=EXACT, lon="5.4711471", within_m=5))
    facts = {"from_person": marit(), "owner": marit(), "value": 81234, "currency": "EUR", "excavation": dig}
    facts |= {"former_numbers": ("Nest 7a",), "parts": 2, "parts_are": "boxes", "back_by": date(2099, 7, 1)}
    return makers.entry(how="offered", **(facts | more))


def test_a_receipt_says_who_brought_what_in_how_many_parts() -> None:
    entry = offered()
    pdf = asked("Imke Roodenburg", f"{entry.href}papers/receipt.pdf")
    says(pdf, "Entry receipt", entry.number, "Marit Olde", "Plaster cast of a branching burrow", "2 boxes", "Nest 7a")
    says(
        pdf,
        "No title passes by this paper",
        "1 July 2099",
        "I hand over what is named here",
        "Saar Osei",
        "Offered to us",
    )
    says(pdf, HOUSE_NUMBER, VALUE, "EUR")


@pytest.mark.parametrize("who", ["Saar Osei", "Ottilie Brandt", "Lenno Haak"])
def test_address_and_value_are_not_in_the_receipt_of_who_may_not_read_them(who: str) -> None:
    entry = offered()
    asked("Imke Roodenburg", f"{entry.href}papers/receipt.pdf")
    pdf = asked(who, f"{entry.href}papers/receipt.pdf")
    read = text_of(pdf)
    for canary in (HOUSE_NUMBER, VALUE, EXACT, "marit@example.org", "North Creek", "B-3"):
        assert squeezed(canary) not in read
        assert canary.encode() not in pdf
    says(pdf, "Marit Olde", "the white house")
    first = Paper.objects.order_by("pk").first()
    assert first is not None
    assert asked(who, f"/papers/{first.number}.pdf", 404)


def test_the_stored_bytes_are_given_again_and_a_change_gives_a_new_paper() -> None:
    entry = offered()
    address = f"{entry.href}papers/receipt.pdf"
    first = asked("Imke Roodenburg", address)
    makers.numbered()  # the register grows meanwhile: the paper does not change by that
    assert asked("Tobias Wren", address) == first
    kept = Paper.objects.get()
    assert hashlib.sha256(first).hexdigest() == kept.sha256
    actions.change_entry(builders.imke(), entry.pk, {"n_parts": 3})
    second = asked("Imke Roodenburg", address)
    says(second, "3 boxes", f"in place of {kept.number}")
    assert asked("Imke Roodenburg", f"/papers/{kept.number}.pdf") == first
    newest = Paper.objects.order_by("-pk").first()
    assert newest is not None
    assert newest.replaces == kept


def test_a_receipt_of_our_own_dig_asks_nobody_for_a_signature() -> None:
    entry = makers.entry(excavation=builders.excavation(), n_objects=2, parts=None)
    pdf = asked("Saar Osei", f"{entry.href}papers/receipt.pdf")
    says(pdf, "our own excavation D-2026-1", "not counted yet", f"Two objects: {entry.number} and {entry.number}b")
    assert squeezed("who brought it") not in text_of(pdf)
    says(pdf, "copy to lie with the object")
    assert squeezed("North Creek") not in text_of(pdf)


def test_every_paper_carries_the_newest_head() -> None:
    makers.numbered()
    entry = offered()
    pdf = asked("Saar Osei", f"{entry.href}papers/receipt.pdf")
    says(pdf, f"Register of 2 lines, seal {seal_words(root_now())}", "printed by Saar Osei", "Hash of the data")


def test_an_exit_note_is_the_receivers_receipt() -> None:
    cast = offered().objects_of.get().cast
    said = ExitSaid("not taken in", to_person=marit(), authority="Tobias Wren, letter of 2 April", packing="crate K-7")
    out = actions.give_back(builders.imke(), cast, said)
    pdf = asked("Imke Roodenburg", f"/exits/{out.number}/papers/exit-note.pdf")
    says(pdf, "Exit note", out.number, cast.number, "for the receiver", "for the collection", HOUSE_NUMBER, "for good")
    says(pdf, "Tobias Wren, letter of 2 April", "crate K-7", "I have received what is named here")
    assert squeezed(HOUSE_NUMBER) not in text_of(asked("Lenno Haak", f"/exits/{out.number}/papers/exit-note.pdf"))
    page = builders.signed_in(Client(), "Lenno Haak").get(f"/exits/{out.number.lower()}/")
    assert page.status_code == 200
    assert "Marit Olde" in page.content.decode()
    assert HOUSE_NUMBER not in page.content.decode()


def proposed(decision: str = "", ground: str = "") -> Any:
    cast = offered().objects_of.get().cast
    case = CaseSaid("gift", case="No other cast of it here", from_person=marit(), conditions="Name the giver")
    actions.propose(builders.saar(), cast, case)
    if decision:
        actions.decide(builders.tobias(), cast, DecisionSaid(decision, minute="Minute 4", ground=ground))
    return makers.again(cast)


def test_a_proposal_leaves_room_for_the_decision_and_says_it_once_it_is_taken() -> None:
    cast = proposed()
    address = f"{cast.href}papers/acquisition-proposal.pdf"
    says(asked("Saar Osei", address), "Saar Osei proposes to take this cast", "No other cast of it here", "sent back")
    actions.decide(builders.tobias(), cast, DecisionSaid("accepted", minute="Minute 4"))
    pdf = asked("Saar Osei", address)
    says(pdf, "accepted", "Tobias Wren", "Minute 4", "in place of P-")
    assert squeezed(HOUSE_NUMBER) not in text_of(pdf)
    assert squeezed(HOUSE_NUMBER) in text_of(asked("Tobias Wren", address))
    assert asked("Lenno Haak", address, 403)


def test_a_cast_that_nobody_proposed_has_no_such_paper() -> None:
    cast = makers.brought_in("offered")
    page = asked("Imke Roodenburg", f"{cast.href}papers/acquisition-proposal.pdf", 409).decode()
    assert "is not proposed yet" in page
    assert f"{cast.href}proposal/" in page
    assert "Decide first" in asked("Imke Roodenburg", f"{cast.href}papers/letter.pdf", 409).decode()


def test_a_transfer_of_title_names_both_and_what_passes() -> None:
    cast = proposed("accepted")
    actions.state_title(builders.imke(), cast, TitleSaid("clear", paper_words="deed of gift", passed_on="2026-04-02"))
    pdf = asked("Imke Roodenburg", f"{cast.href}papers/transfer-of-title.pdf")
    says(
        pdf, "Transfer of title", "Marit Olde", HOUSE_NUMBER, "Tarn Holm dune and marsh station", "gift", "2 April 2026"
    )
    says(pdf, "Name the giver", cast.number)
    own = makers.numbered().cast
    assert asked("Imke Roodenburg", f"{own.href}papers/transfer-of-title.pdf", 409)


def test_a_letter_refuses_with_the_reasons_or_gives_thanks() -> None:
    refused = proposed("refused", ground="Nobody knows where it was dug.\nIt has no paper.")
    pdf = asked("Imke Roodenburg", f"{refused.href}papers/letter.pdf")
    says(
        pdf, "Dear Marit Olde,", "Nobody knows where it was dug.", "It has no paper.", HOUSE_NUMBER, "until 1 July 2099"
    )
    kept = Paper.objects.get()
    assert kept.kind == "letter-of-refusal"
    thanked = proposed("accepted")
    pdf = asked("Imke Roodenburg", f"{thanked.href}papers/letter.pdf")
    says(
        pdf, "Thank you for this", "It was decided to take it into the collection", "Imke Roodenburg, Tarn Holm station"
    )
    assert squeezed("We cannot take it") not in text_of(pdf)


def test_a_register_extract_has_its_lines_and_a_checkpoint_under_them() -> None:
    first, second = makers.numbered(), makers.numbered()
    assert not Checkpoint.objects.exists()
    pdf = asked("Lenno Haak", "/register/papers/extract.pdf?from=2&to=3")
    point = Checkpoint.objects.get()
    says(pdf, "Register extract", "Lines 2 to 3 of 3", f"TH {first.number}", f"TH {second.number}", "own excavation")
    says(pdf, point.text.split("\n")[2], "not signed", seal_words(bytes(second.line.head)))
    assert asked("Imke Roodenburg", "/register/papers/extract.pdf?from=2&to=3") == pdf
    assert Checkpoint.objects.count() == 1
    whole = asked("Saar Osei", "/register/papers/page.pdf")
    says(whole, "Register page", "Lines 1 to 3 of 3", "in order and without a gap", "opening")


@pytest.mark.parametrize(
    "query, sentence",
    [
        ("from=0", "The register has lines 1 to 2"),
        ("from=2&to=1", "The register has lines 1 to 2"),
        ("to=99", "The register has lines 1 to 2"),
        ("from=two", "is not the number of a line"),
        ("from=%F0%9F%90%9A", "is not the number of a line"),
    ],
)
def test_an_extract_of_lines_that_are_not_there_says_which_there_are(query: str, sentence: str) -> None:
    makers.numbered()
    assert sentence in asked("Imke Roodenburg", f"/register/papers/extract.pdf?{query}", 422).decode()


def test_an_empty_register_gives_no_extract() -> None:
    builders.imke()
    assert "no line yet" in asked("Imke Roodenburg", "/register/papers/extract.pdf", 409).decode()


def test_a_correction_stands_beside_what_it_corrects() -> None:
    made = makers.numbered()
    from registry.accessions.said import CorrectionSaid

    actions.correct_line(builders.imke(), made.line.n, CorrectionSaid("pieces", "4", "Counted again"))
    pdf = asked("Imke Roodenburg", "/register/papers/extract.pdf")
    says(pdf, "corrected by line 3", "Corrects line 2, number of parts", "was 3, is 4", "Counted again")


def test_old_numbers_and_new_stand_in_both_orders() -> None:
    made = makers.numbered(former_numbers=("Nest 7a",))
    casts.add_former_number(builders.imke(), made.cast, "7a", where_from="list of the shed, 1998")
    pdf = asked("Lenno Haak", "/register/papers/old-numbers.pdf")
    says(
        pdf,
        "By the old number",
        "By the new number",
        "7a",
        "list of the shed, 1998",
        f"TH {made.number}",
        "our own entries",
    )
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        assert text_of(pdf).count(squeezed("list of the shed, 1998")) == 2
        assert len(opened.pages) == 1


def test_signed_out_nobody_is_given_a_paper(client: Any) -> None:
    entry = offered()
    asked("Imke Roodenburg", f"{entry.href}papers/receipt.pdf")
    kept = Paper.objects.get()
    for address in (f"{entry.href}papers/receipt.pdf", f"/papers/{kept.number}.pdf", "/register/papers/extract.pdf"):
        answer = client.get(address)
        assert (answer.status_code, answer["Location"].partition("?")[0]) == (302, "/sign-in/")


def test_a_name_with_quotes_and_emoji_prints_as_typed() -> None:
    said = 'Zoë "Kit" O\'Neill 🐚 #strong[x] $a$'
    entry = makers.entry(how="offered", from_words=said, what=f"{said} " * 8)
    says(asked("Saar Osei", f"{entry.href}papers/receipt.pdf"), 'Zoë "Kit" O\'Neill ‹U+1F41A› #strong[x] $a$')


def test_letter_paper_is_printed_where_the_collection_uses_it() -> None:
    builders.collection(letter_paper=True)
    entry = offered()
    with pdfplumber.open(io.BytesIO(asked("Imke Roodenburg", f"{entry.href}papers/receipt.pdf"))) as opened:
        assert (opened.pages[0].width, opened.pages[0].height) == (612, 792)


def test_the_papers_of_a_cast_and_of_the_register_are_offered_where_they_can_be_made() -> None:
    cast = proposed("accepted")
    page = builders.signed_in(Client(), "Saar Osei").get(cast.href).content.decode()
    for name in ("acquisition-proposal", "transfer-of-title", "letter"):
        assert f"{cast.href}papers/{name}.pdf" in page
    asked("Saar Osei", f"{cast.href}papers/letter.pdf")
    assert "Papers given out about it" in builders.signed_in(Client(), "Saar Osei").get(cast.href).content.decode()
    own = makers.numbered().cast
    page = builders.signed_in(Client(), "Saar Osei").get(own.href).content.decode()
    assert "transfer-of-title.pdf" not in page
    assert "papers/letter.pdf" not in page
    register = builders.signed_in(Client(), "Lenno Haak").get("/register/").content.decode()
    assert 'action="/register/papers/extract.pdf"' in register
    assert 'name="to" inputmode="numeric" value="2"' in register
