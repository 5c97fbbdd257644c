"""`manage.py rebuild_search`: writes the index of words anew from the records."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.core.management.base import BaseCommand

from catalog.ground.search import rebuild


class Command(BaseCommand):
    help = "Writes what can be found anew from the records, and takes away what is gone."

    def handle(self, *args: Any, **options: Any) -> None:
        models = [m for m in apps.get_models() if hasattr(m, "search_entries")]
        written, removed = rebuild(models)
        self.stdout.write(f"{written} records written, {removed} entries of things that are gone removed.")
