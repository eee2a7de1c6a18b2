"""Put a copy back in place of the records, which are kept beside it."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.core.management import call_command
from django.db import connections

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.config.database import sqlite
from nibsmith.shop.safekeeping.files import put_in_place, stamp, temporary_beside, unused
from nibsmith.shop.safekeeping.history import pending, refuse_newer
from nibsmith.shop.safekeeping.inspection import inspect, migrations_in, opened

ALIAS = "restoring"
SIDE_FILES = ("-wal", "-shm", "-journal")
# Long enough for a page that is just being written, short enough to wait for an answer.
IN_USE_SECONDS = 2


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back, and where the records before it are."""

    rows: int
    kept: Path | None


def restore(file: Path, records: Path) -> Restored:
    """Check ``file``, bring a copy of it up to date, and put that in place of ``records``.

    Everything that can fail is done on the copy; ``records`` stay as they are until the last step.
    """
    if not file.is_file():
        raise NibsmithError(f"There is no file {file}")
    inspect(file)
    refuse_newer(migrations_in(file))
    with temporary_beside(records) as new:
        shutil.copyfile(file, new)
        _bring_up_to_date(new)
        rows = sum(inspect(new).values())
        kept = _set_aside(records)
        put_in_place(new, records)
    return Restored(rows, kept)


def _bring_up_to_date(file: Path) -> None:
    with connected(file):
        if pending(ALIAS):
            call_command("migrate", database=ALIAS, interactive=False, verbosity=0)
    _gather(file)


@contextmanager
def connected(file: Path) -> Iterator[str]:
    """Let Django see one more database for a while, by the name it gives."""
    connections.databases[ALIAS] = {**connections.databases["default"], **sqlite(file)}
    try:
        yield ALIAS
    finally:
        connections[ALIAS].close()
        del connections[ALIAS]
        del connections.databases[ALIAS]


def _gather(file: Path) -> None:
    """Bring everything into the one file, so that no -wal and -shm belong to it."""
    with opened(file, writing=True, seconds=IN_USE_SECONDS) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")


def _set_aside(records: Path) -> Path | None:
    """Keep a copy of the records as they are; refuse while the workshop has them open."""
    if not records.exists():
        _remove_side_files(records)
        return None
    _refuse_in_use(records)
    kept = unused(records.with_name(f"{records.stem}-before-restore-{stamp()}{records.suffix}"))
    for ending in ("", *SIDE_FILES):
        part, kept_part = records.with_name(records.name + ending), kept.with_name(kept.name + ending)
        if part.exists():
            with temporary_beside(kept_part) as copy:
                shutil.copyfile(part, copy)
                put_in_place(copy, kept_part)
    _remove_side_files(records)
    return kept


def _refuse_in_use(records: Path) -> None:
    """Leave WAL mode, which works only when nobody else has the file open."""
    try:
        _gather(records)
    except sqlite3.OperationalError:
        raise NibsmithError("The workshop is open", advice="Stop it with Ctrl-C, then restore.") from None
    except sqlite3.DatabaseError:
        # The records are damaged, which may be why they are restored: they are kept as they are.
        return


def _remove_side_files(records: Path) -> None:
    """Remove what belongs to the file that goes: SQLite would play it into the one that comes."""
    for ending in SIDE_FILES:
        records.with_name(records.name + ending).unlink(missing_ok=True)
