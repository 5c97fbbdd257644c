"""The two places where kept files can stand: a folder of this machine, or an object storage."""

from __future__ import annotations

import errno
import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Protocol, cast

if TYPE_CHECKING:
    from django.core.files.storage import Storage


class Full(Exception):
    """The disk is full; the text is the sentence for the person whose act was undone."""


@contextmanager
def full_disk_said() -> Iterator[None]:
    """Turn the system's "no space left" (and a used-up quota) into `Full`."""
    try:
        yield
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EDQUOT):
            raise
        raise Full(
            "The disk is full: nothing was saved, what you typed is still here. Make room on it, then press again."
        ) from error


class Shelf(Protocol):
    """What the vault asks of a place; names are relative and use `/`."""

    def put(self, source: Path, name: str, size: int) -> None:
        """Make `source` durable as `name`; returns only when a power cut would not take it away."""

    def open(self, name: str) -> BinaryIO: ...

    def path(self, name: str) -> Path | None:
        """Where it can be read as a plain file, if it is one."""

    def has(self, name: str) -> bool: ...

    def names(self, below: str) -> Iterator[str]: ...

    def changed_at(self, name: str) -> float:
        """Seconds since 1970; for a file put again, the last time."""

    def move_if_older(self, name: str, to: str, before: float, at: float) -> bool:
        """Move it, with `at` as its new time, unless it was put again since `before`."""

    def remove(self, name: str) -> None: ...


class FolderShelf:
    """Plain files below `root`, all on one file system."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def put(self, source: Path, name: str, size: int) -> None:
        target = self.root / name
        with source.open("rb") as file:
            os.fchmod(file.fileno(), 0o440)  # files are never changed
            _flush(file.fileno())
        target.parent.mkdir(parents=True, exist_ok=True)
        with _one_at_a_time(self.root):
            os.replace(source, target)
        # Both folders, each time: the one who made the folder may not have flushed its parent yet.
        for folder in (target.parent, target.parent.parent, self.root):
            _flush_folder(folder)

    def open(self, name: str) -> BinaryIO:
        return (self.root / name).open("rb")

    def path(self, name: str) -> Path | None:
        path = self.root / name
        if not path.is_file():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(path))
        return path

    def has(self, name: str) -> bool:
        return (self.root / name).is_file()

    def names(self, below: str) -> Iterator[str]:
        for path in sorted((self.root / below).rglob("*")):
            if path.is_file():
                yield path.relative_to(self.root).as_posix()

    def changed_at(self, name: str) -> float:
        return (self.root / name).stat().st_mtime

    def move_if_older(self, name: str, to: str, before: float, at: float) -> bool:
        source, target = self.root / name, self.root / to
        target.parent.mkdir(parents=True, exist_ok=True)
        with _one_at_a_time(self.root):  # between the look and the move nobody puts the same bytes again
            if source.stat().st_mtime >= before:
                return False
            os.replace(source, target)
        os.utime(target, (at, at))
        _flush_folder(target.parent)
        _flush_folder(source.parent)
        return True

    def remove(self, name: str) -> None:
        (self.root / name).unlink(missing_ok=True)


class ObjectShelf:
    """Objects in a Django storage, whose time of change is the storage's own.

    An object put again keeps its old time, so each put leaves a mark in `marks`, a folder that all processes of the
    service share; the sweep takes the marks after a day and leaves marked objects alone.
    """

    def __init__(self, storage: Storage, marks: Path) -> None:
        self.storage = storage
        self.marks = marks

    def put(self, source: Path, name: str, size: int) -> None:
        with _one_at_a_time(self.marks):
            self._mark(name).touch()
            there = self.storage.exists(name)
        if there and name.startswith("files/") and self.storage.size(name) == size:
            return  # the same bytes are there already
        if there:
            self.storage.delete(name)
        self._save(source, name)
        held = self.storage.size(name)
        if held != size:
            self.storage.delete(name)
            raise OSError(errno.EIO, f"the object storage holds {held} bytes of {size}", name)

    def _save(self, source: Path, name: str) -> None:
        from django.core.files import File  # only with an object storage

        with source.open("rb") as file:
            saved_as = self.storage.save(name, File(file, name=name))
        if saved_as != name:  # another session put the same bytes at this moment; the double is not needed
            self.storage.delete(saved_as)

    def open(self, name: str) -> BinaryIO:
        if not self.storage.exists(name):
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), name)
        return cast(BinaryIO, self.storage.open(name, "rb"))

    def path(self, name: str) -> Path | None:
        return None

    def has(self, name: str) -> bool:
        return self.storage.exists(name)

    def names(self, below: str) -> Iterator[str]:
        try:
            folders, files = self.storage.listdir(below)
        except FileNotFoundError:
            return
        yield from (f"{below}/{file}" for file in files)
        for folder in folders:
            yield from self.names(f"{below}/{folder}")

    def changed_at(self, name: str) -> float:
        return self.storage.get_modified_time(name).timestamp()

    def move_if_older(self, name: str, to: str, before: float, at: float) -> bool:
        if self.changed_at(name) >= before:
            return False
        self.storage.delete(to)
        with self.storage.open(name, "rb") as original:
            self.storage.save(to, original)
        with _one_at_a_time(self.marks):
            if not self._mark(name).exists():
                self.storage.delete(name)
                return True
        self.storage.delete(to)
        return False

    def remove(self, name: str) -> None:
        self.storage.delete(name)

    def _mark(self, name: str) -> Path:
        return self.marks / f"{Path(name).name}.put"


@contextmanager
def _one_at_a_time(folder: Path) -> Iterator[None]:
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / ".lock").open("wb") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # let go when the file is closed, also by a kill
        yield


def changed_at(path: Path, *, gone: float) -> float:
    """Seconds since 1970, or `gone` for a file that somebody has just taken away."""
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return gone


def _flush(number: int) -> None:
    if hasattr(fcntl, "F_FULLFSYNC"):  # on macOS fsync alone stops at the drive's own memory
        fcntl.fcntl(number, fcntl.F_FULLFSYNC)
    else:
        os.fsync(number)


def _flush_folder(folder: Path) -> None:
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
