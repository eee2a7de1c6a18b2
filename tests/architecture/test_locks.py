"""The locks hold exact versions with hashes, and nothing about the computer that made them."""

from __future__ import annotations

import itertools
import re
import tomllib
from pathlib import Path

import pytest
import start

from source_tree import ROOT

LOCKS = [ROOT / "lock" / f"{name}.txt" for name in start.LOCKS]
PIN = re.compile(r"([a-z0-9][a-z0-9.-]*)==([0-9][0-9a-z.+!]*)( ; [^\\]+)? \\")
HASH = re.compile(r"    --hash=sha256:[0-9a-f]{64}( \\)?")


def pins(lock: Path) -> set[tuple[str, str]]:
    lines = lock.read_text(encoding="ascii").splitlines()
    return {(match[1], match[2]) for line in lines if (match := PIN.fullmatch(line))}


def normal(requirement: str) -> str:
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=!~;\[ ]", requirement)[0]).lower()


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_a_lock_holds_pins_and_hashes_and_no_address_or_path(lock: Path) -> None:
    lines = lock.read_text(encoding="ascii").splitlines()

    assert [line for line in lines if not (PIN.fullmatch(line) or HASH.fullmatch(line))] == []
    assert len(pins(lock)) > 10


def test_each_lock_holds_all_pins_of_the_one_before_it() -> None:
    for small, large in itertools.pairwise(LOCKS):
        assert pins(small) <= pins(large)


def test_the_locks_pin_what_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked = {
        "runtime": project["project"]["dependencies"],
        "postgres": project["project"]["optional-dependencies"]["postgres"],
        "dev": project["dependency-groups"]["dev"],
    }
    for lock in LOCKS:
        pinned = {name for name, _ in pins(lock)}
        assert {normal(requirement) for requirement in asked[lock.stem]} <= pinned


def test_no_second_lock_lies_about() -> None:
    assert not (ROOT / "uv.lock").exists()
    assert sorted(file.stem for file in (ROOT / "lock").iterdir()) == sorted(start.LOCKS)


@pytest.mark.parametrize("python", ["3.11", "3.12", "3.14"])
def test_every_python_gets_exactly_one_version_of_each_package(python: str) -> None:
    import check

    chosen = re.findall(r"^([a-z0-9-]+)==", check.pins_for(python), re.MULTILINE)

    assert len(chosen) == len(set(chosen))
    assert {"django", "numpy", "scipy", "highspy", "typst", "psycopg-binary"} <= set(chosen)
