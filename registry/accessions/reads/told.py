"""What papers and labels tell: where our codes lead, how to reach whom, what went out."""

from __future__ import annotations

from collections.abc import Iterable

from django.conf import settings
from django.db.models import Exists, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Concat

from catalog.casts.models import Cast, FormerNumber, OldNumber
from catalog.ground.collection import collection
from catalog.ground.kept import kept_on
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Contact, Person
from registry.accessions.models import Acquisition, EntryObject, Exit, LedgerLine, Marking, Title
from registry.accessions.reads.lacking import case_of, for_numbering_at_hand
from registry.accessions.rules.keeping import BY_PAPER


def label_base() -> str:
    """The address that codes begin with: the collection's own for labels, else that of this house."""
    return collection().label_address.strip().rstrip("/") or settings.BASE_ADDRESS


def address_of(reader: Actor, person: Person) -> str:
    """The private address of a person, for who may read it; empty for others."""
    kept = visible_to(reader, Contact.objects.filter(person=person)).first()
    return kept.address.strip() if kept else ""


def exit_at(reader: Actor, number: str) -> Exit:
    """What went out under this number. NotFound otherwise."""
    rows = visible_to(reader, Exit.objects.select_related("cast", "cast__taxon", "to_person", "by"))
    found = rows.filter(number__iexact=number).first()
    if found is None:
        raise NotFound("This is not an exit of ours, or not one for your eyes.")
    return found


def formers_of(casts: Iterable[Cast]) -> QuerySet[FormerNumber]:
    """Older numbers on these casts, in the order in which they were written down."""
    return (
        FormerNumber.objects.select_related("cast", "piece").filter(cast__in=list(casts)).order_by("cast__sort", "pk")
    )


def older_numbers(reader: Actor) -> tuple[QuerySet[FormerNumber], QuerySet[OldNumber]]:
    """All older numbers and tags, and the numbers that casts of ours went by before."""
    seen = visible_to(reader, Cast.objects.all())
    formers = FormerNumber.objects.select_related("cast", "piece").filter(cast__in=seen)
    return formers, OldNumber.objects.select_related("cast").filter(cast__in=seen)


def markings_of(reader: Actor, cast: Cast) -> QuerySet[Marking]:
    """Numbers put on a cast and its pieces, newest first."""
    rows = visible_to(reader, Marking.objects.select_related("by", "piece", "cast"))
    return rows.filter(cast=cast).order_by("-on", "-pk")


def markings_at_hand(reader: Actor, cast: Cast) -> list[Marking]:
    """The same, read once for a page."""
    return kept_on(cast, "markings", lambda: list(markings_of(reader, cast)))


def titles_of(cast: Cast) -> list[Title]:
    """Every state of title of a cast, the one that holds first; read once for a page."""
    rows = Title.objects.select_related("cast", "said_by", "document", "written_by__person").filter(cast=cast)
    return kept_on(cast, "titles", lambda: list(rows.order_by("-pk")))


def lines_of(cast: Cast) -> list[LedgerLine]:
    """The register lines of a cast in their order; read once for a page."""
    rows = LedgerLine.objects.select_related("cast", "source").filter(cast=cast).order_by("n")
    return kept_on(cast, "lines", lambda: list(rows))


def unmarked(reader: Actor) -> QuerySet[Cast]:
    """Casts that have their number in the register and do not bear it: neither the cast nor a piece of it. Oldest first."""
    standing = Marking.objects.filter(cast=OuterRef("pk"), gone_on__isnull=True)
    own = Q(number=OuterRef("number")) | Q(number__startswith=Concat(OuterRef("number"), Value(".")))
    rows = visible_to(reader, Cast.objects.select_related("accession").filter(accession__isnull=False, closed_as=""))
    return rows.filter(~Exists(standing.filter(own))).order_by("accession__pk")


def papers_offered(cast: Cast) -> list[tuple[str, str]]:
    """Which papers can be printed about a cast as things stand: their name and address. One query, shared by a page."""
    row = for_numbering_at_hand(cast)
    case, thing = case_of(row), getattr(row, "entry_object", None)
    folder = f"{cast.href}papers/"
    found = []
    if case:
        found.append(("Acquisition proposal", f"{folder}acquisition-proposal.pdf"))
        if case.way in BY_PAPER:
            found.append(("Transfer of title", f"{folder}transfer-of-title.pdf"))
    if answer := answer_given(case, thing):
        found.append((f"Letter of {answer}", f"{folder}letter.pdf"))
    if thing:
        found.append(("Entry receipt", f"{thing.entry.href}papers/receipt.pdf"))
    return found


def answer_given(case: Acquisition | None, thing: EntryObject | None) -> str:
    """How an offer was answered: `refusal`, `thanks`, or not yet."""
    if (thing and thing.state == "refused") or (case and case.decision == "refused"):
        return "refusal"
    if thing and thing.state == "given back" and thing.ground and not (case and case.decision == "accepted"):
        return "refusal"
    return "thanks" if case and case.decision == "accepted" and case.way in BY_PAPER else ""
