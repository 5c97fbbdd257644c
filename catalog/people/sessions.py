"""Sessions in the database under a fingerprint of their key: who reads the table cannot sit down at anybody's place."""

from __future__ import annotations

import hashlib
from typing import Any

from django.contrib.sessions.backends import db


def kept_key(session_key: str | None) -> str:
    """What the table holds instead of the key in the cookie: 160 bits of its SHA-256."""
    return hashlib.sha256((session_key or "").encode()).hexdigest()[:40]


class SessionStore(db.SessionStore):
    """Django's own, but that rows are found by `kept_key`."""

    def _get_session_from_db(self) -> Any:
        plain, self._session_key = self._session_key, kept_key(self._session_key)
        try:
            found = super()._get_session_from_db()  # type: ignore[misc]
        finally:
            missing = self._session_key is None
            self._session_key = None if missing else plain
        return found

    def exists(self, session_key: str) -> bool:
        return super().exists(kept_key(session_key))

    def create_model_instance(self, data: Any) -> Any:
        row = super().create_model_instance(data)
        row.session_key = kept_key(row.session_key)
        return row

    def delete(self, session_key: str | None = None) -> None:
        key = session_key or self.session_key
        if key:
            super().delete(kept_key(key))
