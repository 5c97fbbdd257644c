"""What only the database can hold, in both dialects. Made after every migration, lifted before it: a remade table loses its triggers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, connection, transaction


@dataclass(frozen=True)
class Guard:
    """`name` as the database knows it, the statements of both dialects, and the sentence for who meets it."""

    table: str
    name: str
    sentence: str
    sqlite: tuple[str, ...]
    postgres: tuple[str, ...]
    constraint: bool = False


GUARDS: list[Guard] = []


def guard(*made: Guard) -> None:
    GUARDS.extend(made)


def trigger(table: str, name: str, sentence: str, *, when: str, before: str) -> Guard:
    """A trigger that refuses rows of `table` for which `when` holds (one text for both dialects)."""
    quoted = sentence.replace("'", "''")
    events = [e.strip() for e in before.split("OR")]
    sqlite = tuple(
        f"CREATE TRIGGER {name}_{n} BEFORE {event} ON {table} WHEN {when} BEGIN SELECT RAISE(ABORT, '{quoted}'); END"
        for n, event in enumerate(events)
    )
    rows = "" if "EXISTS" in when or "SELECT" in when.upper() else f" WHEN ({when})"
    body = (
        f"RAISE EXCEPTION '{quoted}' USING ERRCODE = 'integrity_constraint_violation', CONSTRAINT = '{name}';"
        if rows
        else f"IF {when} THEN RAISE EXCEPTION '{quoted}' USING ERRCODE = 'integrity_constraint_violation', "
        f"CONSTRAINT = '{name}'; END IF;"
    )
    passing = "RETURN CASE WHEN TG_OP = 'DELETE' THEN OLD ELSE NEW END;"
    postgres = (
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN {body} {passing} END $$",
        f"CREATE TRIGGER {name} BEFORE {' OR '.join(events)} ON {table} FOR EACH ROW{rows} EXECUTE FUNCTION {name}()",
        f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}",
    )
    return Guard(table, name, sentence, sqlite, postgres)


def never_changes(table: str, sentence: str, *, once: str = "") -> Guard:
    """Rows of `table` are never changed or removed; with `once`, from the moment that column is set."""
    name, when = f"{table}_sealed", f"OLD.{once} IS NOT NULL" if once else "OLD.id IS NOT NULL"
    made = trigger(table, name, sentence, when=when, before="UPDATE OR DELETE")
    quoted = sentence.replace("'", "''")
    whole = (
        f"CREATE OR REPLACE FUNCTION {name}_all() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"RAISE EXCEPTION '{quoted}' USING ERRCODE = 'integrity_constraint_violation', CONSTRAINT = '{name}'; END $$",
        f"CREATE TRIGGER {name}_all BEFORE TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION {name}_all()",
        f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}_all",
    )
    return Guard(table, name, sentence, made.sqlite, made.postgres + whole)


def piece_of_its_cast(table: str) -> Guard:
    """Where a row of `table` names a piece beside a cast, the piece is of that cast."""
    sentence = f"This piece is not of that cast ({table})."
    when = (
        "NEW.piece_id IS NOT NULL AND NOT EXISTS "
        "(SELECT 1 FROM catalog_piece p WHERE p.id = NEW.piece_id AND p.cast_id = NEW.cast_id)"
    )
    return trigger(table, f"{table}_piece_of_cast", sentence, when=when, before="INSERT OR UPDATE")


def _sqlite() -> bool:
    return connection.vendor == "sqlite"


def _names(one: Guard) -> list[str]:
    """The names under which this guard's triggers or constraint stand in the database."""
    statements = one.sqlite if _sqlite() else one.postgres
    found = [re.search(r"CREATE (?:CONSTRAINT )?TRIGGER (\w+)|ADD CONSTRAINT (\w+)", s) for s in statements]
    return [m.group(1) or m.group(2) for m in found if m]


def standing() -> set[str]:
    """Names of all triggers and exclusion constraints that stand and are switched on."""
    with connection.cursor() as cursor:
        if _sqlite():
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute(
                "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled = 'A' "
                "UNION SELECT conname FROM pg_constraint WHERE contype = 'x'"
            )
        return {row[0] for row in cursor.fetchall()}


def missing() -> list[str]:
    """Guards that ought to stand and do not."""
    there = standing()
    return [name for one in GUARDS for name in _names(one) if name not in there]


def _tables() -> set[str]:
    return set(connection.introspection.table_names())


def lift(**kwargs: Any) -> None:
    """Takes all guards off: before a migration, and between tests that flush."""
    there, tables = standing(), _tables()
    with transaction.atomic(), connection.cursor() as cursor:
        for one in GUARDS:
            if one.table not in tables:
                continue
            for name in _names(one):
                if name not in there:
                    continue
                if _sqlite():
                    cursor.execute(f"DROP TRIGGER {name}")
                elif one.constraint:
                    cursor.execute(f"ALTER TABLE {one.table} DROP CONSTRAINT {name}")
                else:
                    cursor.execute(f"DROP TRIGGER {name} ON {one.table}")


def place(**kwargs: Any) -> None:
    """Puts all guards up whose tables exist: always those of the code."""
    lift()
    tables = _tables()
    with transaction.atomic(), connection.cursor() as cursor:
        for one in GUARDS:
            if one.table in tables:
                for statement in one.sqlite if _sqlite() else one.postgres:
                    cursor.execute(statement)


def sentence_of(error: IntegrityError) -> str:
    """What the database refused, in our words: found by the constraint's name, the trigger's text, or the columns."""
    from django.apps import apps

    words = str(error)
    for one in GUARDS:
        if one.sentence in words or f'"{one.name}"' in words:
            return one.sentence
    for model in apps.get_models():
        for constraint in model._meta.constraints:
            if constraint.name in words:
                return str(constraint.violation_error_message)
    return _by_columns(words) or "That is already there, or does not fit what is there. Nothing was written."


def _by_columns(words: str) -> str:
    from django.apps import apps
    from django.db.models import UniqueConstraint

    found = re.search(r"UNIQUE constraint failed: (.+)", words)
    if not found:
        return ""
    columns = {c.strip() for c in found.group(1).split(",")}
    for model in apps.get_models():
        table = model._meta.db_table
        for constraint in model._meta.constraints:
            fields = constraint.fields if isinstance(constraint, UniqueConstraint) else ()
            held: Any = model._meta
            if fields and {f"{table}.{held.get_field(f).column}" for f in fields} == columns:
                return str(constraint.violation_error_message)
    return f"Another record already has this {words.rsplit('.', 1)[-1].replace('_', ' ')}."
