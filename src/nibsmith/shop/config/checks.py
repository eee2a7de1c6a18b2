"""Faults of set-up, found at start and said in one line each."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error, Tags, register
from django.db import connections

from nibsmith.shop.config.database import SQLITE_OPTIONS

# VACUUM INTO came with 3.27, the JSON functions built in with 3.38.
OLDEST_SQLITE = (3, 38, 0)


def register_checks() -> None:
    """Add the checks to Django's own."""
    register(check_sqlite_version, Tags.database)
    register(check_sqlite_settings, Tags.database)


def check_sqlite_version(
    app_configs: object, databases: Sequence[str] | None = None, **_: Any
) -> list[CheckMessage]:
    """Refuse a SQLite too old for the backup and the queries."""
    if not _uses_sqlite(databases) or sqlite3.sqlite_version_info >= OLDEST_SQLITE:
        return []
    wanted = ".".join(map(str, OLDEST_SQLITE))
    message = f"This Python has SQLite {sqlite3.sqlite_version}; {wanted} or newer is needed."
    return [Error(message, hint="Install a newer Python.", id="nibsmith.E001")]


def check_sqlite_settings(
    app_configs: object, databases: Sequence[str] | None = None, **_: Any
) -> list[CheckMessage]:
    """Refuse database settings under which two writers lock each other out."""
    options = connections["default"].settings_dict["OPTIONS"]
    if not _uses_sqlite(databases) or options.get("transaction_mode") == SQLITE_OPTIONS["transaction_mode"]:
        return []
    return [Error("SQLite transactions must start IMMEDIATE.", id="nibsmith.E002")]


def _uses_sqlite(databases: Sequence[str] | None) -> bool:
    return bool(databases) and "default" in (databases or ()) and connections["default"].vendor == "sqlite"
