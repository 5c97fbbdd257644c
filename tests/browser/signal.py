"""A phone that loses its signal and finds it again."""

from __future__ import annotations

from typing import Any

_KEPT = """async () => {
  if (!(await indexedDB.databases()).some((base) => base.name === "undercast-outbox" && base.version)) return 0;
  return new Promise((answer) => {
    const asked = indexedDB.open("undercast-outbox");
    asked.onerror = () => answer(0);
    asked.onsuccess = () => {
      const base = asked.result;
      const count = base.transaction("kept").objectStore("kept").count();
      count.onsuccess = () => (base.close(), answer(count.result));
    };
  });
}"""


def lost(page: Any) -> None:
    """No request leaves the phone, not even one on a connection that is open already."""
    page.context.route("**/*", lambda route: route.abort("internetdisconnected"))
    page.context.set_offline(True)


def found(page: Any) -> None:
    page.context.unroute_all(behavior="ignoreErrors")
    page.context.set_offline(False)


def kept_on(page: Any, things: int = 1) -> None:
    """Waits until that many things are kept on the phone."""
    for _ in range(150):
        if page.evaluate(_KEPT) >= things:
            return
        page.wait_for_timeout(100)
    raise AssertionError("It is not kept on the phone.")
