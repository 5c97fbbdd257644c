"""`manage.py issue_token --scope "all" [--for NAME]`: a token for the API; its secret alone on the last line."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalog.ground import say
from catalog.ground.refusal import Refusal
from catalog.people import reads
from catalog.people.actions import issue_token
from catalog.people.doorkeeper import actor_for


class Command(BaseCommand):
    help = "Gives a token for the API. The secret stands alone on the last line and is never shown again."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--scope", required=True, help='acts by name; "all" is what its person may, grave acts only when named'
        )
        parser.add_argument("--for", dest="whose", default="", help="whose token it is (the first registrar)")
        parser.add_argument("--called", default="Made at the command line", help="what it is for")
        parser.add_argument("--tool", action="store_true", help="for an instrument: a year instead of 90 days")

    def handle(self, *args: Any, scope: str, whose: str, called: str, tool: bool, **options: Any) -> None:
        account = reads.account_named(whose) if whose else reads.first_registrar()
        if account is None:
            raise CommandError(
                f"Nobody signs in as {whose}." if whose else "There is no registrar yet. Open the register first."
            )
        kind = "tool" if tool else "hand"
        try:
            token, secret = issue_token(actor_for(account), called=called, kind=kind, scope=scope)
        except Refusal as refusal:
            raise CommandError(" ".join(r.sentence for r in refusal.reasons)) from refusal
        self.stdout.write(
            f"A token for {account.person.name}: {token.scope}. It works until {say.day(token.expires_on)}."
        )
        self.stdout.write("Send it as a header, Authorization: Bearer …, never in an address. It is shown this once:")
        self.stdout.write(secret)
