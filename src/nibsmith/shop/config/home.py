"""Where the records of one workshop lie on this computer."""

from __future__ import annotations

import os
import secrets
import tempfile
from pathlib import Path

import platformdirs

HOME_VARIABLE = "NIBSMITH_HOME"


def home() -> Path:
    """Name the data folder: ``NIBSMITH_HOME`` where it is set, else the user's own data folder."""
    chosen = os.environ.get(HOME_VARIABLE, "").strip()
    if chosen:
        return Path(chosen).expanduser().absolute()
    return platformdirs.user_data_path("nibsmith", appauthor=False)


def make_home() -> Path:
    """Make the data folder, readable by its owner alone."""
    folder = home()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def database_file() -> Path:
    """Name the database file."""
    return home() / "nibsmith.sqlite3"


def static_folder(state: str) -> Path:
    """Name the folder of collected style sheets and scripts, one for each state of them."""
    return home() / "static" / state


def secret_key() -> str:
    """Read the key that signs cookies; the first time, make it."""
    file = home() / "secret-key"
    try:
        return file.read_text(encoding="ascii").strip()
    except FileNotFoundError:
        return _make_secret_key(file)


def _make_secret_key(file: Path) -> str:
    """Write a new key whole or not at all; where another start was quicker, take that one's key."""
    make_home()
    # mkstemp makes the file with mode 0600, so the key is never readable by others.
    handle, name = tempfile.mkstemp(dir=file.parent, prefix="secret-key-")
    new = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            stream.write(secrets.token_urlsafe(50))
        if not file.exists():
            new.replace(file)
    finally:
        new.unlink(missing_ok=True)
    return file.read_text(encoding="ascii").strip()
