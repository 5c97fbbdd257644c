"""Files on disk: durable before they are on record, one file for the same bytes, swept by their age and their rows."""

import hashlib
import io
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from catalog.media.kinds import FIRST_BYTES, kind_of
from catalog.media.pictures import make_derivatives
from catalog.media.vault import Full, TooLarge, Vault

MB = 1_000_000
NOW = datetime(2026, 6, 8, 3, 0, tzinfo=UTC)
HOUSE = Path(__file__).parents[3]


@pytest.fixture
def vault(tmp_path: Path) -> Vault:
    return Vault(tmp_path / "data")


def kept(vault: Vault, inside: bytes) -> str:
    return vault.keep(vault.take_in(io.BytesIO(inside), most_bytes=MB)).sha256


def on_shelf(vault: Vault, sha256: str) -> Path:
    return vault.root / "files" / sha256[:2] / sha256


def made_old(path: Path, age: timedelta) -> None:
    at = (NOW - age).timestamp()
    os.utime(path, (at, at))


def waiting(vault: Vault) -> list[str]:
    return sorted(path.name for path in vault.incoming.iterdir())


def test_a_photograph_goes_from_the_door_to_the_shelf_with_its_views(vault: Vault) -> None:
    sent = io.BytesIO()
    Image.effect_noise((2000, 900), 60).convert("RGB").save(sent, "JPEG")
    kind = kind_of(sent.getvalue()[:FIRST_BYTES], "IMG_1.jpg", len(sent.getvalue()))
    sent.seek(0)
    vault.refuse_if_full(least=MB)
    incoming = vault.take_in(sent, most_bytes=kind.most_bytes)
    with vault.workroom() as room:
        derived = make_derivatives(incoming.path, room)
        photograph = vault.keep(incoming)
        vault.keep_derived(photograph.sha256, derived.files)
    with vault.open(photograph.sha256) as original:
        assert original.read() == sent.getvalue()
    with vault.open_derived(photograph.sha256, "thumb") as file, Image.open(file) as thumb:
        assert thumb.size == (320, 144)
    assert waiting(vault) == []


def test_a_file_is_kept_under_the_hash_of_its_bytes(vault: Vault) -> None:
    """SHA-256 of "abc": FIPS 180-2, appendix B.1."""
    sha256 = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    incoming = vault.take_in(io.BytesIO(b"abc"), most_bytes=3)
    file = vault.keep(incoming)
    assert (file.sha256, file.size, file.path) == (sha256, 3, f"files/ba/{sha256}")
    assert (vault.root / file.path).read_bytes() == b"abc"
    assert (vault.root / file.path).stat().st_mode & 0o777 == 0o440  # nobody changes it by mistake
    assert waiting(vault) == []


def test_the_same_bytes_twice_are_one_file(vault: Vault) -> None:
    assert kept(vault, b"the same photograph") == kept(vault, b"the same photograph")
    assert sum(path.is_file() for path in (vault.root / "files").rglob("*")) == 1


def test_a_file_that_is_dropped_leaves_nothing(vault: Vault) -> None:
    incoming = vault.take_in(io.BytesIO(b"not a picture"), most_bytes=MB)
    vault.drop(incoming)
    vault.drop(incoming)
    assert waiting(vault) == []


class Endless:
    """A sender that never stops, counting what was asked of it."""

    def __init__(self, most: int) -> None:
        self.given, self.most = 0, most

    def read(self, size: int, /) -> bytes:
        if self.given >= self.most:
            return b""
        self.given += size
        return b"\0" * size


def test_a_stream_beyond_its_limit_is_refused_without_filling_the_disk(vault: Vault) -> None:
    """200 MB against a limit of 60 MB: reading stops there, and nothing is left."""
    sender = Endless(200 * MB)
    with pytest.raises(TooLarge, match="larger than 60 MB"):
        vault.take_in(sender, most_bytes=60 * MB)
    assert sender.given <= 62 * MB
    assert waiting(vault) == []


def test_a_stream_beyond_its_limit_never_takes_more_room_than_the_limit(vault: Vault, small_disk: Path) -> None:
    with pytest.raises(TooLarge):  # on a disk of 2 MB it would be `Full` if more were written
        Vault(small_disk).take_in(Endless(200 * MB), most_bytes=1_500_000)


def test_a_file_that_says_it_is_too_large_is_not_read_at_all(vault: Vault) -> None:
    sender = Endless(200 * MB)
    sender.size = 200 * MB  # type: ignore[attr-defined]
    with pytest.raises(TooLarge):
        vault.take_in(sender, most_bytes=60 * MB)
    assert sender.given == 0


class Cut:
    def read(self, size: int, /) -> bytes:
        raise ConnectionResetError("the line dropped")


def test_a_dropped_line_leaves_nothing(vault: Vault) -> None:
    with pytest.raises(ConnectionResetError):
        vault.take_in(Cut(), most_bytes=MB)
    assert waiting(vault) == []


def calls_of_keeping(tmp_path: Path) -> Iterator[tuple[str, str]]:
    keep = (
        "import io, sys, pathlib; from catalog.media.vault import Vault; v = Vault(pathlib.Path(sys.argv[1]));"
        "v.keep(v.take_in(io.BytesIO(b'abc'), most_bytes=9))"
    )
    trace = tmp_path / "trace"
    wanted = "trace=fsync,fdatasync,rename,renameat,renameat2"
    command = ["strace", "-f", "-y", "-o", trace, "-e", wanted, sys.executable, "-c", keep, tmp_path / "data"]
    subprocess.run(command, cwd=HOUSE, env={"PYTHONDONTWRITEBYTECODE": "1"}, check=True, timeout=60)
    for line in trace.read_text().splitlines():
        found = re.search(r"(fsync|fdatasync|rename\w*)\((.*)\) += 0", line)
        if found:
            yield found[1], found[2]


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here to watch the calls")
def test_bytes_are_flushed_before_the_name_and_the_name_before_we_go_on(tmp_path: Path) -> None:
    """trace of the system's calls: file, name, its folder, the folder above."""
    calls = list(calls_of_keeping(tmp_path))
    assert [call for call, _ in calls][:2] == ["fsync", "rename"]
    assert calls[0][1].endswith(".part>")
    assert "incoming" in calls[1][1]
    assert "/files/ba/" in calls[1][1]
    flushed_after = [target for call, target in calls[2:] if call == "fsync"]
    assert flushed_after[0].endswith("/files/ba>")
    assert flushed_after[1].endswith("/files>")


def test_a_changed_byte_is_found(vault: Vault) -> None:
    sound, damaged, missing = (kept(vault, name) for name in (b"sound", b"damaged", b"missing"))
    path = on_shelf(vault, damaged)
    path.chmod(0o640)
    path.write_bytes(b"damageD")
    on_shelf(vault, missing).unlink()
    assert vault.verify(sound)
    assert not vault.verify(damaged)
    assert not vault.verify(missing)
    found = vault.verify_all([sound, damaged, missing])
    assert (found.n_sound, found.damaged, found.missing) == (1, (damaged,), (missing,))


def test_only_hashes_are_names(vault: Vault) -> None:
    for name in ("../../etc/passwd", "BA" * 32, "ba", ""):
        with pytest.raises(ValueError):
            vault.open(name)
    with pytest.raises(ValueError):
        vault.open_derived("ba" * 32, "../thumb")


def test_a_derivative_that_was_lost_can_be_made_again(vault: Vault) -> None:
    sent = io.BytesIO()
    Image.new("RGB", (400, 300), "tan").save(sent, "PNG")
    sha256 = kept(vault, sent.getvalue())
    with pytest.raises(FileNotFoundError):
        vault.open_derived(sha256, "thumb")
    for _ in range(2):  # and over one that is there
        with vault.on_disk(sha256) as original, vault.workroom() as room:
            vault.keep_derived(sha256, make_derivatives(original, room).files)
    assert (vault.root / "derived" / sha256[:2] / f"{sha256}.thumb.jpg").is_file()
    with vault.open_derived(sha256, "view") as file, Image.open(file) as view:
        assert view.size == (400, 300)


def test_left_overs_go_after_a_day(vault: Vault) -> None:
    old = vault.take_in(io.BytesIO(b"left by a power cut"), most_bytes=MB)
    young = vault.take_in(io.BytesIO(b"still coming"), most_bytes=MB)
    room = vault.incoming / "left.work"
    room.mkdir()
    (room / "view.jpg").write_bytes(b"half")
    made_old(old.path, timedelta(hours=24, seconds=1))
    made_old(room, timedelta(hours=25))
    made_old(young.path, timedelta(hours=23))
    swept = vault.sweep(set(), NOW)
    assert set(swept.left_over) == {old.path.name, "left.work"}
    assert waiting(vault) == [young.path.name]


def test_orphans_wait_seven_days(vault: Vault) -> None:
    on_record, old, young = (kept(vault, name) for name in (b"on record", b"old", b"young"))
    made_old(on_shelf(vault, on_record), timedelta(days=900))
    made_old(on_shelf(vault, old), timedelta(days=7, seconds=1))
    made_old(on_shelf(vault, young), timedelta(days=6, hours=23))
    assert vault.sweep({on_record}, NOW).set_aside == (old,)
    assert vault.verify(on_record)
    assert vault.verify(young)
    assert (vault.root / "lost-and-found" / old).read_bytes() == b"old"
    assert not vault.verify(old)


def test_lost_and_found_is_kept_ninety_days_from_the_day_it_came_there(vault: Vault) -> None:
    lost = kept(vault, b"lost")
    made_old(on_shelf(vault, lost), timedelta(days=400))
    vault.sweep(set(), NOW)
    assert vault.sweep(set(), NOW + timedelta(days=89)).gone == ()
    assert vault.sweep(set(), NOW + timedelta(days=91)).gone == (lost,)
    assert list((vault.root / "lost-and-found").iterdir()) == []


def test_what_lies_in_lost_and_found_is_kept_anew_when_it_comes_again(vault: Vault) -> None:
    lost = kept(vault, b"lost")
    made_old(on_shelf(vault, lost), timedelta(days=8))
    vault.sweep(set(), NOW)
    assert kept(vault, b"lost") == lost
    assert vault.verify(lost)


class SomebodyKeepsItNow:
    """No row names the file yet; but while the sweep asks, another session keeps the same bytes again."""

    def __init__(self, vault: Vault, inside: bytes) -> None:
        self.vault, self.inside = vault, inside

    def __contains__(self, sha256: object) -> bool:
        kept(self.vault, self.inside)
        return False


def test_the_sweep_does_not_take_what_is_being_kept_at_that_moment(vault: Vault) -> None:
    sha256 = kept(vault, b"the same bytes")
    made_old(on_shelf(vault, sha256), timedelta(days=300))
    assert vault.sweep(SomebodyKeepsItNow(vault, b"the same bytes"), NOW).set_aside == ()
    assert vault.verify(sha256)


def test_derivatives_without_a_row_go_too(vault: Vault) -> None:
    for inside in (b"on record", b"no row"):
        with vault.workroom() as room:
            (room / "view.jpg").write_bytes(b"pixels")
            vault.keep_derived(hashlib.sha256(inside).hexdigest(), {"view": room / "view.jpg"})
    for path in (vault.root / "derived").rglob("*.jpg"):
        made_old(path, timedelta(days=8))
    orphan = hashlib.sha256(b"no row").hexdigest()
    assert vault.sweep({hashlib.sha256(b"on record").hexdigest()}, NOW).derived == (f"{orphan}.view.jpg",)


def test_a_sweep_of_an_empty_vault_finds_nothing(vault: Vault) -> None:
    swept = vault.sweep(set(), NOW)
    assert swept.left_over == swept.set_aside == swept.gone == swept.derived == ()


def test_a_full_disk_keeps_nothing_and_says_so(small_disk: Path) -> None:
    vault = Vault(small_disk)
    first = kept(vault, os.urandom(900_000))
    with pytest.raises(Full, match=r"The disk is full: nothing was saved, what you typed is still here\."):
        vault.take_in(io.BytesIO(os.urandom(3 * MB)), most_bytes=60 * MB)
    assert waiting(vault) == []
    assert vault.verify(first)
    second = kept(vault, os.urandom(500_000))  # what fits is taken again
    assert vault.verify(second)


def test_writing_is_refused_before_the_disk_is_full(small_disk: Path) -> None:
    vault = Vault(small_disk)
    vault.refuse_if_full(least=MB)
    with pytest.raises(Full, match="Less than 200 MB is free on the disk: nothing was saved"):
        vault.refuse_if_full()


def test_a_disk_that_fills_up_while_a_file_is_kept_leaves_no_incoming_file(small_disk: Path) -> None:
    vault = Vault(small_disk)
    incoming = vault.take_in(io.BytesIO(b"abc"), most_bytes=MB)
    with pytest.raises(OSError, match="No space left"):
        for n in range(100):  # until the disk has no room for another name
            (small_disk / f"filler {n}").touch()
    with pytest.raises(Full):
        vault.keep(incoming)
    assert waiting(vault) == []
    assert not vault.verify(incoming.sha256)
