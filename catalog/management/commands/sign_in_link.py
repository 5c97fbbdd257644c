"""`manage.py sign_in_link NAME`: a link that signs somebody in once, within a quarter of an hour."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalog.ground.roles import HOUSE
from catalog.people import reads, rules
from catalog.people.actions import forget_second_factor, print_link


class Command(BaseCommand):
    help = "Prints a link that signs this person in once. Earlier ones open nothing any more."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="name or e-mail of the account")
        parser.add_argument(
            "--second-factor-lost", action="store_true", help="phone and codes are lost: take the second factor off"
        )

    def handle(self, *args: Any, name: str, second_factor_lost: bool, **options: Any) -> None:
        account = reads.account_named(name)
        if account is None:
            raise CommandError(f"Nobody signs in as {name}.")
        if not account.is_active:
            raise CommandError(f"The account of {account.name} is closed. A registrar opens it again on its page.")
        if second_factor_lost:
            forget_second_factor(HOUSE, account)
            self.stdout.write(f"{account.name} has no second factor and no passkey any more.")
        _, secret = print_link(HOUSE, "sign in", account)
        self.stdout.write(f"It signs {account.name} in once, within {rules.START_MINUTES} minutes:")
        self.stdout.write(f"{settings.BASE_ADDRESS}/sign-in/link/{secret}/")
