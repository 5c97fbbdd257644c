"""The same request twice happens once: the key is written in the act's own transaction, the answer is kept beside it."""

from __future__ import annotations

import hashlib
import random
import re
import time
from collections.abc import Callable

from django.db import DatabaseError, IntegrityError, OperationalError, transaction
from django.http import HttpRequest, HttpResponse

from catalog.ground.acting import refusal_of
from catalog.ground.models import Answered
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor

_KEY = re.compile(r"[A-Za-z0-9._-]{16,128}")
_KEPT_HEADERS = ("Location", "Content-Type", "ETag")


class OtherWords(Refusal):
    title = "The same key with other words"
    kind = "other-words"


def check_key(key: str) -> str:
    if not _KEY.fullmatch(key):
        raise Refusal(Reason("A key is 16 to 128 letters, figures, dots, hyphens or underlines.", "Idempotency-Key"))
    return key


def fingerprint(request: HttpRequest, body: bytes | None = None) -> str:
    """What makes two requests the same: method, route, content. Files count by their own bytes, not by their envelope."""
    print_ = hashlib.sha256(f"{request.method} {request.path}\n".encode())
    if body is not None:
        print_.update(body)
        return print_.hexdigest()
    for name in sorted(request.POST):
        if name != "csrfmiddlewaretoken":
            print_.update(f"{name}={request.POST.getlist(name)!r}\n".encode())
    for name in sorted(request.FILES):
        for file in request.FILES.getlist(name):
            print_.update(hashlib.file_digest(file, "sha256").digest())  # type: ignore[arg-type]
            file.seek(0)
    return print_.hexdigest()


def once(actor: Actor, key: str, print_: str, run: Callable[[], HttpResponse]) -> HttpResponse:
    """Runs `run` in one transaction and keeps its answer under the key; a second asker gets the first one's answer.

    A refusal (status 400 and up) wrote nothing and leaves the key free. Deadlocks are tried again, three times in all.
    """
    for attempt in range(3):
        try:
            return _once(actor.holder, key, print_, run)
        except (OperationalError, IntegrityError) as error:
            if attempt == 2 or isinstance(error, IntegrityError):
                raise _in_words(error) from error
            time.sleep(random.uniform(0.02, 0.2))
    raise AssertionError("unreachable")


def _in_words(error: DatabaseError) -> Exception:
    return refusal_of(error)


def _once(holder: str, key: str, print_: str, run: Callable[[], HttpResponse]) -> HttpResponse:
    with transaction.atomic():
        Answered.objects.bulk_create([Answered(holder=holder, key=key, fingerprint=print_)], ignore_conflicts=True)
        receipt = Answered.objects.select_for_update().get(holder=holder, key=key)
        if receipt.fingerprint != print_:
            raise OtherWords("This key was used before with other words. Send it again with a new key.")
        if receipt.status:
            return _again(receipt)
        response = run()
        if response.status_code >= 400:
            transaction.set_rollback(True)
            return response
        if hasattr(response, "render"):
            response.render()
        receipt.status = response.status_code
        receipt.headers = {h: response[h] for h in _KEPT_HEADERS if h in response}
        receipt.body = response.content.decode() if not response.streaming else ""
        receipt.save()
        return response


def _again(receipt: Answered) -> HttpResponse:
    response = HttpResponse(receipt.body, status=receipt.status, headers=receipt.headers)
    response["Kept-Answer"] = "true"
    return response
