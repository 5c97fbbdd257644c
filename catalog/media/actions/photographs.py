"""Every write about photographs, papers on record and looks at their files.

A door receives files first (`files.receive_photograph`), so that the transaction is short; what comes as an upload is received here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db.models import Max
from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.excavations.models import Excavation, Permit, Site
from catalog.ground.acting import action, locked, store, store_many
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.media import rules
from catalog.media.files import Received, receive_paper, receive_photograph, vault
from catalog.media.models import Document, FileCheck, Photograph
from catalog.media.reads import WITHDRAWN_KEPT, is_on_record
from catalog.people.models import Person

Upload = Received | UploadedFile[bytes]


@action("photo.add")
def keep_photograph(
    actor: Actor,
    upload: Upload,
    *,
    cast: Cast | None = None,
    piece: Piece | None = None,
    excavation: Excavation | None = None,
    view: str = "",
    has_scale: bool | None = None,
    of_label: bool = False,
    shows_place: bool | None = None,
    caption: str = "",
    rights: str = "",
    by: Person | None = None,
) -> Photograph:
    """One picture, kept byte for byte. What was taken at an excavation shows the place unless somebody says that it does not.

    `upload` is a file as it came in, or one that was received before. `by` None: who acts took it.
    """
    cast = piece.cast if piece else cast
    if cast is None and excavation is None:
        raise Refusal(Reason("Say of which cast, piece or excavation it is.", "of"))
    refuse_if(rules.wrong_in({"view": view, "caption": caption, "rights": rights}), Refusal)
    file = upload if isinstance(upload, Received) else receive_photograph(upload)
    return store(
        Photograph(
            **_file_facts(file),
            width_px=file.width_px,
            height_px=file.height_px,
            has_position=file.has_position,
            taken_at_said=file.taken_at.isoformat() if file.taken_at else "",
            by=by,
            by_id=by.pk if by else actor.person_id,
            cast=cast,
            piece=piece,
            excavation=excavation,
            view=view,
            has_scale=has_scale,
            of_label=of_label,
            shows_place=(excavation is not None) if shows_place is None else shows_place,
            caption=caption,
            rights=rights,
        )
    )


def _file_facts(file: Received) -> dict[str, Any]:
    return {"sha256": file.sha256, "size": file.size, "file_kind": file.kind.name, "file_name": file.name}


@action("photo.add")
def keep_photographs(actor: Actor, files: Iterable[Upload], **said: Any) -> list[Photograph]:
    """Several pictures of one thing in one press: all or none."""
    return [keep_photograph(actor, file, **said) for file in files]


@action("photo.add")
def change_photograph(
    actor: Actor, pk: int, changes: Mapping[str, Any], *, expected_version: int | None = None
) -> Photograph:
    """Changes what is said of a photograph; the picture itself never changes."""
    photograph = locked(Photograph, expected_version, pk=pk)
    refuse_if(rules.wrong_in(changes), Refusal)
    for name, value in changes.items():
        setattr(photograph, name, value)
    return store(photograph)


@action("photo.add")
def choose_first(actor: Actor, pk: int) -> Photograph:
    """This picture stands for its cast or excavation from now on."""
    photograph = locked(Photograph, pk=pk)
    _refuse_withdrawn(photograph)
    if photograph.of_label:
        raise Hindered("This is a picture of a label. Choose one of the thing itself.")
    beside = Photograph.objects.filter(cast=photograph.cast_id, excavation=photograph.excavation_id)
    highest = beside.exclude(pk=pk).aggregate(highest=Max("rank"))["highest"] or 0
    if photograph.rank <= highest:
        photograph.rank = highest + 1
    return store(photograph)


@action("photo.add")
def withdraw_photograph(actor: Actor, pk: int, reason: str, *, expected_version: int | None = None) -> Photograph:
    """Takes a photograph off its thing, with the reason. Its file is kept for `WITHDRAWN_KEPT` and can be put back so long."""
    photograph = locked(Photograph, expected_version, pk=pk)
    _refuse_withdrawn(photograph)
    if not reason.strip():
        raise Refusal(Reason("Write why it is taken off.", "reason"))
    refuse_if([Reason(r.sentence, "reason") for r in rules.too_long({"withdrawn_why": reason})], Refusal)
    photograph.withdrawn_on, photograph.withdrawn_why = today(), reason.strip()
    return store(photograph)


@action("photo.add")
def put_back_photograph(actor: Actor, pk: int) -> Photograph:
    """A withdrawn photograph stands again."""
    photograph = locked(Photograph, pk=pk)
    if photograph.withdrawn_on is None:
        raise Hindered("This photograph was not taken off.")
    if photograph.withdrawn_on <= today() - WITHDRAWN_KEPT:
        raise Hindered("It was taken off so long ago that its file may be gone. Send the picture again.")
    photograph.withdrawn_on, photograph.withdrawn_why = None, ""
    return store(photograph)


def _refuse_withdrawn(photograph: Photograph) -> None:
    if photograph.withdrawn_on is not None:
        raise Hindered("This photograph was taken off. Put it back first.")


@action("cast.describe")
def keep_document(
    actor: Actor,
    *,
    kind: str,
    what: str,
    where_it_lies: str = "",
    upload: Upload | None = None,
    dated: str = "",
    cast: Cast | None = None,
    excavation: Excavation | None = None,
    permit: Permit | None = None,
    site: Site | None = None,
    person: Person | None = None,
) -> Document:
    """A paper on record: a photograph or PDF of it, or the words where the original lies. `dated` is EDTF.

    Papers of a permit or a site are for who may write permits.
    """
    if permit or site:
        demand(actor, "permit.write")
    refuse_if(
        rules.wrong_in_paper(
            kind=kind,
            kinds=[k for k, _ in Document.KINDS],
            what=what,
            where_it_lies=where_it_lies,
            has_file=upload is not None,
            earliest=_earliest(dated),
            today=today(),
        ),
        Refusal,
    )
    file = upload if isinstance(upload, Received) or upload is None else receive_paper(upload)
    facts = _file_facts(file) | {"has_position": file.has_position} if file else {}
    return store(
        Document(
            kind=kind, what=what.strip(), where_it_lies=where_it_lies.strip(), dated=dated, **facts,
            cast=cast, excavation=excavation, permit=permit, site=site, person=person,
        )
    )  # fmt: skip


def _earliest(dated: str) -> Any:
    if not dated:
        return None
    try:
        return read_edtf(dated, south=collection().south).earliest
    except ValueError as error:
        raise Refusal(Reason(str(error), "dated", said=dated)) from None


# looks at files


@action(None)
def record_checks(actor: Actor, found: Iterable[tuple[str, bool, str]]) -> list[FileCheck]:
    """What a look at files found: (hash, whether it stands, words)."""
    return store_many([FileCheck(sha256=h, stands=stands, said=words[:300]) for h, stands, words in found])


def check_files(actor: Actor, hashes: Iterable[str]) -> list[FileCheck]:
    """Reads these files whole and keeps what was found, a hundred at a time; no transaction stands open while they are read."""
    made: list[FileCheck] = []
    waiting: list[tuple[str, bool, str]] = []
    for sha256 in hashes:
        waiting.append((sha256, *look_at(sha256)))
        if len(waiting) == 100:
            made += record_checks(actor, waiting)
            waiting = []
    return made + record_checks(actor, waiting)


def look_at(sha256: str) -> tuple[bool, str]:
    """Whether a file stands; `damaged` or `missing` where it does not."""
    ours = vault()
    if ours.verify(sha256):
        return True, ""
    checked = ours.verify_all([sha256])
    return bool(checked.n_sound), "missing" if checked.missing else "damaged" if checked.damaged else ""


class _OnRecord:
    """Answers, at the moment it is asked, whether a row names a file."""

    def __contains__(self, sha256: object) -> bool:
        return is_on_record(str(sha256))


def sweep(now: datetime | None = None) -> Any:
    """The nightly round of the vault: left-overs and files that no row names go, each after its time."""
    return vault().sweep(_OnRecord(), now or timezone.now())
