"""Run the program as a maker does: as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def nibsmith() -> Run:
    """Give a function that runs ``nibsmith`` with arguments and returns what it printed."""

    def run(
        *arguments: str | Path, stdin: str | bytes | None = None, env: Mapping[str, str] | None = None
    ) -> subprocess.CompletedProcess[str]:
        done = subprocess.run(
            [sys.executable, "-m", "nibsmith", *map(str, arguments)],
            input=stdin.encode() if isinstance(stdin, str) else stdin,
            capture_output=True,
            check=False,
            cwd=ROOT,
            env={**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "80", **(env or {})},
        )
        return subprocess.CompletedProcess(
            done.args, done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")
        )

    return run
