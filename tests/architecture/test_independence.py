"""Science, answers and papers run where the web framework and the heavy solvers are not installed."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from nibsmith.cli.commands import COMMANDS
from source_tree import modules_under

PURE = ("nibsmith.science", "nibsmith.answers", "nibsmith.paper")
# These may be used inside functions, where a question needs them, but not to load a module.
LAZY = ("scipy", "highspy", "typst")
WEB = ("django", "django_htmx", "whitenoise", "waitress", "platformdirs")
NEEDS_THE_SHOP = {"serve", "backup", "restore"}

BLOCK_THEN_IMPORT = """
import importlib, sys

class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in blocked:
            raise ModuleNotFoundError(f"{name} is blocked")

blocked, modules = set(sys.argv[1].split(",")), sys.argv[2].split(",")
sys.meta_path.insert(0, Blocker())
for module in modules:
    importlib.import_module(module)
"""
RUN_AND_LIST = """
import json, sys
from nibsmith.cli.main import main

try:
    main(sys.argv[1:])
except SystemExit:
    pass
print(json.dumps(sorted({name.split(".")[0] for name in sys.modules})))
"""


def _python(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("package", PURE)
def test_every_module_imports_without_the_web_framework(package: str) -> None:
    done = _python(BLOCK_THEN_IMPORT, ",".join(WEB), ",".join(modules_under(package)))

    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("package", PURE)
def test_what_a_room_offers_imports_without_the_solvers(package: str) -> None:
    """A module deep inside may stand on a solver, if only the function that needs it imports it."""
    offered = [name for name in modules_under(package) if name.count(".") <= 2]

    done = _python(BLOCK_THEN_IMPORT, ",".join(WEB + LAZY), ",".join(offered))

    assert done.returncode == 0, done.stderr


def test_the_blocker_blocks() -> None:
    assert "django is blocked" in _python(BLOCK_THEN_IMPORT, "django", "django.forms").stderr


@pytest.mark.parametrize("command", sorted(COMMANDS.keys() - NEEDS_THE_SHOP))
def test_a_command_of_the_bench_loads_neither_web_framework_nor_solvers(command: str) -> None:
    done = _python(RUN_AND_LIST, command, "--help")

    loaded = set(json.loads(done.stdout.splitlines()[-1]))
    assert "nibsmith" in loaded
    assert loaded.isdisjoint(WEB + LAZY)


def test_the_list_of_commands_loads_nothing_but_the_frame() -> None:
    done = _python(RUN_AND_LIST, "--help")

    loaded = set(json.loads(done.stdout.splitlines()[-1]))
    assert loaded.isdisjoint((*WEB, *LAZY, "numpy"))
