"""The house holds: who leans on whom, who saves, what the signs say, how many queries, how long the files are."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models

from catalog.apps import ROOMS as CATALOG
from catalog.ground.records import Fact, Record
from registry.apps import ROOMS as REGISTRY

BASE = Path(settings.BASE)
FLOORS = [f"catalog.{r}" for r in CATALOG] + [f"registry.{r}" for r in REGISTRY]
OURS = [
    m
    for m in apps.get_models()
    if m._meta.app_label in ("catalog", "registry") and not m.__name__.startswith("Historical")
]
# ground's rows name the account that wrote them; accounts live one floor up
_ALLOWED = {("catalog.ground", "catalog.people")}


def room_of(model: type[models.Model]) -> str:
    return ".".join(model.__module__.split(".")[:2])


def test_imports_go_down_only() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()"],
        cwd=BASE,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout[-3000:]


def test_no_foreign_key_points_upstairs() -> None:
    for model in OURS:
        for field in model._meta.get_fields():
            if isinstance(field, models.ForeignKey) and field.name not in ("created_by", "changed_by", "written_by"):
                below, above = room_of(model), room_of(field.related_model)
                if (below, above) not in _ALLOWED:
                    assert FLOORS.index(above) <= FLOORS.index(below), (
                        f"{model.__name__}.{field.name} points up to {above}"
                    )


def _calls(path: Path) -> list[tuple[int, str]]:
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            found.append((node.lineno, ast.unparse(node.func)))
    return found


_SAVING = ("bulk_create", "bulk_update", "objects.create", "objects.get_or_create", "objects.update_or_create")
# machines that keep no record of the trade: the frame, the vault's files, sessions and counters of the doorkeeper
_MACHINES = (
    "catalog/ground/",
    "catalog/media/pixels.py",
    "catalog/media/shelves.py",
    "catalog/people/tokens.py",
    "catalog/people/sessions.py",
    "catalog/people/visiting.py",
    *(f"catalog/people/actions/{n}.py" for n in ("visits", "failures", "factors", "own", "tidying")),
)


def test_nobody_saves_but_store() -> None:
    bad = []
    for wing in ("catalog", "registry"):
        for path in (BASE / wing).rglob("*.py"):
            where = str(path.relative_to(BASE))
            if "migrations" in where or where.startswith(_MACHINES):
                continue
            for line, call in _calls(path):
                saves = call.endswith((".save", *_SAVING)) and not call.startswith(
                    ("form.", "session.", "request.session")
                )
                if saves or (call.endswith((".update", ".delete")) and ".objects" in call and "search" not in where):
                    bad.append(f"{where}:{line} {call}")
    assert not bad, "\n".join(bad)


def test_every_record_stands_on_one_sign() -> None:
    for wing, rooms in (("catalog", CATALOG), ("registry", REGISTRY)):
        for room in rooms:
            sign = importlib.import_module(f"{wing}.{room}").__doc__ or ""
            assert sign, f"{wing}.{room} has no sign"
            named = {
                n.strip(" .\n") for n in sign.split("Records:")[1].split("Words:")[0].replace("\n", " ").split(",")
            }
            there = {m.__name__ for m in OURS if room_of(m) == f"{wing}.{room}"}
            assert named - {"none"} == there, f"the sign of {wing}.{room}: {named ^ there}"


def test_every_fact_is_sealed_and_every_record_keeps_its_history() -> None:
    from catalog.ground.guards import GUARDS

    sealed = {g.table for g in GUARDS if g.name.endswith("_sealed")}
    for model in OURS:
        if issubclass(model, Fact):
            assert model._meta.db_table in sealed, f"{model.__name__} is a fact without a guard"
        if issubclass(model, Record):
            assert hasattr(model, "history")


def test_every_constraint_has_a_sentence() -> None:
    for model in OURS:
        if issubclass(model, (Record, Fact)):
            for constraint in model._meta.constraints:
                if constraint.name != "piece_of_its_cast":
                    assert "Constraint" not in str(constraint.violation_error_message), constraint.name


def test_pages_carry_no_inline_style_or_script() -> None:
    import re

    for path in [*BASE.glob("*/*/templates/**/*.html")]:
        text = path.read_text()
        assert not re.search(r"\sstyle=|<style|\son[a-z]+=\"", text), path
        assert not re.search(r"<script(?![^>]*(src=|type=\"application/json\"))", text), path


def test_nothing_names_a_machine_or_a_host_of_packages() -> None:
    import re

    bad = re.compile(r"/(?:work|root|home)/\w|pypi\.org|npmjs|debian\.org|files\.pythonhosted")
    listed = subprocess.run(["git", "ls-files"], cwd=BASE, capture_output=True, text=True).stdout.split()
    for name in listed:
        path = BASE / name
        if (
            path.suffix in (".py", ".md", ".toml", ".sh", ".html", ".js", ".css", ".typ", ".yaml", "")
            and path.is_file()
            and name != str(Path(__file__).relative_to(BASE))
        ):
            assert not bad.search(path.read_text(errors="ignore")), name


@pytest.mark.parametrize("limit", [400])
def test_no_file_is_longer_than_a_person_reads(limit: int, capsys: pytest.CaptureFixture[str]) -> None:
    sizes = sorted(
        (
            (len(p.read_text().splitlines()), str(p.relative_to(BASE)))
            for w in ("catalog", "registry", "deploy")
            for p in (BASE / w).rglob("*.py")
            if "migrations" not in str(p)
        ),
        reverse=True,
    )
    with capsys.disabled():
        print("\nlongest:", ", ".join(f"{name} {n}" for n, name in sizes[:5]))
    # the offline checker is one file by promise
    assert [s for s in sizes if s[0] > limit and "verify_register" not in s[1]] == []
