"""Run the program as a maker does: as a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


def nibsmith(
    *arguments: str | Path, stdin: str | bytes | None = None, env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run ``nibsmith`` with arguments from the root of the project and return what it printed."""
    done = subprocess.run(
        [sys.executable, "-m", "nibsmith", *map(str, arguments)],
        input=stdin.encode() if isinstance(stdin, str) else stdin or b"",
        capture_output=True,
        check=False,
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "80", **(env or {})},
    )
    encoding = (env or {}).get("PYTHONIOENCODING", "utf-8")
    said = (done.stdout.decode(encoding), done.stderr.decode(encoding))
    return subprocess.CompletedProcess(done.args, done.returncode, *said)


def document(*arguments: str | Path, stdin: str | None = None) -> Any:
    """Run a command with ``--json`` and return what it printed, read."""
    done = nibsmith(*arguments, "--json", stdin=stdin)
    if done.returncode:
        raise AssertionError(done.stderr)
    return json.loads(done.stdout)
