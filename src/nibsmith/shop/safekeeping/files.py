"""Move files so that a power cut leaves either the old one or the new one."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path


def stamp() -> str:
    """Name this moment for a file name, in universal time."""
    return datetime.now(UTC).strftime("%Y%m%d-%H%M%S")


def unused(file: Path) -> Path:
    """Add a number where the name is taken."""
    candidate, number = file, 1
    while candidate.exists():
        number += 1
        candidate = file.with_name(f"{file.stem}-{number}{file.suffix}")
    return candidate


@contextmanager
def temporary_beside(file: Path) -> Iterator[Path]:
    """Give a name in a new folder on the same disk, for the owner alone, gone afterwards."""
    folder = Path(tempfile.mkdtemp(dir=file.parent, prefix=f".{file.stem}-"))
    try:
        yield folder / file.name
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def put_in_place(new: Path, target: Path) -> None:
    """Replace ``target`` by ``new`` at once, after ``new`` has reached the disk."""
    new.chmod(0o600)
    _to_disk(new)
    new.replace(target)
    _folder_to_disk(target.parent)


def _to_disk(file: Path) -> None:
    with file.open("rb+") as stream:
        os.fsync(stream.fileno())


def _folder_to_disk(folder: Path) -> None:
    if os.name == "nt":  # Windows opens no folders
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
