"""`manage.py copy_made`: notes that a copy of database and files was made, so that Today does not ask for one."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalog.ground import say
from catalog.ground.collection import zone
from catalog.ground.refusal import Refusal
from catalog.ground.roles import HOUSE
from registry.desk.actions import note_copy


class Command(BaseCommand):
    help = "Notes that a copy of the data was made now."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            ours = note_copy(HOUSE)
        except Refusal as refusal:
            raise CommandError("There is no register here yet, so there is nothing to copy.") from refusal
        if ours.last_copy_on:
            self.stdout.write(f"A copy is noted for {say.instant(ours.last_copy_on, str(zone()))}.")
