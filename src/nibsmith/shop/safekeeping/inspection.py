"""Look at a file of records without changing it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from nibsmith.science.errors import NibsmithError

# A copy is read whole here, so a slow disk may need a while before a lock comes free.
LOCK_SECONDS = 20
Migration = tuple[str, str]


class DamagedFile(NibsmithError):
    """A file that is no whole set of records."""


@contextmanager
def opened(file: Path, *, writing: bool = False, seconds: int = LOCK_SECONDS) -> Iterator[sqlite3.Connection]:
    """Open one file by itself; statements run at once, outside any implied transaction."""
    address = f"{file.absolute().as_uri()}?mode={'rw' if writing else 'ro'}"
    with closing(sqlite3.connect(address, uri=True, timeout=seconds, isolation_level=None)) as connection:
        yield connection


def inspect(file: Path) -> dict[str, int]:
    """Check a file of records whole; return how many rows each table has."""
    try:
        with opened(file) as connection:
            _refuse_damage(connection, file)
            counts = row_counts(connection)
    except sqlite3.DatabaseError as error:
        raise DamagedFile(f"{file.name} cannot be read as a file of records: {error}") from None
    if "django_migrations" not in counts or "common_changeentry" not in counts:
        raise DamagedFile(f"{file.name} holds no records of a Nibsmith workshop")
    return counts


def _refuse_damage(connection: sqlite3.Connection, file: Path) -> None:
    findings = [row[0] for row in connection.execute("PRAGMA integrity_check(1)")]
    if findings != ["ok"]:
        raise DamagedFile(f"{file.name} is damaged: {findings[0]}")
    orphan = connection.execute("PRAGMA foreign_key_check").fetchone()
    if orphan:
        raise DamagedFile(
            f"{file.name} is damaged: a row of {orphan[0]} points at a row of {orphan[2]} that is gone"
        )


def row_counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Count the rows of every table."""
    names = connection.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    # The names come from the file itself and are quoted as SQL quotes a name.
    quoted = {name: name.replace('"', '""') for (name,) in names.fetchall()}
    return {
        name: connection.execute(f'SELECT count(*) FROM "{safe}"').fetchone()[0]  # noqa: S608
        for name, safe in sorted(quoted.items())
    }


def migrations_in(file: Path) -> set[Migration]:
    """List which steps of the program's history the file has been through."""
    with opened(file) as connection:
        return set(connection.execute("SELECT app, name FROM django_migrations").fetchall())
