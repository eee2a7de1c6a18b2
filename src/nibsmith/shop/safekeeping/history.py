"""Compare what a database has been through with what this program knows."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import connections
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.safekeeping.inspection import Migration


class MadeByNewerProgram(NibsmithError):
    """Records that a newer Nibsmith has written."""

    def __init__(self, unknown: Migration) -> None:
        super().__init__(
            "These records were written by a newer Nibsmith",
            value=".".join(unknown),
            advice="Update the program, then try again; nothing was changed.",
        )


def refuse_newer(applied: Iterable[Migration]) -> None:
    """Refuse records with a step that this program does not know."""
    known = MigrationLoader(None).disk_migrations
    unknown = sorted(step for step in applied if step not in known)
    if unknown:
        raise MadeByNewerProgram(unknown[0])


def pending(alias: str = "default") -> bool:
    """Whether the database lacks a step that this program has."""
    executor = MigrationExecutor(connections[alias])
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def applied(alias: str = "default") -> set[Migration]:
    """List the steps that the database has been through."""
    return set(MigrationLoader(connections[alias]).applied_migrations)
