"""The frame of a write: role, one transaction, version, history, search. `store` is the only save there is."""

from __future__ import annotations

import functools
import random
import time
from collections.abc import Callable, Iterable
from typing import Any, ParamSpec, TypeVar, cast

from django.db import DatabaseError, IntegrityError, OperationalError, models, transaction
from django.utils import timezone

from catalog.ground import guards, search
from catalog.ground.collection import read_anew
from catalog.ground.models import Collection
from catalog.ground.records import Fact, Record
from catalog.ground.refusal import Busy, Full, Hindered, NotFound, Reason, Refusal, Stale
from catalog.ground.roles import Actor, demand
from catalog.ground.running import Running, now_running

P = ParamSpec("P")
R = TypeVar("R")
M = TypeVar("M", bound=models.Model)

_TRIES = 3
_AGAIN = ("40001", "40P01", "55P03")


def action(act: str | None) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Makes a function an act of the trade: its first argument is the Actor, who must be allowed it.

    Opens the transaction; an action inside another joins it, and the outer act's role counts.
    `act=None` is for what the house does by itself; it demands no role.
    """

    def wrap(fn: Callable[P, R]) -> Callable[P, R]:
        @functools.wraps(fn)
        def run(*args: P.args, **kwargs: P.kwargs) -> R:
            if now_running.get():
                return fn(*args, **kwargs)
            actor = cast(Actor, args[0])
            if act is not None:
                demand(actor, act)
            return _outermost(actor, act or fn.__name__, lambda: fn(*args, **kwargs))

        run.act = act  # type: ignore[attr-defined]
        return run

    return wrap


def _outermost(actor: Actor, act: str, body: Callable[[], R]) -> R:
    for attempt in range(_TRIES):
        running = Running(actor, act)
        token = now_running.set(running)
        try:
            with transaction.atomic():
                result = body()
                search.refresh(running.touched.values())
                return result
        except IntegrityError as error:
            raise Hindered(Reason(guards.sentence_of(error))) from error
        except OperationalError as error:
            if transaction.get_connection().in_atomic_block or attempt + 1 == _TRIES or not _worth_again(error):
                raise refusal_of(error) from error
            time.sleep(random.uniform(0.02, 0.2))
        finally:
            now_running.reset(token)
    raise AssertionError("unreachable")


def _worth_again(error: DatabaseError) -> bool:
    return getattr(error.__cause__, "sqlstate", "") in _AGAIN or "snapshot" in str(error).lower()


def refusal_of(error: DatabaseError) -> Exception:
    """The database's own trouble in our words: full, read-only, busy. Anything else is handed on as it is."""
    words = str(error).lower()
    if "disk is full" in words or "no space" in words:
        return Full(
            "The disk is full: nothing was saved, and what you typed is still here. Make room, then press again."
        )
    if "readonly" in words or "read-only" in words:
        return Busy("The register can be read, not written. Nothing was saved. Tell the registrar.")
    if "locked" in words or "timeout" in words or "deadlock" in words or _worth_again(error):
        return Busy("Others are writing. Press again; it will not happen twice.")
    return error


def _running() -> Running:
    running = now_running.get()
    if running is None:
        raise AssertionError("store outside an action")
    return running


def store(record: M) -> M:
    """Saves one record or fact of the running act. A record that did not change is not written again."""
    running = _running()
    now = timezone.now()
    if isinstance(record, Fact):
        record.written_at, record.written_by_id = record.written_at or now, running.actor.account_id
        record.save(force_insert=True)
    elif isinstance(record, Record):
        if not _store_record(record, running, now):
            return record
        if isinstance(record, Collection):
            read_anew()
    else:
        record.save()
    running.touched[(type(record), record.pk)] = record
    return record


def _store_record(record: Record, running: Running, now: Any) -> bool:
    record.changed_at, record.changed_by_id = now, running.actor.account_id
    if record._state.adding:
        record.created_at, record.created_by_id = now, running.actor.account_id
    else:
        before: Any = type(record)._base_manager.select_for_update(no_key=True).filter(pk=record.pk).values().first()
        if before is None or before["version"] != record.version:
            raise Stale("Somebody saved before you.", now=type(record)._base_manager.filter(pk=record.pk).first())
        if all(
            before[f.attname] == getattr(record, f.attname)
            for f in record._meta.concrete_fields
            if f.name not in _FRAME
        ):
            return False
        record.version += 1
    record._change_reason = running.act  # type: ignore[attr-defined]
    record.save()
    return True


_FRAME = {"version", "created_at", "created_by", "changed_at", "changed_by"}


def store_many(records: Iterable[M]) -> list[M]:
    """Inserts many new records or facts of one kind at once; history rows of records come with them."""
    running, now, made = _running(), timezone.now(), list(records)
    if not made:
        return made
    for record in made:
        if isinstance(record, Fact):
            record.written_at, record.written_by_id = record.written_at or now, running.actor.account_id
        elif isinstance(record, Record):
            record.created_at = record.changed_at = now
            record.created_by_id = record.changed_by_id = running.actor.account_id
    kind = type(made[0])
    if issubclass(kind, Record):
        from simple_history.utils import bulk_create_with_history

        made = bulk_create_with_history(made, kind, batch_size=200, default_change_reason=running.act)
    else:
        made = kind._base_manager.bulk_create(made, batch_size=500)
    for record in made:
        running.touched[(kind, record.pk)] = record
    return made


def remove(record: models.Model) -> None:
    """Takes away what was never more than a helper row (a known device, a failure count). Nothing with a number."""
    _running()
    record.delete()


def locked(kind: type[M], expected_version: int | None = None, **which: Any) -> M:
    """The one record that `which` names, held until the act ends. NotFound without it, Stale if somebody saved before."""
    record = kind._base_manager.select_for_update(of=("self",), no_key=True).filter(**which).first()
    if record is None:
        raise NotFound("There is no such record.")
    if expected_version is not None and getattr(record, "version", expected_version) != expected_version:
        raise Stale("Somebody saved before you.", now=record)
    return record


def tell(subject: str, **what: Any) -> None:
    """Notes what the act did in words, for its result and for whoever is told after it."""
    _running().told.append({"subject": subject, **what})


class _TakenBack(Exception):
    pass


def rehearse(run: Callable[[], R]) -> R:
    """Runs an act for real and takes it back: a preview says exactly what the real run says."""
    results: list[R] = []
    try:
        with transaction.atomic():
            results.append(run())
            raise _TakenBack
    except _TakenBack:
        return results[0]


def attempt(run: Callable[[], R]) -> R | Refusal:
    """One row of an import: stands, or comes back as its Refusal with nothing left behind."""
    running = _running()
    kept = dict(running.touched)
    try:
        with transaction.atomic():
            return run()
    except Refusal as refusal:
        running.touched = kept
        return refusal
    except IntegrityError as error:
        running.touched = kept
        return Hindered(Reason(guards.sentence_of(error)))
