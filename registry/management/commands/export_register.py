"""`manage.py export_register`: every line's sealed bytes, each with a line feed, as `verify_register.py` reads them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from registry.accessions.reads import raw_lines


class Command(BaseCommand):
    help = "Writes lines.jsonl: what anybody can check without us."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", default="-", metavar="FILE", help="the file to write, - for the screen (default)")

    def handle(self, *args: Any, to: str, **options: Any) -> None:
        if to == "-":
            for raw in raw_lines():
                sys.stdout.buffer.write(raw)
            sys.stdout.buffer.flush()
            return
        with Path(to).open("wb") as file:
            n_bytes = sum(file.write(raw) for raw in raw_lines())
        self.stdout.write(f"The lines are in {to}: {n_bytes} bytes.")
