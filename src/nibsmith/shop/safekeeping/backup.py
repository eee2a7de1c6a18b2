"""Write a checked copy of the records, also while the workshop is in use."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.safekeeping.files import put_in_place, stamp, temporary_beside, unused
from nibsmith.shop.safekeeping.inspection import DamagedFile, inspect, opened, row_counts


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that was made and checked."""

    file: Path
    rows: int


def backup(records: Path, target: Path) -> Copy:
    """Copy ``records`` to ``target``, which gets its name only once the copy has been checked."""
    _refuse_target(records, target)
    with temporary_beside(target) as new:
        counted = _copy(records, new)
        found = inspect(new)
        if found != counted:
            raise DamagedFile(
                "The copy does not hold the same rows as the records", advice="Nothing was kept; try again."
            )
        put_in_place(new, target)
    return Copy(target, sum(found.values()))


def backup_beside(records: Path, reason: str) -> Copy:
    """Copy the records into the folder of backups, named for this moment and the reason."""
    folder = records.parent / "backups"
    folder.mkdir(mode=0o700, exist_ok=True)
    return backup(records, unused(folder / f"{reason}-{stamp()}.sqlite3"))


def _refuse_target(records: Path, target: Path) -> None:
    if not records.is_file():
        raise NibsmithError("There are no records yet", advice="Start the workshop once with nibsmith serve.")
    if target.exists():
        raise NibsmithError(
            f"{target} is there already", advice="Choose another name; nothing is overwritten."
        )
    if not target.parent.is_dir():
        raise NibsmithError(f"There is no folder {target.parent}", advice="Make it first, or choose another.")


def _copy(records: Path, new: Path) -> dict[str, int]:
    """Copy while nobody writes; return the rows that the copy must have."""
    try:
        with opened(records, writing=True) as gate, opened(records) as reader:
            # Readers go on; writers wait the few milliseconds of the copy.
            gate.execute("BEGIN IMMEDIATE")
            reader.execute("VACUUM INTO ?", (str(new),))
            return row_counts(reader)
    except sqlite3.DatabaseError as error:
        raise DamagedFile(f"The records could not be copied: {error}") from None
