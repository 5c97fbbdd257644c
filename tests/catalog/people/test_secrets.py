"""A stolen database, and a read log, give no password, token, link, code or session."""

from __future__ import annotations

import re
import shutil
import sqlite3
import subprocess
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.test import Client

from catalog.ground.roles import HOUSE
from catalog.people import actions
from catalog.people.said import InvitationSaid
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import account_of, key_on, link_on, opened, sign_in
from tests.catalog.people.test_links import path_in, said_by
from tests.catalog.people.test_second_factor import code_at, secret_on

pytestmark = pytest.mark.django_db(transaction=True)


def dump(folder: Path) -> bytes:
    """Everything that lies in the database, as whoever stole it would have it."""
    if connection.vendor == "sqlite":
        copy = sqlite3.connect(folder / "copy.sqlite3")
        with sqlite3.connect(str(connection.settings_dict["NAME"])) as live:
            live.backup(copy)
        text = "\n".join(copy.iterdump()).encode()
        copy.close()
        return (folder / "copy.sqlite3").read_bytes() + text
    tool = shutil.which("pg_dump") or next(iter(sorted(Path("/usr/lib/postgresql").glob("*/bin/pg_dump"))), None)
    if tool is None:
        pytest.skip("pg_dump is not on this machine")
    at = connection.settings_dict
    where = ["-h", str(at["HOST"]), "-p", str(at["PORT"]), "-U", str(at["USER"])]
    return subprocess.run([str(tool), *where, str(at["NAME"])], check=True, capture_output=True).stdout


def issue_every_secret(client: Any) -> list[str]:
    """Goes through all ways by which a secret is made; returns them all."""
    from django.utils import timezone

    secrets = [PASSWORD]
    start = path_in(said_by("start_link"))
    client.post(start)
    you = {"person": "Imke Roodenburg", "email": "imke@station.example", "password": PASSWORD}
    ours, numbers = {"name": "Tarn Holm", "code": "TH"}, {"pattern": "{year}.{n}", "last_on_paper": "0"}
    for address, said in (("", you), ("collection/", ours), ("numbers/", numbers)):
        client.post(f"/welcome/{address}", said)
    client.post("/welcome/open/", {"zone": "Europe/Amsterdam", "currency": "EUR", "alone": "yes"})
    secrets += [start.split("/")[3], client.cookies["session"].value, client.cookies["known"].value]

    sign_in_link = path_in(said_by("sign_in_link", "Imke Roodenburg"))
    token = said_by("issue_token", "--scope", "all").splitlines()[-1]
    secrets += [sign_in_link.split("/")[3], token, token.split("_")[2]]

    shown = client.post(
        "/people/invite/", {"name": "Saar Osei", "role": "technician", "key": key_on(client.get("/people/invite/"))}
    )
    invitation = link_on(shown)
    Client().post(invitation, {"name": "Saar Osei", "password": "saars plaster and sand"})
    secrets += [invitation.split("/")[2], "saars plaster and sand"]

    said = {"called": "The bench", "kind": "hand", "may": "all", "key": key_on(client.get("/settings/tokens/"))}
    secrets.append(re.search(r"undercast_hand_\w+", client.post("/settings/tokens/", said).content.decode())[0])  # type: ignore[index]

    saar = builders.Account.objects.get(name="Saar Osei")
    address = f"/people/{saar.person_id}/link/"
    secrets.append(link_on(client.post(address, {"key": key_on(client.get(address))})).split("/")[3])

    app = secret_on(client.get("/me/second-factor/app/"))
    halfway = app
    client.post("/me/second-factor/app/", {"code": code_at(app, timezone.now())})
    codes = client.post("/me/second-factor/", {"key": key_on(client.get("/me/second-factor/"))}).content.decode()
    secrets += [app, halfway, *re.findall(r'<span class="fig">(\d{8})</span>', codes)]
    sign_in(Client(), "Imke Roodenburg", "a wrong one that was nearly right")
    secrets.append("a wrong one that was nearly right")
    return secrets


def test_no_secret_in_dump_or_log(client: Any, tmp_path: Path, caplog: Any) -> None:
    with caplog.at_level("INFO"):
        secrets = issue_every_secret(client)
    assert len(secrets) > 20
    stolen, log = dump(tmp_path), caplog.text
    assert b"Imke Roodenburg" in stolen  # the dump is one
    assert "POST /sign-in/link/" in log  # the log is one
    for secret in secrets:
        assert secret.encode() not in stolen, secret
        assert secret not in log, secret
    assert "Imke" not in log
    assert settings.SECRET_KEY.encode() not in stolen


def test_a_secret_that_is_being_set_up_lies_nowhere_either(client: Any, tmp_path: Path) -> None:
    import base64
    import zlib

    from django.contrib.sessions.models import Session

    opened()
    sign_in(client)
    secret = secret_on(client.get("/me/second-factor/app/"))
    row = Session.objects.order_by("-expire_date").first()
    packed = row.session_data.split(":")[0].lstrip(".")  # type: ignore[union-attr]
    raw = base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4))
    plain = zlib.decompress(raw) if row.session_data.startswith(".") else raw  # type: ignore[union-attr]
    assert b"mfa.totp.secret" in plain
    assert secret.encode() not in plain


def test_what_is_kept_opens_nothing() -> None:
    """The fingerprints in the tables are no secrets: shown instead of them, they are refused."""
    imke = opened()
    token, _ = actions.issue_token(imke, called="The bench", scope="all")
    made, _ = actions.invite(imke, InvitationSaid("Saar Osei", "technician"))
    link, _ = actions.print_link(HOUSE, "sign in", account_of(imke))
    assert Client().get("/api/v1/people/", HTTP_AUTHORIZATION=f"Bearer {token.digest}").status_code == 401
    assert Client().get(f"/invitation/{made.digest}/").status_code == 404
    assert Client().get(f"/sign-in/link/{link.digest}/").status_code == 404


def test_the_key_of_the_house_is_no_table(tmp_path: Path) -> None:
    opened()
    call_command("check", verbosity=0)
    assert settings.SECRET_KEY.encode() not in dump(tmp_path)
