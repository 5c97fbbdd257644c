"""What leaves the house after an act: a checkpoint to the witnesses."""

from __future__ import annotations

from django.core.mail import EmailMessage
from django_tasks import task

from catalog.ground.collection import collection
from registry.accessions.models import Checkpoint


@task()
def mail_checkpoint(pk: int) -> int:
    """Sends one checkpoint to the addresses outside. Sent again after a break, it bears the same Message-ID."""
    ours, kept = collection(), Checkpoint.objects.get(pk=pk)
    to = [a for a in ours.checkpoint_mail.replace(";", ",").replace(",", " ").split() if "@" in a]
    if not to:
        return 0
    text = (
        f"The accession register of {ours.name} has {kept.size} lines. Keep this message: with it anybody can show "
        f"that none of them was altered afterwards.\n\n{kept.text}"
    )
    subject = f"{ours.code} register: checkpoint of {kept.size} lines"
    return EmailMessage(subject, text, to=to, headers={"Message-ID": f"<checkpoint-{kept.uid}@undercast>"}).send()
