"""Check all of Nibsmith: style, types, structure, templates and every test, on SQLite and on PostgreSQL.

    python3 check.py [--wheels]

It makes .venv with the packages of lock/dev.txt. On Debian, as root, it also installs what it needs
through apt. With CI set, nothing is left out for want of a tool, and the package index is asked whether
every pin has a wheel for Windows, macOS and Linux; --wheels does only that.
"""

import contextlib
import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import start

ROOT = start.ROOT
CI = bool(os.environ.get("CI"))
VENV_MODULE = "ensurepip"
# What apt calls them, and a program (for the first, a module) that shows it is there.
DEBIAN_PACKAGES = {
    "python3-venv": VENV_MODULE,
    "chromium": "chromium",
    "postgresql": "initdb",
    "poppler-utils": "pdftotext",
}
POSTGRES_FOLDER = Path("/usr/lib/postgresql")
FAILED = 1


def main(arguments: list[str]) -> int:
    """Run every check; the last line printed is the test runner's own."""
    if {"-h", "--help"} & set(arguments):
        print(__doc__.strip())
        return 0
    install_with_apt()
    start.make_ready("dev")
    if "--wheels" in arguments:
        return prove_wheels()
    failed = [name for name, command in static_checks() if not passes(name, command)]
    if CI and prove_wheels():
        failed.append("wheels")
    if failed:
        print(f"Failed: {', '.join(failed)}")
        return FAILED
    return run_tests()


def say(text: str) -> None:
    """Print at once, so that lines of the tools and ours keep their order."""
    print(f"\n== {text}", flush=True)


def tool(name: str) -> str:
    """Name a program of the development environment."""
    return str(start.BIN / name)


def environment(**more: str) -> dict[str, str]:
    """Give the tools an environment that holds nothing of this computer's workshop."""
    kept = {
        name: value for name, value in os.environ.items() if not name.startswith(("NIBSMITH_", "PYTEST_"))
    }
    long = {"NIBSMITH_LONG": os.environ["NIBSMITH_LONG"]} if "NIBSMITH_LONG" in os.environ else {}
    return {**kept, **long, "PYTHONDONTWRITEBYTECODE": "1", **more}


def static_checks() -> list[tuple[str, list[str]]]:
    """List the checks that run no code of ours."""
    return [
        ("pip check", [*start.pip(), "check"]),
        ("ruff check", [tool("ruff"), "check", "."]),
        ("ruff format", [tool("ruff"), "format", "--check", "."]),
        ("mypy", [tool("mypy")]),
        ("import-linter", [tool("lint-imports"), "--no-cache"]),
        ("djlint", [tool("djlint"), "src", "--lint", "--quiet"]),
    ]


def passes(name: str, command: list[str]) -> bool:
    """Run one check and say how it ended."""
    say(name)
    return subprocess.run(command, cwd=ROOT, env=environment(), check=False).returncode == 0


def run_tests() -> int:
    """Run the tests of the shop on PostgreSQL, then all tests on SQLite."""
    with postgresql() as address:
        codes = (
            [pytest("the shop on PostgreSQL", ["tests/shop"], NIBSMITH_DATABASE_URL=address)]
            if address
            else []
        )
    return max([*codes, pytest("everything on SQLite", [])])


def pytest(what: str, arguments: list[str], **more: str) -> int:
    """Run tests; the code is not 0 when one failed, and not when none ran."""
    say(f"Tests: {what}")
    command = [str(start.PYTHON), "-m", "pytest", "-q", "-p", "no:cacheprovider", *arguments]
    return subprocess.run(command, cwd=ROOT, env=environment(**more), check=False).returncode


def install_with_apt() -> None:
    """Install what is missing where that can be done, and say in one line what cannot."""
    missing = [package for package, sign in DEBIAN_PACKAGES.items() if not is_there(sign)]
    if not missing:
        return
    if shutil.which("apt-get") and os.geteuid() == 0:
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        say(f"apt: {' '.join(missing)}")
        for words in (["update"], ["install", "-y", "--no-install-recommends", *missing]):
            subprocess.run(["apt-get", "-qq", *words], env=quiet, stdout=subprocess.DEVNULL, check=True)
        missing = [package for package in missing if not is_there(DEBIAN_PACKAGES[package])]
    if missing and CI:
        sys.exit(f"Missing, and nothing may be left out here: {' '.join(missing)}")
    for package in missing:
        print(f"Missing: {package}. What needs it is left out.", flush=True)


def is_there(sign: str) -> bool:
    """Whether a program, or for venv a module, is on this computer."""
    if sign == VENV_MODULE:
        return importlib.util.find_spec(sign) is not None
    return bool(postgres_program(sign) if sign == "initdb" else shutil.which(sign))


def postgres_program(name: str) -> str | None:
    """Find a program of PostgreSQL, which Debian keeps off the path; the newest where there are several."""
    if start.WINDOWS:  # ours talks through a socket in a folder
        return None
    versions = sorted(POSTGRES_FOLDER.glob(f"*/bin/{name}"), key=lambda file: int(file.parts[-3]))
    return str(versions[-1]) if versions else shutil.which(name)


@contextlib.contextmanager
def postgresql() -> Iterator[str]:
    """Run a PostgreSQL of our own on a socket in a folder of its own; stop it whatever happens."""
    initdb, control = postgres_program("initdb"), postgres_program("pg_ctl")
    if not initdb or not control:
        yield ""
        return
    with tempfile.TemporaryDirectory(prefix="nibsmith-pg-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        data, user = folder / "data", _postgres_user(folder)
        # Durability off: this database lives only for these tests.
        options = f"-k {folder} -c listen_addresses='' -c fsync=off -c full_page_writes=off"
        _as(user, [initdb, "-D", str(data), "-A", "trust", "-U", "nibsmith", "-E", "UTF8", "--no-sync"])
        _as(user, [control, "-D", str(data), "-o", options, "-l", str(folder / "log"), "-w", "start"])
        try:
            yield f"postgresql://nibsmith@/postgres?host={folder}"
        finally:
            _as(user, [control, "-D", str(data), "-m", "immediate", "-w", "stop"])


def _postgres_user(folder: Path) -> str | None:
    """PostgreSQL refuses to run as root: as root, hand the folder to Debian's user for it."""
    if os.geteuid() != 0:
        return None
    shutil.chown(folder, "postgres", "postgres")
    return "postgres"


def _as(user: str | None, command: list[str]) -> None:
    done = subprocess.run(
        command,
        user=user,
        group=user,
        extra_groups=[] if user else None,
        cwd="/",
        env=_plain_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    if done.returncode:
        sys.exit(f"PostgreSQL: {Path(command[0]).name} failed.\n{done.stdout}")


def _plain_environment() -> dict[str, str]:
    return {"PATH": os.environ.get("PATH", os.defpath), "LC_ALL": "C.UTF-8"}


# The systems that a wheel must fit, for each kind of computer.
PLATFORMS = {
    "Windows": ["win_amd64"],
    "macOS, Apple silicon": [f"macosx_{version}_0_arm64" for version in (14, 13, 12, 11)],
    "macOS, Intel": [
        f"macosx_{version}_x86_64" for version in ("14_0", "13_0", "12_0", "11_0", "10_15", "10_12", "10_9")
    ],
    "Linux": ["manylinux_2_28_x86_64", "manylinux_2_17_x86_64", "manylinux2014_x86_64"],
}


PYTHONS = ("3.11", "3.14")


def prove_wheels() -> int:
    """Let the resolver find a wheel for every pin on every kind of computer; nothing is installed."""
    lacking = []
    for python in PYTHONS:
        for name, tags in PLATFORMS.items():
            say(f"Wheels for Python {python} on {name}")
            if not has_wheels(pins_for(python), python, tags):
                lacking.append(f"{name}, Python {python}")
    print(f"A pin lacks a wheel: {'; '.join(lacking)}." if lacking else "Every pin has a wheel.", flush=True)
    return FAILED if lacking else 0


def pins_for(python: str) -> str:
    """Take the pins of one Python from the lock, without markers: they would be read for this computer."""
    pins = re.split(r"\n(?=\S)", (ROOT / "lock" / "postgres.txt").read_text(encoding="ascii"))
    return "\n".join(re.sub(r" ; .*? \\\n", " \\\\\n", pin) for pin in pins if is_for(pin, python))


def is_for(pin: str, python: str) -> bool:
    """Whether the marker of a pin, where it is about the version of Python, allows this one."""
    bound = re.search(r" ; python_full_version (<|>=) '3\.(\d+)'", pin)
    if not bound:
        return True
    older = int(python.removeprefix("3.")) < int(bound[2])
    return older == (bound[1] == "<")


def has_wheels(pins: str, python: str, tags: list[str]) -> bool:
    """Ask the package index; the resolver's words are shown only where it finds nothing."""
    with tempfile.TemporaryDirectory() as name:
        lock = Path(name, "lock.txt")
        lock.write_text(pins, encoding="ascii")
        done = subprocess.run(
            [
                *start.pip(),
                "install",
                "--dry-run",
                "--ignore-installed",
                "--ignore-requires-python",
                "--require-hashes",
                "--only-binary=:all:",
                "--no-deps",
                "--target",
                name,
                "--python-version",
                python,
                *(word for tag in tags for word in ("--platform", tag)),
                "-r",
                str(lock),
            ],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
    if done.returncode:
        print(done.stdout, flush=True)
    return done.returncode == 0


def _stop(number: int, _: object) -> None:
    """Leave by the way that stops what was started."""
    sys.exit(128 + number)


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, _stop)
    signal.signal(signal.SIGINT, _stop)
    sys.exit(main(sys.argv[1:]))
