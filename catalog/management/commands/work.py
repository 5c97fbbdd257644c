"""`manage.py work`: runs what leaves the house (mail, derivatives) and what is due once a day. `--once` does both and ends."""

from __future__ import annotations

import logging
import signal
import threading
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections, connections
from django.utils.crypto import get_random_string
from django_tasks_db.management.commands.db_worker import Worker

from catalog.ground.daily import give_back_killed, run_due

log = logging.getLogger("undercast")


class Command(BaseCommand):
    help = "Does what waits: tasks of finished acts, and what is due once a day."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what is due, then end")

    def handle(self, *args: Any, once: bool, **options: Any) -> None:
        if once:
            give_back_killed()
            for name in run_due():
                self.stdout.write(name)
            _worker(batch=True).run()
            return
        clock = threading.Thread(target=_each_minute, daemon=True)
        clock.start()
        worker = _worker(batch=False)
        if threading.current_thread() is threading.main_thread():
            worker.configure_signals()
            signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent, which gets it too, ends us
        worker.run()


def _worker(*, batch: bool) -> Worker:
    return Worker(
        queue_names=["*"],
        interval=1,
        batch=batch,
        backend_name="default",
        startup_delay=False,
        max_tasks=None,
        worker_id=get_random_string(12),
        excluded_queue_names=[],
    )


def _each_minute() -> None:
    wait = threading.Event()
    while not wait.wait(60):
        try:
            close_old_connections()
            give_back_killed()
            run_due()
        except Exception:
            log.exception("the daily round failed")
        finally:
            connections.close_all()
