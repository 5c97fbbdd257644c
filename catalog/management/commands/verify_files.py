"""`manage.py verify_files`: reads every kept file whole and names each that no longer stands. Exit 0 or 1."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from catalog.ground import say
from catalog.ground.roles import HOUSE
from catalog.media import actions, reads
from catalog.media.models import FileCheck


class Command(BaseCommand):
    help = "Reads every file that a record names, and says which is damaged or missing and of what it is."

    def handle(self, *args: Any, **options: Any) -> None:
        found = actions.check_files(HOUSE, reads.hashes_on_record())
        bad = [check for check in found if not check.stands]
        for check in bad:
            self.stderr.write(_sentence(check))
        files = say.plural(len(found), "file", words=False)
        if bad:
            self.stderr.write(f"{len(bad)} of {files} {'does' if len(bad) == 1 else 'do'} not stand.")
            raise SystemExit(1)
        self.stdout.write(f"All {files} stand.")


def _sentence(check: FileCheck) -> str:
    of = say.listed([one.words for one in reads.named([check.sha256])])
    state = "is missing" if check.said == "missing" else "is damaged: its bytes no longer give its checksum"
    return f"files/{check.sha256[:2]}/{check.sha256} ({of}) {state}."
