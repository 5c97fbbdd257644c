"""Where the sample pictures lie, and a small disk that can be filled."""

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def samples() -> Path:
    return Path(__file__).parent / "samples"


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 2 MB and 40 names."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if os.geteuid() != 0:
        pytest.skip("only root may mount a small disk")
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m,nr_inodes=40", "tmpfs", disk], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip(f"no small disk could be mounted: {mounted.stderr.decode().strip()}")
    yield disk
    subprocess.run(["umount", disk], check=True)
