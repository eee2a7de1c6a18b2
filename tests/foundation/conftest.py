"""A workshop of its own for each test, and the program as a person starts it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from nibsmith.shop.safekeeping.restore import connected

ADDRESS = re.compile(rb"http://127\.0\.0\.1:(\d+)/")
SECONDS_TO_START = 60


class Workshop:
    """One data folder, and the command line pointed at it."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.environment = {
            **{name: value for name, value in os.environ.items() if not name.startswith("NIBSMITH_")},
            "NIBSMITH_HOME": str(home),
            "CI": "true",
        }

    @property
    def records(self) -> Path:
        return self.home / "nibsmith.sqlite3"

    def run(self, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
        """Run one command to its end."""
        return subprocess.run(
            command(*words),
            env={**self.environment, **more},
            capture_output=True,
            text=True,
            check=False,
            timeout=SECONDS_TO_START,
            stdin=subprocess.DEVNULL,
        )


def command(*words: str) -> list[str]:
    return [sys.executable, "-P", "-m", "nibsmith", *words]


class Serving:
    """The program while it serves; what it printed is in ``printed``."""

    def __init__(self, workshop: Workshop, *words: str) -> None:
        self.process = subprocess.Popen(
            command("serve", *words),
            env=workshop.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        self.printed = b""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.printed += line
            if b"Ctrl-C" in line:
                break
        found = ADDRESS.search(self.printed)
        assert found, self.printed.decode()
        self.port = int(found[1])

    def get(self, path: str, **headers: str) -> tuple[int, bytes]:
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", headers=headers)
        try:
            with urllib.request.urlopen(request, timeout=10) as answer:
                return answer.status, answer.read()
        except urllib.error.HTTPError as error:
            with error:
                return error.code, error.read()

    def stop(self, how: signal.Signals) -> tuple[int, float]:
        """Send a signal; return the exit code and the seconds it took."""
        begun = time.monotonic()
        self.process.send_signal(how)
        code = self.process.wait(timeout=30)
        return code, time.monotonic() - begun

    def group_is_empty(self) -> bool:
        """Whether no process of the program's own session is left."""
        try:
            os.killpg(self.process.pid, 0)
        except ProcessLookupError:
            return True
        return False


@pytest.fixture(autouse=True)
def databases_may_be_opened(django_db_blocker: Any) -> Iterator[None]:
    """These tests make database files of their own; the one that other tests share is not touched."""
    with django_db_blocker.unblock():
        yield


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "home")


@pytest.fixture
def serve(workshop: Workshop) -> Iterator[Callable[..., Serving]]:
    """Start the program on a free port; whatever the test leaves running is ended."""
    started: list[Serving] = []

    def start(*words: str) -> Serving:
        started.append(Serving(workshop, *(words or ("--port", "0", "--no-browser"))))
        return started[-1]

    yield start
    for serving in started:
        serving.process.kill()
        serving.process.wait()
        assert serving.process.stdout is not None
        serving.process.stdout.close()


@pytest.fixture(scope="session")
def made_records(tmp_path_factory: pytest.TempPathFactory, django_db_blocker: Any) -> Path:
    """An up-to-date database with two entries in its change log, made by the program itself."""
    file = tmp_path_factory.mktemp("made") / "nibsmith.sqlite3"
    with django_db_blocker.unblock(), connected(file) as alias:
        call_command("migrate", database=alias, interactive=False, verbosity=0)
        add_entry(alias, "made")
        add_entry(alias, "made again")
    return file


def add_entry(alias: str, why: str) -> None:
    from nibsmith.shop.common.changelog.models import ChangeEntry  # needs the apps, which load after this

    ChangeEntry.objects.using(alias).create(
        who="Ida", what="test.made", object_type="test", object_id="1", why=why
    )


@pytest.fixture(scope="session")
def older_records(tmp_path_factory: pytest.TempPathFactory, django_db_blocker: Any) -> Path:
    """A database as the first version of the change log left it, with one entry."""
    file = tmp_path_factory.mktemp("older") / "nibsmith.sqlite3"
    with django_db_blocker.unblock(), connected(file) as alias:
        call_command("migrate", "common", "0001", database=alias, interactive=False, verbosity=0)
        add_entry(alias, "older")
    return file
