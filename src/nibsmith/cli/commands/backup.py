"""Write a checked copy of the workshop's records."""

from __future__ import annotations

import argparse
from pathlib import Path

from nibsmith.cli.commands._records import records_file
from nibsmith.shop.safekeeping.backup import Copy, backup, backup_beside
from nibsmith.shop.safekeeping.files import stamp, unused


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "path",
        nargs="?",
        type=Path,
        help="file or folder to write to (usual: the folder backups in the data folder)",
    )


def run(args: argparse.Namespace) -> int:
    """Copy, check, and say where the copy is."""
    copy = _backup(records_file("pg_dump"), args.path)
    print(f"{copy.file} ({copy.rows} rows, checked)")
    return 0


def _backup(records: Path, path: Path | None) -> Copy:
    if path is None:
        return backup_beside(records, "backup")
    target = unused(path / f"nibsmith-backup-{stamp()}.sqlite3") if path.is_dir() else path
    return backup(records, target.absolute())
