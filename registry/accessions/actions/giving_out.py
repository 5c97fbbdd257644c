"""Papers of the register go out with a checkpoint under them, so that whoever holds one is a witness."""

from __future__ import annotations

from collections.abc import Callable

from catalog.ground.acting import action
from catalog.ground.keeping import Draft, keep_paper
from catalog.ground.models import Paper
from catalog.ground.refusal import Hindered
from catalog.ground.roles import Actor
from registry.accessions.actions.checkpoints import write_checkpoint
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.reads.register import register_origin

DraftWith = Callable[[Checkpoint], Draft]


@action("register.read")
def print_lines(actor: Actor, draft_with: DraftWith) -> Paper:
    """An extract or a page of the register, with a checkpoint over all lines there are."""
    return keep_paper(actor, draft_with(_checkpoint_now("printed on an extract")))


@action("register.certificate")
def certify_line(actor: Actor, draft_with: DraftWith) -> Paper:
    """The certificate of one line, with the checkpoint that its proof leads to."""
    return keep_paper(actor, draft_with(_checkpoint_now("for a certificate")))


def _checkpoint_now(why: str) -> Checkpoint:
    """The newest checkpoint where it sees all lines, else a new one."""
    last = LedgerLine.objects.order_by("-n").first()
    if last is None:
        raise Hindered("The register has no line yet.")
    newest = Checkpoint.objects.filter(size=last.n, root=bytes(last.head)).order_by("-pk").first()
    return newest or write_checkpoint(last, register_origin(), why)
