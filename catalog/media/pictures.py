"""Pictures that people send: limits read from the head, derivatives made in a child process.

A picture that breaks its reader, or asks it for too much, ends the child only; whoever sent it gets a calm sentence.
In the parent nothing of the picture is decoded. `python -m catalog.media.pictures` is the child.
"""

from __future__ import annotations

import errno
import json
import logging
import os
import resource
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from PIL import AvifImagePlugin, Image

from catalog.media import camera, pixels
from catalog.media.heads import BROKEN, TOO_MUCH, Header, checked, opened, read_header
from catalog.media.refused import NotTaken

__all__ = ["SIZES", "Derived", "Header", "make_derivatives", "read_header"]

SIZES = {"view": 1600, "thumb": 320}
CHILD_MEMORY_BYTES = 1 << 30
CHILD_CPU_S = 30
CHILD_WALL_S = 120
CHILD_FILE_BYTES = 50_000_000
HOUSE = Path(__file__).resolve().parents[2]
# No secret of the service stands in the child's environment; one arena, since each reserves address space.
CHILD_ENVIRONMENT = {"PATH": os.defpath, "LANG": "C.UTF-8", "MALLOC_ARENA_MAX": "1", "PYTHONPATH": str(HOUSE)}

TOO_LONG = f"The picture cannot be kept: it did not open within {CHILD_CPU_S} seconds. Save it as JPEG and send that."
ENDED_BY: dict[int, str] = {
    signal.SIGXCPU: TOO_LONG,
    signal.SIGKILL: TOO_MUCH,
    signal.SIGSEGV: BROKEN,
    signal.SIGABRT: BROKEN,
    signal.SIGBUS: BROKEN,
    signal.SIGFPE: BROKEN,
    signal.SIGILL: BROKEN,
}

logger = logging.getLogger(__name__)
_two_at_once = threading.BoundedSemaphore(2)  # each child may take 1 GB


@dataclass(frozen=True)
class Derived:
    """What was made of a picture. `width` and `height` are the original's, upright; `taken_at` has a zone only if
    the camera wrote one; `has_position` as in `camera.has_position`."""

    width: int
    height: int
    files: dict[str, Path]
    taken_at: datetime | None
    has_position: bool
    camera: str


def make_derivatives(path: Path, into: Path, sizes: Mapping[str, int] = SIZES) -> Derived:
    """Write `<size>.jpg` into the folder `into` for each size (longest side in pixels), in a child process.

    Raises `NotTaken` with a sentence, and OSError when the disk is full; then no file is left in `into`.
    """
    try:
        answer = _answer_of_child(path, into, sizes)
    except BaseException:
        for size in sizes:
            (into / f"{size}.jpg").unlink(missing_ok=True)
        raise
    answer["files"] = {size: into / name for size, name in answer["files"].items()}
    answer["taken_at"] = answer["taken_at"] and datetime.fromisoformat(answer["taken_at"])
    return Derived(**answer)


def child_command(path: Path, into: Path, sizes: Mapping[str, int]) -> list[str]:
    """The child's command line; it runs in `HOUSE` with `CHILD_ENVIRONMENT`."""
    words = [str(path.resolve()), str(into.resolve()), json.dumps(dict(sizes))]
    return [sys.executable, "-m", "catalog.media.pictures", *words]


def _answer_of_child(path: Path, into: Path, sizes: Mapping[str, int]) -> dict[str, Any]:
    try:
        with _two_at_once:
            done = subprocess.run(
                child_command(path, into, sizes), cwd=HOUSE, env=CHILD_ENVIRONMENT, stdin=subprocess.DEVNULL,
                capture_output=True, timeout=CHILD_WALL_S, check=False,
            )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise NotTaken(TOO_LONG) from None
    said = done.stderr.decode(errors="replace")[-2000:]
    if said:
        logger.info("child for a picture: %s", said)
    if -done.returncode in ENDED_BY:
        raise NotTaken(ENDED_BY[-done.returncode])
    if done.returncode:
        raise RuntimeError(f"the child for pictures ended with {done.returncode}: {said}")
    answer = json.loads(done.stdout)
    if "refused" in answer:
        raise NotTaken(answer["refused"])
    if "errno" in answer:
        raise OSError(answer["errno"], os.strerror(answer["errno"]), str(into))
    return dict(answer["derived"])


def _developed(path: Path, into: Path, sizes: Mapping[str, int]) -> dict[str, Any]:
    with opened(path) as picture:
        header = checked(picture)
        pixels.load(picture, sizes)  # first: to ask a PNG for its Exif block loads it, too
        facts = {
            "has_position": camera.has_position(picture),
            "taken_at": (moment := camera.taken_at(picture)) and moment.isoformat(),
            "camera": camera.camera(picture),
        }
        width, height = header.width, header.height
        if pixels.turned(picture):
            width, height = height, width
        return {"width": width, "height": height, "files": pixels.develop(picture, into, sizes), **facts}


def _limit_this_process() -> None:
    for what, soft, hard in (
        (resource.RLIMIT_CPU, CHILD_CPU_S, CHILD_CPU_S + 1),
        (resource.RLIMIT_FSIZE, CHILD_FILE_BYTES, CHILD_FILE_BYTES),
        (resource.RLIMIT_CORE, 0, 0),
        (resource.RLIMIT_AS, CHILD_MEMORY_BYTES, CHILD_MEMORY_BYTES),
    ):
        with suppress(ValueError, OSError):  # macOS knows no limit of address space
            resource.setrlimit(what, (soft, hard))


def _child(path: str, into: str, sizes: str) -> None:
    _limit_this_process()
    Image.MAX_IMAGE_PIXELS = None  # our own limit stands before it, and can say how many there are
    AvifImagePlugin.DEFAULT_MAX_THREADS = 2
    try:
        answer: dict[str, Any] = {"derived": _developed(Path(path), Path(into), json.loads(sizes))}
    except NotTaken as no:
        print(repr(no.__cause__), file=sys.stderr)
        answer = {"refused": str(no)}
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EDQUOT):
            raise
        answer = {"errno": error.errno}
    print(json.dumps(answer))


if __name__ == "__main__":
    _child(*sys.argv[1:])
