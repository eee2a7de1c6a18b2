"""Write a file so that it is there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write beside the target and put it in place in one step; a fault leaves what was there before."""
    try:
        _write(path, data)
    except OSError as error:
        # The file beside it is nobody's business: the fault is told of the target.
        raise OSError(error.errno, error.strerror, str(path)) from None


def _write(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(_usual_mode())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _usual_mode() -> int:
    """Return the mode of a new file under the user's mask; a temporary file is for its owner alone."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
