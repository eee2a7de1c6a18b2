"""Bring database and files to the state that this program needs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection

from nibsmith.science.errors import NibsmithError
from nibsmith.shop import demo
from nibsmith.shop.config.database import URL_VARIABLE
from nibsmith.shop.safekeeping.backup import backup_beside
from nibsmith.shop.safekeeping.history import applied, pending, refuse_newer
from nibsmith.shop.serving.setup import check_database
from nibsmith.shop.serving.static_files import collect


@dataclass(frozen=True, slots=True)
class Prepared:
    """What was done before the workshop opens."""

    first_run: bool
    demo_loaded: bool
    copy_before_change: Path | None


def prepare(*, with_demo: bool) -> Prepared:
    """Check, migrate, fill on the first run, collect the files of the pages."""
    try:
        check_database()
        before = applied()
        refuse_newer(before)
        copy = _bring_up_to_date(first_run=not before)
    except DatabaseError as error:
        raise _unusable(error) from error
    if with_demo and not before:
        demo.load()
    collect(Path(settings.STATIC_ROOT))
    return Prepared(first_run=not before, demo_loaded=with_demo and not before, copy_before_change=copy)


def _unusable(error: DatabaseError) -> NibsmithError:
    """Say that the database cannot be used, and what helps with this kind of it."""
    if connection.vendor == "sqlite":
        what, advice = "cannot be read", "Put a copy back with nibsmith restore."
    else:
        what, advice = "cannot be reached", f"See that the server runs and that {URL_VARIABLE} is right."
    return NibsmithError(f"The records {what}: {str(error).strip().rstrip('.')}", advice=advice)


def _bring_up_to_date(*, first_run: bool) -> Path | None:
    """Migrate; records that are already there are copied first."""
    if not pending():
        return None
    copy = None
    if not first_run and connection.vendor == "sqlite":
        copy = backup_beside(Path(connection.settings_dict["NAME"]), "before-update").file
    call_command("migrate", interactive=False, verbosity=0)
    return copy
