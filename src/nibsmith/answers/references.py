"""What the key of a source stands for: the lines of the list of references, as it is packaged."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType

from nibsmith.science.errors import TableError
from nibsmith.science.tables import Status

PACKAGED = "references.md"  # put beside the package when it is built; in the source tree it stands in docs
_LINE = re.compile(r"- \[(?P<key>[a-z0-9][a-z0-9-]*)\] (?P<text>.+)")
_SECTION = re.compile(r"## (?P<name>.+)")


@dataclass(frozen=True, slots=True)
class Reference:
    """One source: its key, what it is and when it was read, how far it was read, and where it is listed."""

    key: str
    text: str
    status: Status
    section: str


@cache
def references() -> Mapping[str, Reference]:
    """Return every source by its key, in the order of the list.

    Returns
    -------
    Mapping of str to Reference
        What each key stands for.

    Raises
    ------
    TableError
        If the list is not there, or a line of it cannot be read.

    Examples
    --------
    >>> references()["codex86"].text.partition(",")[0]
    'Codex Alimentarius'
    """
    found = _read(_file().read_text(encoding="utf-8"))
    return MappingProxyType({reference.key: reference for reference in found})


def _file() -> Traversable | Path:
    """Find the list beside the package, else in the source tree that the package stands in."""
    packaged = files("nibsmith").joinpath(PACKAGED)
    in_tree = Path(__file__).resolve().parents[3] / "docs" / PACKAGED
    found = next((file for file in (packaged, in_tree) if file.is_file()), None)
    if found is None:
        raise TableError("The list of references is not there", value=PACKAGED)
    return found


def _read(text: str) -> Iterator[Reference]:
    section = ""
    for line in text.splitlines():
        if heading := _SECTION.fullmatch(line):
            section = heading["name"]
        elif match := _LINE.fullmatch(line):
            yield _reference(match["key"], match["text"], section)


def _reference(key: str, text: str, section: str) -> Reference:
    told, _, status = text.rpartition(", ")
    if status not in list(Status):
        raise TableError("A reference does not end with its status", value=key)
    return Reference(key, told, Status(status), section)
