"""The front of a package of science names what it offers and loads it only when it is asked for."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

from source_tree import SRC

STUBS = sorted((SRC / "science").rglob("__init__.pyi"))


def named(stub: Path) -> str:
    return ".".join(stub.parent.relative_to(SRC.parent).parts)


def offered(stub: Path) -> dict[str, str]:
    """Give the names of a stub with the module each comes from."""
    tree = ast.parse(stub.read_text(encoding="ascii"))
    lines = [line for line in tree.body if isinstance(line, ast.ImportFrom)]
    return {alias.name: f"{named(stub)}.{line.module}" for line in lines for alias in line.names}


@pytest.mark.parametrize("stub", STUBS, ids=named)
def test_a_front_gives_what_its_module_holds_under_that_name(stub: Path) -> None:
    names = offered(stub)
    package = importlib.import_module(named(stub))

    assert sorted(package.__all__) == sorted(names)
    for name, module in names.items():  # a module may bear the name of what it holds
        assert getattr(package, name) is getattr(importlib.import_module(module), name)


def test_every_package_of_science_with_modules_has_such_a_front() -> None:
    folders = {front.parent for front in (SRC / "science").rglob("__init__.py")}
    without = {folder.name for folder in folders if not (folder / "__init__.pyi").exists()}

    assert without == {
        "science",
        "tables",
        "linear",
    }  # nothing to name, the floor itself, and for insiders only


def test_loading_the_fronts_loads_no_module_behind_them_and_not_numpy() -> None:
    fronts = [named(stub) for stub in STUBS]
    code = f"import sys, {', '.join(fronts)}; print(*sorted(sys.modules), sep='\\n')"
    run = subprocess.run([sys.executable, "-P", "-c", code], capture_output=True, text=True, check=True)
    loaded = run.stdout.splitlines()

    ours = {name for name in loaded if name.startswith("nibsmith")}
    assert ours == {"nibsmith", "nibsmith.science", *fronts}
    assert "numpy" not in loaded
