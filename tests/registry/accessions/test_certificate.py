"""The certificate of a line, taken from the page as anybody outside would: it stands without us."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from django.test import Client

from registry.accessions import actions
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.said import CorrectionSaid
from registry.accessions.seal import key_text, public_of
from tests import builders
from tests.registry.accessions import makers_accessions as makers
from tests.registry.accessions.test_given_out import asked, says, squeezed, text_of

pytestmark = pytest.mark.django_db
OFFLINE = Path(__file__).parents[3] / "deploy" / "verify_register.py"


def saved(pdf: bytes, folder: Path) -> None:
    """What is attached to the PDF, saved beside the one-file checker by another program."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert set(opened.attachments) == {"line.json", "proof.txt", "checkpoint.txt"}
        for name, one in opened.attachments.items():
            (folder / name).write_bytes(one.get_file().read_bytes())
    shutil.copy(OFFLINE, folder)


def checked(folder: Path, *more: str) -> tuple[int, str]:
    """The checker in an empty folder: no Django, no database, no house."""
    words = ["line.json", "proof.txt", "--checkpoint", "checkpoint.txt", *more]
    done = subprocess.run(
        [sys.executable, "-I", "verify_register.py", *words],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        env={"PATH": os.environ["PATH"]},
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


@pytest.mark.parametrize("line", [1, 2, 5])
def test_a_certificate_stands_without_us(line: int, tmp_path: Path) -> None:
    for _ in range(4):
        makers.numbered()
    saved(asked("Imke Roodenburg", f"/register/{line}/certificate.pdf"), tmp_path)
    code, said = checked(tmp_path)
    assert (code, said.splitlines()[0]) == (0, f"Line {line} stands: it is one of the 5 lines that the checkpoint saw")
    (tmp_path / "line.json").write_bytes((tmp_path / "line.json").read_bytes().replace(b"TH", b"TX", 1))
    assert checked(tmp_path)[0] == 1


def test_it_does_not_stand_under_the_checkpoint_of_another_register(tmp_path: Path) -> None:
    makers.numbered()
    saved(asked("Imke Roodenburg", "/register/2/certificate.pdf"), tmp_path)
    text = (tmp_path / "checkpoint.txt").read_text().split("\n")
    (tmp_path / "checkpoint.txt").write_text(
        "\n".join([text[0], text[1], "sMIA54DzfSSF/vn/UcUPFOm7zIH7Sak28ETxRQ1G0QA=", ""])
    )
    assert checked(tmp_path)[0] == 1


def test_where_the_house_has_a_key_the_checkpoint_is_signed(tmp_path: Path, settings: Any) -> None:
    secret = bytes(range(32))
    key = tmp_path / "register.key"
    key.write_bytes(secret)
    key.chmod(0o600)
    settings.REGISTER_KEY = str(key)
    made = makers.numbered()
    pdf = asked("Imke Roodenburg", f"/register/{made.line.n}/certificate.pdf")
    saved(pdf, tmp_path)
    origin = Checkpoint.objects.get().text.split("\n")[0]
    vkey = key_text(origin, public_of(secret))
    says(pdf, vkey, "It is signed.")
    code, said = checked(tmp_path, "--key", vkey)
    assert code == 0
    assert f"is signed by {origin}" in said


def test_the_certificate_says_the_line_and_not_who_gave_it() -> None:
    cast = makers.kept(from_words="Marit Olde, the white house")
    from registry.accessions.said import AccessionSaid

    made = actions.accession(builders.imke(), cast, AccessionSaid(title="unknown"))
    actions.correct_line(builders.imke(), made.line.n, CorrectionSaid("pieces", "4", "Counted again"))
    pdf = asked("Imke Roodenburg", f"/register/{made.line.n}/certificate.pdf")
    says(pdf, f"TH {made.number} is line 2 of our accession register", "2 of 3, an accession", "corrected by line 3")
    says(pdf, bytes(made.line.leaf).hex(), "How to check it without us", "Imke Roodenburg")
    assert squeezed("Marit Olde") not in text_of(pdf)
    says(asked("Imke Roodenburg", "/register/3/certificate.pdf"), "This is line 3", "Counted again")
    says(asked("Imke Roodenburg", "/register/1/certificate.pdf"), "the opening line")


def test_a_certificate_issues_one_checkpoint_and_is_the_same_until_the_register_grows() -> None:
    makers.numbered()
    first = asked("Imke Roodenburg", "/register/2/certificate.pdf")
    assert asked("Imke Roodenburg", "/register/2/certificate.pdf") == first
    assert Checkpoint.objects.count() == 1
    makers.numbered()
    assert asked("Imke Roodenburg", "/register/2/certificate.pdf") != first
    assert [c.size for c in Checkpoint.objects.order_by("pk")] == [2, 3]


@pytest.mark.parametrize("who", ["Tobias Wren", "Saar Osei", "Ottilie Brandt", "Lenno Haak"])
def test_only_a_registrar_certifies(who: str) -> None:
    makers.numbered()
    client = builders.signed_in(Client(), who)
    for address in ("certificate/", "certificate.pdf", "certificate/proof.txt"):
        answer = client.get(f"/register/2/{address}")
        assert answer.status_code == 403
        assert "Only a registrar may do this." in answer.content.decode()
    assert not Checkpoint.objects.exists()


def test_the_page_shows_the_path_and_gives_the_files(tmp_path: Path) -> None:
    makers.numbered()
    client = builders.signed_in(Client())
    page = client.get("/register/2/certificate/")
    assert "A checkpoint of all 2 lines is issued with the certificate" in page.content.decode()
    assert client.get("/register/2/certificate/proof.txt").status_code == 404
    client.get("/register/2/certificate.pdf")
    page = client.get("/register/2/certificate/").content.decode()
    assert "This line stands under the checkpoint of all 2 lines." in page
    assert bytes(LedgerLine.objects.get(n=1).leaf).hex() in page
    for name in ("line.json", "proof.txt", "checkpoint.txt"):
        answer = client.get(f"/register/2/certificate/{name}")
        assert answer["Content-Disposition"] == f'attachment; filename="{name}"'
        (tmp_path / name).write_bytes(answer.content)
    shutil.copy(OFFLINE, tmp_path)
    assert checked(tmp_path)[0] == 0
    assert client.get("/register/2/certificate/other.txt").status_code == 404
    assert client.get("/register/99/certificate.pdf").status_code == 404
