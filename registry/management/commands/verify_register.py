"""`manage.py verify_register`: whether every line of the register stands. Exit 0 with the count and the root; else exit 1
and the number of the first bad line on the first row, with the sentence under it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from registry.accessions.reads import verify
from registry.accessions.seal import Checkpoint, read_checkpoints


class Command(BaseCommand):
    help = "Checks all lines of the accession register, their heads, and what stands beside them."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--checkpoint",
            action="append",
            default=[],
            metavar="FILE",
            help="a checkpoint kept outside; may be repeated",
        )
        parser.add_argument("--deep", action="store_true", help="read every line in full and walk every head")

    def handle(self, *args: Any, checkpoint: list[str], deep: bool, **options: Any) -> None:
        found = verify(_outside(checkpoint), deep=deep)
        if found.ok:
            self.stdout.write(f"{found.count} {found.root.hex()}")
            self.stdout.write(found.sentence)
            return
        self.stdout.write(str(found.line or 0))
        self.stdout.write(found.sentence)
        sys.exit(1)


def _outside(names: list[str]) -> list[Checkpoint]:
    found: list[Checkpoint] = []
    for name in names:
        try:
            found += read_checkpoints(Path(name).read_text("utf-8"), named=f"in {name}")
        except (OSError, ValueError) as error:
            raise CommandError(f"{name} cannot be read as a checkpoint: {error}") from None
    return found
