"""`manage.py load_demo`: plays the Tarn Holm station, which is made up, into an empty register."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalog.ground.models import Collection


class Command(BaseCommand):
    help = "Loads the demo into an empty register, through the same actions as the people named in it."

    def handle(self, *args: Any, verbosity: int, **options: Any) -> None:
        from fixtures.play import play

        if Collection.objects.exists():
            raise CommandError("This register is in use. The demo is loaded into an empty one only.")
        play(self.stdout.write if verbosity > 1 else lambda _: None)
