"""Put a copy back in place of the workshop's records."""

from __future__ import annotations

import argparse
from pathlib import Path

from nibsmith.cli.commands._records import records_file


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("file", type=Path, help="a copy made by nibsmith backup")


def run(args: argparse.Namespace) -> int:
    """Check the copy, put it in place, and say where the records before it are."""
    records = records_file("pg_restore")
    from nibsmith.shop.serving.setup import set_up

    set_up()
    from nibsmith.shop.safekeeping.restore import restore

    restored = restore(args.file.absolute(), records)
    print(f"Restored {restored.rows} rows from {args.file}")
    if restored.kept:
        print(f"The records before are kept: {restored.kept}")
    return 0
