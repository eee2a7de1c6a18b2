"""What backup and restore share."""

from __future__ import annotations

import os
from pathlib import Path

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.config.database import URL_VARIABLE
from nibsmith.shop.config.home import database_file


def records_file(instead: str) -> Path:
    """Name the file of records, or refuse where they are in PostgreSQL, which has tools of its own."""
    if os.environ.get(URL_VARIABLE, "").strip():
        raise NibsmithError(
            f"The records are in PostgreSQL ({URL_VARIABLE} is set)",
            advice=f"Use {instead}, which comes with it.",
        )
    return database_file()
