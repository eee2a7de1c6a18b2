"""Make Nibsmith ready on this computer and open the workshop.

    python3 start.py [--port N] [--no-browser] [--empty]

The first time this makes .venv beside this file and installs the packages of lock/runtime.txt into it;
afterwards it starts at once. The options are those of `nibsmith serve`. With --prepare nothing is opened:
the program is only made ready for use on the command line.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 (this very line tells the older ones)
    sys.exit("Nibsmith needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")

import hashlib
import importlib.util
import json
import os
import shlex
import subprocess
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STATE = VENV / "nibsmith.json"
WINDOWS = os.name == "nt"
BIN = VENV / ("Scripts" if WINDOWS else "bin")
PYTHON = BIN / ("python.exe" if WINDOWS else "python")
LAUNCHER = BIN / ("nibsmith.cmd" if WINDOWS else "nibsmith")

# Each lock holds all pins of the one before it, which a test proves; a larger one serves for a smaller.
LOCKS = ("runtime", "postgres", "dev")


def main(arguments: list[str]) -> int:
    """Make ready, then serve in this very process, so that Ctrl-C reaches it alone."""
    if {"-h", "--help"} & set(arguments):
        print(__doc__.strip())
        return 0
    if make_ready("postgres" if os.environ.get("NIBSMITH_DATABASE_URL") else "runtime"):
        print(f"Nibsmith on the command line: {shown(LAUNCHER)} --help", flush=True)
    if "--prepare" in arguments:
        return 0
    return _become([str(PYTHON), "-P", "-m", "nibsmith", "serve", *arguments])


def make_ready(lock: str) -> bool:
    """Make .venv hold the packages of a lock; say whether anything had to be done."""
    if _is_ready(lock):
        return False
    _refuse_missing_parts()
    wanted = ROOT / "lock" / f"{lock}.txt"
    print(
        f"Making {shown(VENV)} and installing the packages of {shown(wanted)}; this takes a minute.",
        flush=True,
    )
    _run([sys.executable, "-m", "venv", "--clear", str(VENV)], "The folder .venv could not be made.")
    _run(
        [*pip(), "install", "--no-deps", "--require-hashes", "--only-binary=:all:", "-r", str(wanted)],
        "The packages did not come.",
    )
    _write_path_file()
    _write_launcher()
    STATE.write_text(json.dumps(_state(lock)), encoding="utf-8")
    return True


def shown(path: Path) -> str:
    """Name a path as a person here would type it."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)


def pip() -> list[str]:
    """Name the installer of .venv."""
    return [str(PYTHON), "-m", "pip", "--quiet", "--no-input", "--disable-pip-version-check"]


def _is_ready(lock: str) -> bool:
    """Whether .venv was finished here, by this Python, from a lock that is still the same."""
    try:
        found = json.loads(STATE.read_text(encoding="utf-8"))
        enough = LOCKS.index(found["lock"]) >= LOCKS.index(lock)
        return enough and found == _state(found["lock"]) and PYTHON.exists()
    except (OSError, ValueError, KeyError, TypeError):
        return False


def _state(lock: str) -> dict[str, str]:
    digest = hashlib.sha256((ROOT / "lock" / f"{lock}.txt").read_bytes()).hexdigest()
    return {"lock": lock, "sha256": digest, "folder": str(ROOT), "python": sys.version}


def _refuse_missing_parts() -> None:
    """Debian's python3 comes without the part that makes virtual environments."""
    if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
        sys.exit(
            "This Python cannot make a virtual environment. On Debian or Ubuntu: apt install python3-venv"
        )


def _run(command: list[str], complaint: str) -> None:
    """Run one step; where it fails, its own words stand above one line of ours."""
    try:
        code = subprocess.run(command, cwd=ROOT, check=False).returncode
    except KeyboardInterrupt:
        sys.exit("Stopped. The next start begins anew.")
    if code:
        sys.exit(f"{complaint} The command was: {shlex.join(command)}")


def _write_path_file() -> None:
    """Let Python find src. The path is relative, so no odd letter in a folder name can spoil it."""
    asked = [str(PYTHON), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    packages = Path(subprocess.run(asked, check=True, capture_output=True, text=True).stdout.strip())
    line = os.path.relpath(ROOT / "src", packages)
    (packages / "nibsmith.pth").write_text(line + "\n", encoding="ascii")


def _write_launcher() -> None:
    """Write the command `nibsmith`, which works from any folder and through a link."""
    if WINDOWS:
        LAUNCHER.write_text('@"%~dp0python.exe" -P -m nibsmith %*\r\n', encoding="ascii", newline="")
        return
    LAUNCHER.write_text(f'#!/bin/sh\nexec {shlex.quote(str(PYTHON))} -P -m nibsmith "$@"\n', encoding="utf-8")
    LAUNCHER.chmod(0o755)


def _become(command: list[str]) -> int:
    if not WINDOWS:
        _exec(command)
    # Windows cannot replace a process; Ctrl-C reaches both, and the child ends itself.
    with subprocess.Popen(command) as child:
        while True:
            try:
                return child.wait()
            except KeyboardInterrupt:
                continue


def _exec(command: list[str]) -> NoReturn:
    os.execv(command[0], command)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
