"""The workloads: W1-W3, W5-W7, W10, W11."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog.casts.models import Cast
from tests import builders
from tests.bench.collections import fill
from tests.bench.refitting import suggesting
from tests.bench.table import Measure, median_ms
from tests.bench.trays import saving_rows

_RAW = "SELECT * FROM catalog_cast WHERE number = %s"
_PIECES = "SELECT * FROM catalog_piece WHERE cast_id = %s"


def measures(size: str) -> Iterator[Measure]:
    """All workloads on a collection of this size."""
    cast = fill(size)
    client = builders.signed_in(Client(), "Imke Roodenburg")
    yield cast_page(size, client, cast)
    yield from casts_list(size, client)
    yield from finding(size, cast)
    if size == "small":
        yield verifying()
        yield labels()
        yield from saving_rows(size)
        yield from suggesting()
        yield from starting()


def _rows(sql: str, *values: Any) -> list[Any]:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return cursor.fetchall()


def cast_page(size: str, client: Client, cast: Cast) -> Measure:
    """W1: code scanned -> the page of a cast of 180 pieces, signed in."""

    def ours() -> None:
        assert client.get(f"/casts/{cast.number}/").status_code == 200

    def floor() -> str:
        rows = _rows(_RAW, cast.number) + _rows(_PIECES, cast.pk)
        for table in (
            "catalog_formernumber",
            "catalog_determination",
            "registry_placement",
            "registry_movement",
            "registry_custody",
        ):
            rows += _rows(f"SELECT * FROM {table} WHERE cast_id = %s", cast.pk)
        return "".join(str(r) for r in rows)

    def peer() -> None:
        assert client.get(f"/bench-admin/catalog/cast/{cast.pk}/change/").status_code == 200

    with CaptureQueriesContext(connection) as queries:
        ours()
    asked = len(queries)  # the next request empties the log
    return Measure(
        "W1 cast page, 180 pieces",
        size,
        median_ms(ours),
        median_ms(floor),
        median_ms(peer, times=3),
        "<= 6 x floor, <= 0.5 x peer, <= 30 queries",
        f"{asked} queries",
    )


def casts_list(size: str, client: Client) -> Iterator[Measure]:
    """W2: the list with two filters and its counts, first and last page."""
    chosen = "material=plaster&animal=Lasius+flavus"
    where = "FROM catalog_cast c JOIN catalog_taxon t ON t.id = c.taxon_id WHERE c.material = 'plaster' AND t.name = 'Lasius flavus'"
    total = _rows(f"SELECT COUNT(*) {where}")[0][0]
    last = (total - 1) // 40 + 1
    for name, number in (("first", 1), ("last", last)):

        def ours(number: int = number) -> None:
            assert client.get(f"/casts/?{chosen}&page={number}").status_code == 200

        def floor(number: int = number) -> str:
            _rows(f"SELECT COUNT(*) {where}")
            _rows("SELECT material, COUNT(*) FROM catalog_cast GROUP BY material")
            _rows("SELECT taxon_id, COUNT(*) FROM catalog_cast WHERE material = 'plaster' GROUP BY taxon_id")
            _rows(f"SELECT year, COUNT(*) FROM (SELECT c.year {where}) AS chosen GROUP BY year")
            return str(_rows(f"SELECT c.* {where} ORDER BY c.sort LIMIT 40 OFFSET {(number - 1) * 40}"))

        def peer(number: int = number) -> None:
            taxon = _rows("SELECT id FROM catalog_taxon WHERE name = 'Lasius flavus'")[0][0]
            address = f"/bench-admin/catalog/cast/?material=plaster&taxon__id__exact={taxon}&p={number}"
            assert client.get(address).status_code in (200, 302)

        yield Measure(
            f"W2 list, two filters, {name} page",
            size,
            median_ms(ours),
            median_ms(floor),
            median_ms(peer),
            "<= 6 x floor, <= 0.5 x peer",
        )


def finding(size: str, cast: Cast) -> Iterator[Measure]:
    """W3: by number of a piece, by former number, by a misspelt word."""
    from catalog.casts.reads import subject_of
    from catalog.ground.search import find

    imke = builders.imke()
    former = _rows("SELECT text, key FROM catalog_formernumber LIMIT 1")[0]
    number = f"{cast.number}.77"

    def by_number() -> None:
        assert subject_of(imke, number).piece

    def number_floor() -> None:
        _rows(_RAW, cast.number)
        _rows("SELECT * FROM catalog_piece WHERE cast_id = %s AND suffix = %s", cast.pk, "77")

    def number_peer() -> None:
        list(
            _rows(
                "SELECT p.id FROM catalog_piece p JOIN catalog_cast c ON c.id = p.cast_id WHERE c.number || '.' || p.suffix LIKE %s LIMIT 20",
                f"%{number}%",
            )
        )

    def by_former() -> None:
        assert find(former[0])

    def former_floor() -> None:
        _rows("SELECT * FROM catalog_formernumber WHERE key = %s", former[1])

    columns = ("description", "note", "method", "handling", "animal_words", "number")
    sql = " OR ".join(f"c.{c} LIKE %s" for c in columns)

    def contains(word: str) -> None:
        likes = [f"%{word}%"] * (len(columns) + 1)
        _rows(
            f"SELECT c.id FROM catalog_cast c LEFT JOIN catalog_formernumber f ON f.cast_id = c.id WHERE {sql} OR f.text LIKE %s LIMIT 20",
            *likes,
        )

    def misspelt() -> None:
        assert find("galery")

    def misspelt_floor() -> None:
        _rows("SELECT id FROM catalog_searchword WHERE text = %s", "gallery")
        _rows(
            "SELECT e.* FROM catalog_searchentry e JOIN catalog_searchlink l ON l.entry_id = e.id JOIN catalog_searchword w ON w.id = l.word_id WHERE w.text = %s LIMIT 20",
            "gallery",
        )

    reach = "<= 8 x floor, <= 0.05 x peer"
    yield Measure(
        "W3 find a piece by number",
        size,
        median_ms(by_number),
        median_ms(number_floor),
        median_ms(number_peer, times=3),
        reach,
    )
    yield Measure(
        "W3 find by former number",
        size,
        median_ms(by_former),
        median_ms(former_floor),
        median_ms(lambda: contains(former[0])),
        reach,
    )
    yield Measure(
        "W3 find by a misspelt word",
        size,
        median_ms(misspelt),
        median_ms(misspelt_floor),
        median_ms(lambda: contains("galery")),
        reach,
    )


def verifying(n: int = 100_000) -> Measure:
    """W7: verifying a register of 100 000 lines, against hashing its bytes."""
    from registry.accessions import seal

    raws = [seal.canonical(_line(i)) for i in range(1, n + 1)]
    leaves = [seal.leaf(raw) for raw in raws]
    root = seal.root(leaves)
    stored = [
        seal.Stored(line=i, raw=raw, leaf=leaf, head=root if i == n else b"\0" * 32)
        for i, (raw, leaf) in enumerate(zip(raws, leaves, strict=True), 1)
    ]

    def ours() -> None:
        assert seal.first_fault(iter(stored)) is None

    def floor() -> None:
        whole = hashlib.sha256()
        for raw in raws:
            whole.update(raw)
        whole.digest()

    return Measure(
        "W7 verify the register, 100 000 lines",
        "-",
        median_ms(ours, times=3),
        median_ms(floor, times=3),
        None,
        "<= 5 x floor",
    )


def _line(i: int) -> dict[str, Any]:
    return {
        "act": f"0197c3a0-5b1e-7c3a-9f00-{i:012x}",
        "at": "2026-03-05T10:02:11Z",
        "by": "p1",
        "entry": f"E-2026-{i}",
        "from_commit": "62" * 32,
        "kind": "accession",
        "line": i,
        "mass_g": "412.60",
        "number": f"TH 2026.{i}",
        "object": "Epoxy cast, shaft of Geotrupes sp.",
        "pieces": 1,
        "register": "casts.example/TH",
        "title": "clear",
        "v": 1,
    }


def labels() -> Measure:
    """W10: 500 piece labels as PDF, against the bare typesetter on a fixed page of 500 codes, and another PDF library."""
    import typst

    from catalog.ground.codes import code_address, code_svg
    from catalog.ground.papers import Paper, typeset
    from registry.accessions.labels import KINDS, Label, label_facts, sheet_for

    numbers = [f"2016.1.{n}" for n in range(1, 501)]
    address = "https://tarnholm.example"
    codes = [code_svg(code_address(address, n)) for n in numbers]
    made = [Label(number=n) for n in numbers]
    house = {"name": "Tarn Holm", "code": "TH"}
    at = datetime(2026, 11, 25, tzinfo=UTC)

    def ours() -> None:
        facts, pictures = label_facts(
            KINDS["piece"], sheet_for(KINDS["piece"]), made, base_address=address, collection=house
        )
        typeset(Paper("registry/accessions/papers/labels.typ", facts, "Labels", pictures), printed_at=at)

    cells = "".join(
        f'box(width: 50mm, height: 18mm)[#image(bytes("{code.replace(chr(34), chr(39))}"), width: 17mm) #text(font: "DejaVu Sans Mono")[{n}]],'
        for n, code in zip(numbers, codes, strict=True)
    )
    page = f"#set page(margin: 5mm)\n#grid(columns: 4, {cells})".encode()

    def floor() -> None:
        typst.compile(page)

    def peer() -> None:
        from reportlab.graphics import renderPDF
        from reportlab.graphics.barcode.qr import QrCodeWidget
        from reportlab.graphics.shapes import Drawing
        from reportlab.pdfgen.canvas import Canvas

        canvas = Canvas(io.BytesIO())
        for i, n in enumerate(numbers):
            drawing = Drawing(50, 50)
            drawing.add(QrCodeWidget(code_address(address, n), barLevel="M"))
            renderPDF.draw(drawing, canvas, 10 + i % 4 * 140, 780 - i // 4 % 14 * 56)
            canvas.drawString(70 + i % 4 * 140, 800 - i // 4 % 14 * 56, n)
            if i % 56 == 55:
                canvas.showPage()
        canvas.save()

    return Measure(
        "W10 500 piece labels as PDF",
        "-",
        median_ms(ours, times=3),
        median_ms(floor, times=3),
        median_ms(peer, times=1),
        "<= 1.5 x floor",
    )


# what the process holds now; the most it ever held would count what its parent held when it was forked
_START = """
import time
begun = time.perf_counter()
import django
{setup}
took = (time.perf_counter() - begun) * 1000
held = next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmRSS"))
print(took, int(held) / 1024)
"""


def _started(setup: str) -> tuple[float, float]:
    best = (1e9, 0.0)
    for _ in range(3):
        out = subprocess.run(
            [sys.executable, "-c", _START.format(setup=setup)],
            capture_output=True,
            text=True,
            check=True,
            env=os.environ,
        )
        ms, mb = map(float, out.stdout.split()[-2:])
        best = min(best, (ms, mb))
    return best


def starting() -> Iterator[Measure]:
    """W11: start-up and memory of one worker, against `django.setup()` with an empty project."""
    ours = _started(
        "import os\nos.environ['DJANGO_SETTINGS_MODULE']='deploy.settings'; django.setup(); from deploy.wsgi import application; import deploy.urls"
    )
    empty = _started(
        "from django.conf import settings; settings.configure(INSTALLED_APPS=[]); django.setup(); from django.core.wsgi import get_wsgi_application"
    )
    yield Measure("W11 start of one worker", "-", ours[0], empty[0], None, "<= 3 x floor")
    yield Measure("W11 memory of one worker", "-", ours[1], empty[1], None, "<= 150 MB", unit="MB")
