"""The demo as tests have it: loaded once by the same command that a user runs."""

from __future__ import annotations


def the_demo() -> None:
    """Loads the Tarn Holm station into the test's database."""
    from django.core.management import call_command

    call_command("load_demo", verbosity=0)
