"""The certificate of one line of the register, with what is needed to check it without us."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from catalog.ground.http import Asked, page
from catalog.ground.keeping import papers_about
from catalog.ground.pdf import as_kept
from catalog.ground.refusal import NotFound
from registry.accessions import papers, reads
from registry.accessions.actions.giving_out import certify_line
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.reads.register import line_view
from registry.accessions.seal import seal_words

_KINDS = {"line.json": "application/json", "proof.txt": "text/plain", "checkpoint.txt": "text/plain"}


@page("register.certificate")
def certificate(request: Asked, line: int) -> HttpResponse:
    """The line, the checkpoint it stood in, the path of hashes, how to check it."""
    found = reads.line_at(request.actor, line)
    facts: dict[str, Any] = {
        "line": found,
        "view": line_view(found),
        "words": papers.line_words(line_view(found)),
        "leaf": bytes(found.leaf).hex(),
        "size": reads.next_line() - 1,
        "kept": papers_about(request.actor, f"line {found.n}"),
    }
    if point := _checkpoint_over(found):
        proof, root = reads.proof_of(found.n, point.size)
        steps = [{"side": side, "hash": one.hex()} for side, one in proof.steps]
        facts |= {"point": point, "steps": steps, "root": root.hex(), "seal": seal_words(root)}
    return render(request, "accessions/certificate.html", facts)


@page("register.certificate")
def certificate_pdf(request: Asked, line: int) -> HttpResponse:
    """The certificate as a paper, with the three files attached to it."""
    found = reads.line_at(request.actor, line)
    return as_kept(certify_line(request.actor, lambda point: papers.certificate(request.actor, found, point)))


@page("register.certificate")
def proof_file(request: Asked, line: int, name: str) -> HttpResponse:
    """One of the files that are attached to the certificate, by itself."""
    found = reads.line_at(request.actor, line)
    point = _checkpoint_over(found)
    if name not in _KINDS or point is None:
        raise NotFound("This file is made with the certificate. Open the certificate first.")
    response = HttpResponse(papers.proof_files(found, point)[name], content_type=f"{_KINDS[name]}; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _checkpoint_over(line: LedgerLine) -> Checkpoint | None:
    """The newest checkpoint that was given out and sees this line."""
    return Checkpoint.objects.filter(size__gte=line.n).order_by("-size", "-pk").first()
