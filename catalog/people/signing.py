"""What allauth asks of us at sign-in."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class Adapter(DefaultAccountAdapter):  # type: ignore[misc]
    """Nobody signs up by themselves: people come in by invitation."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False
