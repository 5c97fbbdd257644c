"""The vault over an object storage: a real S3 client against moto's server, a process of its own on this machine."""

import io
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import boto3
import pytest
from botocore.exceptions import ClientError, EndpointConnectionError
from PIL import Image
from storages.backends.s3 import S3Storage

from catalog.media.pictures import make_derivatives
from catalog.media.vault import TooLarge, Vault

MB = 1_000_000
KEYS = {"region_name": "eu-central-1", "access_key": "made-up", "secret_key": "made-up"}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = (tmp_path_factory.mktemp("moto") / "log").open("w")
    process = subprocess.Popen(
        [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)], stderr=log, stdout=log
    )
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for(address, process)
        yield address
    finally:
        process.terminate()
        process.wait(10)
        log.close()


def client(address: str):
    return boto3.client(
        "s3",
        endpoint_url=address,
        region_name=KEYS["region_name"],
        aws_access_key_id=KEYS["access_key"],
        aws_secret_access_key=KEYS["secret_key"],
    )


def wait_for(address: str, process: subprocess.Popen) -> None:
    for _ in range(120):
        assert process.poll() is None, "the stand-in for the object storage did not start"
        try:
            client(address).list_buckets()
        except EndpointConnectionError:
            time.sleep(0.25)
        else:
            return
    raise AssertionError("the stand-in for the object storage does not answer")


@pytest.fixture
def bucket(server: str, request: pytest.FixtureRequest) -> str:
    name = f"casts-{abs(hash(request.node.name))}"
    where = {"LocationConstraint": KEYS["region_name"]}
    client(server).create_bucket(Bucket=name, CreateBucketConfiguration=where)
    return name


@pytest.fixture
def vault(server: str, bucket: str, tmp_path: Path) -> Vault:
    storage = S3Storage(bucket_name=bucket, endpoint_url=server, file_overwrite=False, querystring_auth=True, **KEYS)
    return Vault(tmp_path / "data", storage)


def kept(vault: Vault, inside: bytes) -> str:
    return vault.keep(vault.take_in(io.BytesIO(inside), most_bytes=20 * MB)).sha256


def objects(server: str, bucket: str) -> dict[str, int]:
    """What the storage itself says it holds, asked with the plain client."""
    return {found["Key"]: found["Size"] for found in client(server).list_objects_v2(Bucket=bucket).get("Contents", [])}


def test_a_file_is_put_under_its_hash_and_reads_back_alike(server: str, bucket: str, vault: Vault) -> None:
    inside = bytes(range(256)) * 50_000  # 12.8 MB: sent in parts
    sha256 = kept(vault, inside)
    assert objects(server, bucket) == {f"files/{sha256[:2]}/{sha256}": len(inside)}
    assert vault.verify(sha256)
    with vault.open(sha256) as stream:
        assert stream.read() == inside
    assert [path.name for path in vault.incoming.glob("*.part")] == []


def test_the_same_bytes_twice_are_one_object(server: str, bucket: str, vault: Vault) -> None:
    assert kept(vault, b"the same photograph") == kept(vault, b"the same photograph")
    assert len(objects(server, bucket)) == 1


def test_too_much_is_refused_before_anything_is_put(server: str, bucket: str, vault: Vault) -> None:
    with pytest.raises(TooLarge):
        vault.take_in(io.BytesIO(bytes(2 * MB)), most_bytes=MB)
    assert objects(server, bucket) == {}


def test_a_storage_that_fails_keeps_nothing_and_says_no(server: str, vault: Vault) -> None:
    incoming = vault.take_in(io.BytesIO(b"abc"), most_bytes=MB)
    storage = S3Storage(bucket_name="no-such-bucket", endpoint_url=server, file_overwrite=False, **KEYS)
    with pytest.raises(ClientError):
        Vault(vault.root, storage).keep(incoming)
    assert not incoming.path.exists()


class Shortened(S3Storage):
    """A storage that loses the end of what it is given."""

    def save(self, name, content, max_length=None):
        return super().save(name, type(content)(io.BytesIO(content.read()[:-1]), name=name), max_length)


def test_the_size_is_read_back_before_it_counts_as_kept(server: str, bucket: str, vault: Vault) -> None:
    storage = Shortened(bucket_name=bucket, endpoint_url=server, file_overwrite=False, **KEYS)
    short = Vault(vault.root, storage)
    incoming = short.take_in(io.BytesIO(b"abc"), most_bytes=MB)
    with pytest.raises(OSError, match="holds 2 bytes of 3"):
        short.keep(incoming)
    assert objects(server, bucket) == {}


def test_a_changed_and_a_missing_object_are_found(server: str, bucket: str, vault: Vault) -> None:
    sound, damaged, missing = (kept(vault, name) for name in (b"sound", b"damaged", b"missing"))
    client(server).put_object(Bucket=bucket, Key=f"files/{damaged[:2]}/{damaged}", Body=b"damageD")
    client(server).delete_object(Bucket=bucket, Key=f"files/{missing[:2]}/{missing}")
    found = vault.verify_all([sound, damaged, missing])
    assert (found.n_sound, found.damaged, found.missing) == (1, (damaged,), (missing,))
    with pytest.raises(FileNotFoundError):
        vault.open(missing)


def test_derivatives_are_made_from_an_object_and_can_be_made_again(vault: Vault) -> None:
    sent = io.BytesIO()
    Image.new("RGB", (400, 300), "tan").save(sent, "PNG")
    sha256 = kept(vault, sent.getvalue())
    for _ in range(2):
        with vault.on_disk(sha256) as original, vault.workroom() as room:
            vault.keep_derived(sha256, make_derivatives(original, room).files)
    with vault.open_derived(sha256, "thumb") as file, Image.open(file) as thumb:
        assert thumb.size == (320, 240)
    assert list(vault.incoming.glob("*.work")) == []


def test_orphans_wait_seven_days_and_ninety_more(server: str, bucket: str, vault: Vault) -> None:
    on_record, orphan = kept(vault, b"on record"), kept(vault, b"orphan")
    today = datetime.now(UTC)
    assert vault.sweep({on_record}, today + timedelta(days=6)).set_aside == ()
    assert vault.sweep({on_record}, today + timedelta(days=8)).set_aside == (orphan,)
    assert set(objects(server, bucket)) == {f"files/{on_record[:2]}/{on_record}", f"lost-and-found/{orphan}"}
    assert vault.sweep({on_record}, today + timedelta(days=89)).gone == ()
    assert vault.sweep({on_record}, today + timedelta(days=91)).gone == (orphan,)
    assert vault.verify(on_record)


class SomebodyKeepsItNow:
    """No row names the file yet; but while the sweep asks, another session keeps the same bytes again."""

    def __init__(self, vault: Vault, inside: bytes) -> None:
        self.vault, self.inside = vault, inside

    def __contains__(self, sha256: object) -> bool:
        kept(self.vault, self.inside)
        return False


def test_the_sweep_does_not_take_what_is_being_kept_at_that_moment(server: str, bucket: str, vault: Vault) -> None:
    sha256 = kept(vault, b"the same bytes")
    later = datetime.now(UTC) + timedelta(days=300)
    assert vault.sweep(SomebodyKeepsItNow(vault, b"the same bytes"), later).set_aside == ()
    assert vault.verify(sha256)
    assert list(objects(server, bucket)) == [f"files/{sha256[:2]}/{sha256}"]
