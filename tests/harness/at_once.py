"""Several hands at one instant, each with a connection of its own."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import Any

from django.db import connections


def at_once(deeds: Sequence[Callable[[], Any]]) -> list[Any]:
    """Runs all deeds at a barrier; each gives its result, or what it raised."""
    barrier, results = threading.Barrier(len(deeds)), [None] * len(deeds)

    def run(n: int, deed: Callable[[], Any]) -> None:
        try:
            barrier.wait()
            results[n] = deed()
        except Exception as error:
            results[n] = error
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(n, deed)) for n, deed in enumerate(deeds)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results
