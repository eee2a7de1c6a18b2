"""Every value in a table names a source that stands in the list of references."""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from nibsmith.science.tables import Status
from source_tree import ROOT, SRC, name_of

TABLES = sorted(file for file in (SRC / "science").rglob("*") if file.suffix in {".toml", ".csv"})
REFERENCE = re.compile(r"^- \[([a-z0-9][a-z0-9-]*)\] (.+)$")
# Words that stand for "no source to look up": the status says the same.
NO_SOURCE = {"", "own", "own-derivation", *(status.value for status in Status)}
# The tables of the law cite texts of which parts were read and parts were restated; each row says which.
PHYSICS = [file for file in TABLES if not file.name.startswith("laws")]
WEAKER = {"read": (", read-secondary", ", memory"), "read-secondary": (", memory",)}


def is_read(entry: dict[str, object]) -> bool:
    return str(entry.get("status")) in WEAKER


def references() -> dict[str, str]:
    lines = (ROOT / "docs" / "references.md").read_text(encoding="utf-8").splitlines()
    return dict(match.groups() for line in lines if (match := REFERENCE.match(line)))  # type: ignore[misc]


def entries(file: Path) -> Iterator[dict[str, object]]:
    """Give every row or table of a file that names a source or a status."""
    text = file.read_text(encoding="utf-8")
    if file.suffix == ".csv":
        yield from csv.DictReader(text.splitlines())
        return
    waiting: list[object] = [tomllib.loads(text)]
    while waiting:
        thing = waiting.pop()
        if isinstance(thing, dict):
            yield thing
        if isinstance(thing, dict | list):
            waiting += list(thing.values() if isinstance(thing, dict) else thing)


def sources_named(file: Path) -> set[str]:
    named = set()
    for entry in entries(file):
        for value in (value for key, value in entry.items() if key in {"source", "sources"}):
            texts = value if isinstance(value, list) else re.split(r"[;,] *", str(value or ""))
            named |= {str(text).strip() for text in texts}
    return named - NO_SOURCE


@pytest.mark.parametrize("file", TABLES, ids=name_of)
def test_every_source_of_a_table_stands_in_the_list_of_references(file: Path) -> None:
    assert sources_named(file) - references().keys() == set()


@pytest.mark.parametrize("file", TABLES, ids=name_of)
def test_every_status_is_one_of_the_known_words(file: Path) -> None:
    statuses = {str(entry["status"]) for entry in entries(file) if entry.get("status")}

    assert statuses <= {status.value for status in Status}


@pytest.mark.parametrize("file", TABLES, ids=name_of)
def test_what_was_read_names_what_was_read(file: Path) -> None:
    nowhere = NO_SOURCE | {"bench-judgement"}
    read = [str(entry["source"]) for entry in entries(file) if entry.get("source") and is_read(entry)]

    assert [source for source in read if source in nowhere] == []


@pytest.mark.parametrize("file", PHYSICS, ids=name_of)
def test_no_constant_is_surer_than_the_line_of_its_source(file: Path) -> None:
    lines = references()
    prouder = [
        entry
        for entry in entries(file)
        if is_read(entry)
        and lines.get(str(entry.get("source")), "").endswith(WEAKER[str(entry.get("status"))])
    ]

    assert prouder == []


def test_every_reference_has_its_own_key() -> None:
    lines = (ROOT / "docs" / "references.md").read_text(encoding="utf-8").splitlines()
    keys = [match[1] for line in lines if (match := REFERENCE.match(line))]

    assert len(keys) == len(set(keys))
    assert keys
