"""The register is looked at: on demand, each night; and a checkpoint is issued."""

from __future__ import annotations

from django.utils import timezone

from catalog.ground.acting import action, store
from catalog.ground.collection import today
from catalog.ground.ids import uuid7
from catalog.ground.models import Job
from catalog.ground.refusal import Hindered
from catalog.ground.roles import HOUSE, Actor
from registry.accessions.actions.checkpoints import write_checkpoint
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.reads.register import CHECK, register_origin
from registry.accessions.reads.verifying import Verified, verify


@action("register.verify")
def check_register(actor: Actor) -> Verified:
    """Checks every line and keeps the result, so that the register's page says when it was looked at."""
    found = verify()
    now = timezone.now()
    job = Job(uid=uuid7(), kind=CHECK, by_id=actor.account_id, done=found.count, of=found.count, ended_at=now)
    job.result = found.sentence[:300]
    job.says = "stands" if found.ok else "does not stand"
    store(job)
    return found


@action("checkpoint.issue")
def issue_checkpoint(actor: Actor, why: str = "asked for") -> Checkpoint:
    """The register's size and root now, kept and sent to the witnesses."""
    last = LedgerLine.objects.order_by("-n").first()
    if last is None:
        raise Hindered("The register has no line yet.")
    return write_checkpoint(last, register_origin(), why)


@action(None)
def _checkpoint_by_night(actor: Actor) -> Checkpoint | None:
    newest = Checkpoint.objects.order_by("-pk").first()
    last = LedgerLine.objects.order_by("-n").first()
    if last is None or (newest and newest.size == last.n):
        return None
    return write_checkpoint(last, register_origin(), f"night of {today().isoformat()}")


def nightly_checkpoint() -> None:
    """One each night in which the register grew."""
    _checkpoint_by_night(HOUSE)


@action(None)
def _check_by_night(actor: Actor) -> Verified:
    return check_register(actor)


def nightly_check() -> None:
    """All lines are checked each night."""
    _check_by_night(HOUSE)
