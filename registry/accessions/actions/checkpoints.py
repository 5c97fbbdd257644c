"""Checkpoints: the register's size and root at an instant, kept here and sent to witnesses outside."""

from __future__ import annotations

import logging
import stat
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from catalog.ground.acting import store
from catalog.ground.collection import collection
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.seal import checkpoint_body, sign

log = logging.getLogger("undercast")

_EACH = 50


def checkpoint_after(line: LedgerLine, origin: str) -> Checkpoint | None:
    """One after each fifty lines."""
    return write_checkpoint(line, origin, f"after {line.n} lines") if line.n % _EACH == 0 else None


def write_checkpoint(line: LedgerLine, origin: str, why: str) -> Checkpoint:
    """The checkpoint of the register as it stands with this last line; signed where the house has a key. Goes to the witnesses."""
    body = checkpoint_body(origin, line.n, bytes(line.head))
    secret = signing_key()
    text = sign(body, secret, origin) if secret else body
    kept = store(Checkpoint(size=line.n, root=bytes(line.head), text=text, why=why, at=timezone.now()))
    _to_witnesses(kept)
    return kept


def _to_witnesses(kept: Checkpoint) -> None:
    from registry.accessions.tasks import mail_checkpoint

    if collection().checkpoint_mail.strip():
        mail_checkpoint.enqueue(kept.pk)


def signing_key() -> bytes | None:
    """The 32 secret bytes from the key file that the house names, kept outside database and backup; None without one."""
    name = settings.REGISTER_KEY
    if not name:
        return None
    try:
        return _key_in(Path(name))
    except (OSError, ValueError) as error:
        log.error("the register's key is not used, its checkpoints go out unsigned: %s", error)
        return None


def _key_in(path: Path) -> bytes:
    if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        raise PermissionError("others may read it; make it readable by its owner only (mode 0600)")
    held = path.read_bytes()
    secret = held if len(held) == 32 else bytes.fromhex(held.decode("ascii").strip())
    if len(secret) != 32:
        raise ValueError("it is 32 bytes, or 64 hex digits")
    return secret
