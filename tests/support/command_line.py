"""Run the program as a maker does: as a process of its own."""

from __future__ import annotations

import contextlib
import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from nibsmith.cli.main import main

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


def nibsmith_here(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Run a command in this very process, which is quicker; what it prints is UTF-8 and nobody's terminal."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), contextlib.chdir(ROOT):
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
    said = [stream.buffer.getvalue().decode("utf-8") for stream in (out, err)]  # type: ignore[attr-defined]
    return subprocess.CompletedProcess([], code, *said)


def document(*arguments: str | Path, stdin: str | None = None) -> Any:
    """Run a command with ``--json`` and return what it printed, read."""
    done = (
        nibsmith_here(*arguments, "--json") if stdin is None else nibsmith(*arguments, "--json", stdin=stdin)
    )
    if done.returncode:
        raise AssertionError(done.stderr)
    return json.loads(done.stdout)
