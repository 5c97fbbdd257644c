"""A phone that loses its signal and finds it again."""

from __future__ import annotations

from typing import Any


def lost(page: Any) -> list[str]:
    """No request leaves the phone, not even one on a connection that is open already. Gives what was asked for in vain."""
    asked: list[str] = []

    def refuse(route: Any) -> None:
        asked.append(route.request.url)
        route.abort("internetdisconnected")

    page.context.route("**/*", refuse)
    page.context.set_offline(True)
    return asked


def found(page: Any) -> None:
    page.context.unroute_all(behavior="ignoreErrors")
    page.context.set_offline(False)


def kept(page: Any, asked: list[str]) -> None:
    """Waits until a thing is kept on the phone: only then the page goes on to the outbox."""
    for _ in range(150):
        if any(url.endswith("/outbox/") for url in asked):
            return
        page.wait_for_timeout(100)
    raise AssertionError("It is not kept on the phone.")
