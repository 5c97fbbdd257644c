"""Two web processes and a worker apart, on one PostgreSQL and one object storage, each a process of its own."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import boto3
import psycopg
import pytest
from PIL import Image

BASE = Path(__file__).resolve().parents[2]
DATABASE = os.environ.get("UNDERCAST_DATABASE_URL", "")
KEYS = {"AWS_ACCESS_KEY_ID": "made-up", "AWS_SECRET_ACCESS_KEY": "made-up"}
REGION = "eu-central-1"
pytestmark = pytest.mark.skipif(not DATABASE, reason="several processes share a PostgreSQL: this run is on SQLite")


@dataclass
class House:
    doors: list[str]
    token: str
    environment: dict[str, str]

    def ask(self, door: int, path: str, said: Any = None, **headers: str) -> tuple[int, Any]:
        """One request at one of the web processes: its status, and its body, read from JSON where it is JSON."""
        body = said if isinstance(said, bytes) else json.dumps(said).encode() if said is not None else None
        send = {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json", **headers}
        asked = urllib.request.Request(f"{self.doors[door % 2]}{path}", body, send)
        try:
            with urllib.request.urlopen(asked, timeout=60) as answer:
                status, got, kind = answer.status, answer.read(), answer.headers["Content-Type"]
        except urllib.error.HTTPError as error:
            status, got, kind = error.code, error.read(), error.headers["Content-Type"]
        return status, json.loads(got) if "json" in (kind or "") else got

    def run(self, *command: str) -> str:
        made = subprocess.run(
            [sys.executable, "manage.py", *command], cwd=BASE, env=self.environment, capture_output=True, text=True
        )
        assert made.returncode == 0, made.stdout + made.stderr
        return made.stdout


class Machines:
    """Processes that end with the test, each with a log."""

    def __init__(self, folder: Path, environment: dict[str, str]) -> None:
        self.folder, self.environment = folder, environment
        self.running: list[tuple[subprocess.Popen[bytes], Path]] = []

    def start(self, called: str, *command: str, **more: str) -> int:
        log = self.folder / f"{called}.log"
        process = subprocess.Popen(
            [sys.executable, *command],
            cwd=BASE,
            env=self.environment | more,
            stdout=log.open("wb"),
            stderr=subprocess.STDOUT,
        )
        self.running.append((process, log))
        return len(self.running) - 1

    def wait(self, which: int, ready: Any) -> None:
        process, log = self.running[which]
        for _ in range(1200):
            assert process.poll() is None, log.read_text()
            try:
                ready()
                return
            except Exception:
                time.sleep(0.25)
        raise AssertionError(log.read_text())

    def stop(self) -> None:
        for process, _ in reversed(self.running):
            process.send_signal(signal.SIGTERM)
        for process, _ in self.running:
            process.wait(30)


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


def _empty_database(name: str) -> str:
    url = urlsplit(DATABASE)
    with psycopg.connect(url._replace(path="/postgres").geturl(), autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        server.execute(f"CREATE DATABASE {name}")
    return url._replace(path=f"/{name}").geturl()


def _make_bucket(address: str) -> None:
    client = boto3.client(
        "s3", endpoint_url=address, region_name=REGION, aws_access_key_id="made-up", aws_secret_access_key="made-up"
    )
    client.create_bucket(Bucket="undercast", CreateBucketConfiguration={"LocationConstraint": REGION})


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """Both web processes start at the same instant on an empty database; one migrates and loads, the other waits."""
    folder = tmp_path_factory.mktemp("machines")
    storage, ports = _free_port(), [_free_port(), _free_port()]
    shared = os.environ | KEYS | {
        "UNDERCAST_DATABASE_URL": _empty_database("undercast_past_one_machine"),
        "UNDERCAST_SECRET_KEY": "the same on every machine of this test, and nowhere else",
        "UNDERCAST_UNSAFE_DATABASE": "1",  # the server of the tests does not flush
        "UNDERCAST_WORKER": "apart",
        "UNDERCAST_S3_BUCKET": "undercast",
        "UNDERCAST_S3_ADDRESS": f"http://127.0.0.1:{storage}",
        "UNDERCAST_S3_REGION": REGION,
        "UNDERCAST_BASE_ADDRESS": f"http://127.0.0.1:{ports[0]}",
    }  # fmt: skip
    shared.pop("PYTEST_CURRENT_TEST", None)
    machines = Machines(folder, shared)
    worker = {"UNDERCAST_DATA": str(folder / "machine2")}
    try:
        moto = machines.start("storage", "-m", "moto.server", "-H", "127.0.0.1", "-p", str(storage))
        machines.wait(moto, lambda: _make_bucket(shared["UNDERCAST_S3_ADDRESS"]))
        webs = [
            machines.start(f"web{n}", "-m", "deploy.serve", "--port", str(port), "--data", str(folder / f"machine{n}"))
            for n, port in enumerate(ports)
        ]
        for port, web in zip(ports, webs, strict=True):
            machines.wait(web, lambda port=port: urllib.request.urlopen(f"http://127.0.0.1:{port}/ok/", timeout=5))
        machines.start("worker", "manage.py", "work", **worker)
        made = House([f"http://127.0.0.1:{port}" for port in ports], "", shared | worker)
        made.token = made.run("issue_token", "--scope", "all").split()[-1]
        yield made
    finally:
        machines.stop()


def test_one_loads_the_demo_and_the_other_finds_it(house: House) -> None:
    counts = [house.ask(door, "/api/v1/casts/")[1]["count"] for door in (0, 1)]
    assert counts[0] == counts[1] > 10


def test_numbers_given_at_both_doors_at_once_have_no_gap_and_no_double(house: House) -> None:
    def bring_in_and_number(n: int) -> tuple[str, str]:
        said = {"what": f"Plaster cast {n}", "how": "own excavation", "parts": 1}
        key = {"Idempotency-Key": f"entry-{n:04}-of-this-test"}
        status, entry = house.ask(n, "/api/v1/entries/", said, **key)
        assert status == 201, entry
        said = {"entry": entry["number"], "title": "unknown"}
        key = {"Idempotency-Key": f"line-{n:04}-of-this-test"}
        status, line = house.ask(n + 1, "/api/v1/accessions/", said, **key)
        assert status == 201, line
        return entry["number"], line["number"]

    with ThreadPoolExecutor(8) as hands:
        given = list(hands.map(bring_in_and_number, range(16)))
    for numbers, cut in (([e for e, _ in given], "-"), ([a for _, a in given], ".")):
        last = sorted(int(number.rsplit(cut, 1)[1]) for number in numbers)
        assert last == list(range(last[0], last[0] + 16)), numbers
    house.run("verify_register")


def test_a_press_doubled_at_two_doors_writes_once(house: House) -> None:
    said = {"what": "Plaster cast, sent twice", "how": "own excavation"}
    key = {"Idempotency-Key": "one-press-two-doors-at-once"}
    with ThreadPoolExecutor(2) as hands:
        answers = list(hands.map(lambda door: house.ask(door, "/api/v1/entries/", said, **key), (0, 1)))
    assert len({body["number"] for status, body in answers if status == 201}) == 1, answers
    status, again = house.ask(1, "/api/v1/entries/", said, **key)
    assert status == 201
    found = house.ask(0, f"/api/v1/entries/{again['number']}/")
    assert found[0] == 200, found


def test_a_session_of_one_door_is_known_at_the_other(house: House) -> None:
    link = re.search(r"/sign-in/link/\S+", house.run("sign_in_link", "Imke Roodenburg"))
    assert link
    cookies = urllib.request.HTTPCookieProcessor()
    browser = urllib.request.build_opener(cookies)
    page = browser.open(house.doors[0] + link.group(0), timeout=60).read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token
    press = f"csrfmiddlewaretoken={token.group(1)}".encode()
    browser.open(urllib.request.Request(house.doors[0] + link.group(0), press, {"Origin": house.doors[0]}), timeout=60)
    said = "; ".join(f"{c.name}={c.value}" for c in cookies.cookiejar)
    mine = urllib.request.Request(f"{house.doors[1]}/me/", headers={"Cookie": said})
    with urllib.request.urlopen(mine, timeout=60) as answer:
        assert answer.url.endswith("/me/")
        assert "Imke Roodenburg" in answer.read().decode()


def test_a_photograph_kept_at_one_door_is_shown_at_the_other(house: House) -> None:
    picture = io.BytesIO()
    Image.effect_noise((640, 480), 60).convert("RGB").save(picture, "JPEG")
    edge = "a-line-between-the-parts"
    body = b"".join(
        [
            f'--{edge}\r\nContent-Disposition: form-data; name="of"\r\n\r\n2016.1\r\n'.encode(),
            f'--{edge}\r\nContent-Disposition: form-data; name="photograph"; filename="cast.jpg"\r\n'.encode(),
            b"Content-Type: image/jpeg\r\n\r\n",
            picture.getvalue(),
            f"\r\n--{edge}--\r\n".encode(),
        ]
    )
    kind = {"Content-Type": f"multipart/form-data; boundary={edge}", "Idempotency-Key": "a-photograph-of-this-test"}
    status, kept = house.ask(0, "/api/v1/photographs/", body, **kind)
    assert status == 201, kept
    status, shown = house.ask(1, f"/api/v1/photographs/{kept['uid']}/")
    assert (status, shown["sha256"]) == (200, kept["sha256"])
    machines = Path(house.environment["UNDERCAST_DATA"]).parent
    assert not list(machines.rglob("*.jp*g"))  # it lies in the storage, on no machine
    house.run("verify_files")
