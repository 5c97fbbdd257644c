"""What the house does by itself: due once a day, and tasks whose worker was killed are given back."""

from __future__ import annotations

import logging
from datetime import timedelta

from django.contrib.sessions.models import Session
from django.db import IntegrityError, transaction
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from catalog.ground.asks import due_jobs
from catalog.ground.collection import today
from catalog.ground.ids import uuid7
from catalog.ground.models import Answered, Job

log = logging.getLogger("undercast")

_KEEP_ANSWERS = timedelta(days=14)  # a phone comes back after a weekend
_LONGEST_TASK = timedelta(minutes=30)
_MOST_TRIES = 3


def run_due() -> list[str]:
    """Runs what is due today and was not run yet; returns the names of what ran."""
    ran = []
    for name, run in [*due_jobs(today()), ("tidy", tidy)]:
        if _take(name):
            _run(name, run)
            ran.append(name)
    return ran


def _take(name: str) -> bool:
    try:
        with transaction.atomic():
            Job.objects.create(uid=uuid7(), kind=name, day=today())
    except IntegrityError:
        return False
    return True


def _run(name: str, run: object) -> None:
    job = Job.objects.get(kind=name, day=today())
    try:
        run()  # type: ignore[operator]
    except Exception:
        log.exception("%s failed", name)
        job.says = "failed; the log says why"
    job.ended_at = timezone.now()
    job.save(update_fields=["ended_at", "says"])


def tidy() -> None:
    """Purges kept answers, ended sessions and finished tasks."""
    now = timezone.now()
    Answered.objects.filter(at__lt=now - _KEEP_ANSWERS).delete()
    Session.objects.filter(expire_date__lt=now).delete()
    DBTaskResult.objects.filter(finished_at__lt=now - _KEEP_ANSWERS).delete()


def give_back_killed() -> int:
    """Tasks that a killed worker left running are ready again, three times at most."""
    stuck = DBTaskResult.objects.filter(status="RUNNING", started_at__lt=timezone.now() - _LONGEST_TASK)
    n = 0
    for task in stuck:
        tried = len(task.worker_ids or [])
        DBTaskResult.objects.filter(pk=task.pk).update(status="READY" if tried < _MOST_TRIES else "FAILED")
        n += 1
    return n
