"""From the start of ``python3 start.py`` to the first page, and from Ctrl-C to the end."""

from __future__ import annotations

import os
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

from timing import Row

ROOT = Path(__file__).resolve().parents[1]
RUNS = 5


def measure() -> list[Row]:
    with tempfile.TemporaryDirectory() as home:
        once(home)  # the first start makes the database and is not the one that counts
        pairs = [once(home) for _ in range(RUNS)]
    starts, stops = zip(*pairs, strict=True)
    return [
        Row("`start.py` to the first 200 on `/`, second start", statistics.median(starts), "< 3 s", RUNS),
        Row("Ctrl-C to the end of the process", statistics.median(stops), "< 2 s", RUNS),
    ]


def once(home: str) -> tuple[float, float]:
    """Start and stop one workshop; return both times [s]."""
    port = free_port()
    environment = {**os.environ, "NIBSMITH_HOME": home, "CI": "true"}
    begun = time.perf_counter()
    command = [sys.executable, str(ROOT / "start.py"), "--no-browser", "--port", str(port)]
    with subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL) as process:
        wait_for_page(port)
        started = time.perf_counter() - begun
        begun = time.perf_counter()
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30) == 0
        return started, time.perf_counter() - begun


def wait_for_page(port: int) -> None:
    while True:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=60) as answer:
                assert answer.status == 200
                return
        except urllib.error.URLError as error:
            if not isinstance(error.reason, ConnectionRefusedError):
                raise
            time.sleep(0.005)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
