"""`manage.py start_link [--link]`: the one-time link of the first start, printed while nobody can sign in yet, or when asked for."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

from catalog.ground.roles import HOUSE
from catalog.people import reads, rules
from catalog.people.actions import print_link


class Command(BaseCommand):
    help = "Prints one line with the one-time link while nobody can sign in yet, or with --link."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--link", action="store_true", help="print one also when people can sign in")

    def handle(self, *args: Any, link: bool, **options: Any) -> None:
        if reads.somebody_can_sign_in() and not link:
            return
        account = reads.first_registrar() if reads.anybody() else None
        if reads.anybody() and account is None:
            self.stderr.write("No registrar can sign in. Take sign_in_link NAME for somebody who can.")
            return
        _, secret = print_link(HOUSE, "sign in" if account else "start", account)
        address = f"{settings.BASE_ADDRESS}/sign-in/link/{secret}/"
        self.stdout.write(f"Open this link once, within {rules.START_MINUTES} minutes: {address}")
