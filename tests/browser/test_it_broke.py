"""A breakage at the bench on a phone of 360 px: the presses counted, and the same without signal."""

from __future__ import annotations

import io
import re
from decimal import Decimal
from typing import Any

import pytest

from catalog.casts.models import Piece
from registry.condition.models import Breakage, Incident
from tests.browser import signal
from tests.browser.test_move import no_wider, scan
from tests.registry.condition.makers_incidents import shrimp

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]
MOST_PRESSES = 6


def photograph() -> dict[str, Any]:
    from PIL import Image

    file = io.BytesIO()
    Image.new("RGB", (160, 120), "grey").save(file, "JPEG")
    return {"name": "break.jpg", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def test_a_breakage_takes_one_screen_and_six_presses(phone: Any, at: str) -> None:
    _, piece = shrimp()
    phone.goto(f"{at}{piece.href}")
    presses = 0

    def press(locator: Any) -> None:
        nonlocal presses
        presses += 1
        locator.click()

    press(phone.get_by_role("link", name="It broke", exact=True))
    phone.wait_for_url(f"{at}{piece.href}breakage/")
    no_wider(phone)
    press(phone.locator("#id_n_parts label", has_text=re.compile("^3$")))
    phone.set_input_files("input[name=photographs]", photograph())
    presses += 1
    press(phone.locator("#id_how label", has_text="it fell"))
    press(phone.get_by_role("button", name="Record the breakage"))
    phone.wait_for_url(re.compile("/incidents/I-"))
    assert presses <= MOST_PRESSES
    no_wider(phone)
    incident = Incident.objects.get()
    assert (incident.how, incident.pictures.count(), incident.noticed_at is not None) == ("fell", 1, True)
    assert "2016.1.4 broke" in phone.inner_text("h1")
    assert Piece.objects.filter(parent=piece).count() == 3
    # afterwards, one press each
    phone.get_by_role("link", name="Labels of the parts").click()
    phone.wait_for_url(re.compile("/labels/"))
    phone.go_back()
    phone.get_by_role("link", name="Weigh the parts").click()
    first = Piece.objects.get(suffix="4.1")
    phone.fill(f"#id_mass_{first.pk}", "120,4")
    phone.get_by_role("button", name="Write the masses").click()
    phone.wait_for_url(re.compile(f"{incident.number}/$"))
    no_wider(phone)


def test_without_signal_a_breakage_is_kept_and_sent_once(phone: Any, at: str) -> None:
    _, piece = shrimp()
    phone.goto(f"{at}/breakages/new/")
    asked = signal.lost(phone)
    phone.locator("#id_of").focus()
    scan(phone, "HTTPS://TARNHOLM.EXAMPLE/Q/2016.1.4")
    assert phone.input_value("#id_of") == "2016.1.4"
    phone.locator("#id_n_parts label", has_text=re.compile("^2$")).click()
    phone.locator("#id_how label", has_text="it fell").click()
    phone.set_input_files("input[name=photographs]", photograph())
    phone.get_by_text("Weighed already?").click()
    phone.fill("#id_mass_2", "88.1")
    phone.get_by_role("button", name="Keep on this phone").click()
    signal.kept(phone, asked)
    assert not Incident.objects.exists()
    signal.found(phone)
    phone.goto(f"{at}/outbox/")
    phone.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).wait_for()
    breakage = Breakage.objects.get()
    assert [p.mass_g for p in breakage.parts.order_by("pk")] == [None, Decimal("88.1")]
    assert (breakage.piece, breakage.incident.how) == (piece, "fell")
    assert breakage.incident.pictures.count() == 1
    phone.reload()
    phone.wait_for_timeout(500)
    assert Incident.objects.count() == 1
