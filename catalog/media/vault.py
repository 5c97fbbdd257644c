"""Where files are kept: under the hash of what is in them, durable before any row names them, never changed.

The way in: `refuse_if_full`, `take_in` (to `incoming/`), looks at kind and pixels by the caller, `keep`; then the row
and its act. A derivative is made in `workroom` and put by with `keep_derived`; it may be lost and made again.
"""

from __future__ import annotations

import hashlib
import re
import shutil
import uuid
from collections.abc import Container, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Protocol

from catalog.media.refused import MB, TooLarge, size_said
from catalog.media.shelves import FolderShelf, Full, ObjectShelf, Shelf, changed_at, full_disk_said

if TYPE_CHECKING:
    from django.core.files.storage import Storage

__all__ = ["Checked", "Full", "Incoming", "Kept", "Swept", "TooLarge", "Vault"]

CHUNK_BYTES = 1 << 20
LEFT_OVER = timedelta(hours=24)
WITHOUT_ROW = timedelta(days=7)
LOST_AND_FOUND = timedelta(days=90)


class Readable(Protocol):
    """Anything that gives bytes: an uploaded file, an open file, a socket."""

    def read(self, size: int, /) -> bytes: ...


@dataclass(frozen=True)
class Incoming:
    """A file that has come in and is not kept yet; `size` in bytes."""

    path: Path
    sha256: str
    size: int


@dataclass(frozen=True)
class Kept:
    """A file that is on disk for good; `path` is its name below the vault, `files/ab/<sha256>`."""

    sha256: str
    size: int
    path: str


@dataclass(frozen=True)
class Checked:
    """What `verify_all` found: how many are sound, and the hashes of those that are not or are not there."""

    n_sound: int
    damaged: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Swept:
    """What a sweep did: left-overs removed, files put to lost-and-found, files gone from there, derivatives gone."""

    left_over: tuple[str, ...]
    set_aside: tuple[str, ...]
    gone: tuple[str, ...]
    derived: tuple[str, ...]


class Vault:
    """Plain files under `root`, or objects in a Django storage with `root` for what is on its way in."""

    def __init__(self, root: Path, storage: Storage | None = None) -> None:
        self.root = root
        self.incoming = root / "incoming"
        self.shelf: Shelf = ObjectShelf(storage, self.incoming) if storage is not None else FolderShelf(root)

    def refuse_if_full(self, least: int = 200 * MB) -> None:
        """Raise `Full` while less than `least` bytes are free for us on the disk."""
        self.root.mkdir(parents=True, exist_ok=True)
        if shutil.disk_usage(self.root).free < least:
            raise Full(
                f"Less than {size_said(least)} is free on the disk: nothing was saved, what you typed is still here. "
                "Make room on the disk, then press again."
            )

    def take_in(self, stream: Readable, *, most_bytes: int) -> Incoming:
        """Write a stream to `incoming/` while hashing it.

        Raises `TooLarge` beyond `most_bytes` and `Full` on a full disk; then nothing of it is left.
        """
        declared = getattr(stream, "size", None)
        if isinstance(declared, int) and declared > most_bytes:
            raise _too_large(most_bytes)
        self.incoming.mkdir(parents=True, exist_ok=True)
        path = self.incoming / f"{uuid.uuid4()}.part"
        try:
            with full_disk_said():
                return self._written(stream, path, most_bytes)
        except BaseException:  # also when the sender is cut off or the service is stopped
            path.unlink(missing_ok=True)
            raise

    def _written(self, stream: Readable, path: Path, most_bytes: int) -> Incoming:
        hashed, size = hashlib.sha256(), 0
        with path.open("xb") as file:
            while chunk := stream.read(CHUNK_BYTES):
                size += len(chunk)
                if size > most_bytes:
                    raise _too_large(most_bytes)
                hashed.update(chunk)
                file.write(chunk)
        return Incoming(path, hashed.hexdigest(), size)

    def keep(self, incoming: Incoming) -> Kept:
        """Make an incoming file durable under its hash; only after this may a row name it.

        Raises `Full` on a full disk. Whatever goes wrong, the incoming file is removed.
        """
        name = _name_of(incoming.sha256)
        try:
            with full_disk_said():
                self.shelf.put(incoming.path, name, incoming.size)
        finally:
            self.drop(incoming)
        return Kept(incoming.sha256, incoming.size, name)

    def drop(self, incoming: Incoming) -> None:
        """Forget an incoming file that is not to be kept; without effect on one that is kept."""
        incoming.path.unlink(missing_ok=True)

    def open(self, sha256: str) -> BinaryIO:
        """The bytes as they came. Raises FileNotFoundError."""
        return self.shelf.open(_name_of(sha256))

    @contextmanager
    def on_disk(self, sha256: str) -> Iterator[Path]:
        """A path where the file can be read by another program, for as long as the block runs."""
        at_hand = self.shelf.path(_name_of(sha256))
        if at_hand is not None:
            yield at_hand
            return
        with self.workroom() as folder, self.open(sha256) as stream:
            with full_disk_said(), (folder / sha256).open("wb") as copy:
                shutil.copyfileobj(stream, copy, CHUNK_BYTES)
            yield folder / sha256

    def verify(self, sha256: str) -> bool:
        """Whether the file is there and still hashes to its name."""
        try:
            with self.open(sha256) as stream:
                hashed = hashlib.sha256()
                while chunk := stream.read(CHUNK_BYTES):
                    hashed.update(chunk)
                return hashed.hexdigest() == sha256
        except FileNotFoundError:
            return False

    def verify_all(self, known: Iterable[str]) -> Checked:
        """Verify every file that a row names."""
        n_sound, damaged, missing = 0, [], []
        for sha256 in known:
            if self.verify(sha256):
                n_sound += 1
            elif self.shelf.has(_name_of(sha256)):
                damaged.append(sha256)
            else:
                missing.append(sha256)
        return Checked(n_sound, tuple(damaged), tuple(missing))

    @contextmanager
    def workroom(self) -> Iterator[Path]:
        """A folder on the vault's disk that is gone after the block; the sweep takes what a power cut leaves."""
        folder = self.incoming / f"{uuid.uuid4()}.work"
        folder.mkdir(parents=True)
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def keep_derived(self, sha256: str, files: Mapping[str, Path]) -> None:
        """Put by derivatives, size name to file, over any that were there. The files are moved away."""
        for size, path in files.items():
            with full_disk_said():
                self.shelf.put(path, derived_name(sha256, size), path.stat().st_size)
            path.unlink(missing_ok=True)

    def open_derived(self, sha256: str, size: str) -> BinaryIO:
        """A derivative; FileNotFoundError means: make it again from the original."""
        return self.shelf.open(derived_name(sha256, size))

    def sweep(self, known: Container[str], now: datetime) -> Swept:
        """The nightly sweep. `known` answers for each hash, at the moment it is asked, whether a row names it."""
        at = now.timestamp()
        return Swept(
            left_over=tuple(self._sweep_incoming(at - LEFT_OVER.total_seconds())),
            gone=tuple(self._sweep_lost(at - LOST_AND_FOUND.total_seconds())),
            set_aside=tuple(self._set_aside(known, at - WITHOUT_ROW.total_seconds(), at)),
            derived=tuple(self._sweep_derived(known, at - WITHOUT_ROW.total_seconds())),
        )

    def _sweep_incoming(self, before: float) -> Iterator[str]:
        for path in sorted(self.incoming.glob("[!.]*")):
            if changed_at(path, gone=before) < before:
                shutil.rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)
                yield path.name

    def _sweep_lost(self, before: float) -> Iterator[str]:
        for name in list(self.shelf.names("lost-and-found")):
            if self.shelf.changed_at(name) < before:
                self.shelf.remove(name)
                yield Path(name).name

    def _set_aside(self, known: Container[str], before: float, at: float) -> Iterator[str]:
        for name in list(self.shelf.names("files")):
            sha256 = Path(name).name
            if self.shelf.changed_at(name) >= before or sha256 in known:
                continue
            if self.shelf.move_if_older(name, f"lost-and-found/{sha256}", before, at):
                yield sha256

    def _sweep_derived(self, known: Container[str], before: float) -> Iterator[str]:
        for name in list(self.shelf.names("derived")):
            if self.shelf.changed_at(name) < before and Path(name).name.split(".")[0] not in known:
                self.shelf.remove(name)
                yield Path(name).name


def derived_name(sha256: str, size: str) -> str:
    """`derived/ab/<sha256>.<size>.jpg`."""
    if not re.fullmatch(r"[a-z][a-z0-9]*", size):
        raise ValueError(f"{size!r} is not the name of a size")
    return f"derived/{_name_of(sha256).removeprefix('files/')}.{size}.jpg"


def _name_of(sha256: str) -> str:
    if not re.fullmatch(r"[0-9a-f]{64}", sha256):
        raise ValueError(f"{sha256!r} is not a SHA-256 in small hexadecimal letters")
    return f"files/{sha256[:2]}/{sha256}"


def _too_large(most_bytes: int) -> TooLarge:
    return TooLarge(f"The file is larger than {size_said(most_bytes)}, the most that is taken here. Nothing was kept.")
