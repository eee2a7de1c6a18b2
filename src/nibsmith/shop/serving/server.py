"""Answer the browser until the maker stops the workshop."""

from __future__ import annotations

import os
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any

from waitress.server import create_server

from nibsmith.shop.serving.draining import DrainingChannel
from nibsmith.shop.serving.limits import BODY_READ_BYTES

THREADS = 6
# A page that is being made may be finished; then the program ends whatever still runs.
SECONDS_TO_FINISH = 1.5


def serve(application: Callable[..., Any], listening: socket.socket) -> None:
    """Answer at an open port until the program is asked to stop."""
    server = create_server(
        application,
        sockets=[listening],
        threads=THREADS,
        max_request_body_size=BODY_READ_BYTES + 1,  # the library refuses what comes up to it
        ident=None,
    )
    server.channel_class = DrainingChannel
    try:
        server.run()
    finally:
        server.close()


@contextmanager
def stopping_quietly() -> Iterator[None]:
    """Let Ctrl-C and a request to end stop the program with exit code 0, soon and for sure."""
    signals = (signal.SIGINT, signal.SIGTERM)
    before = [signal.signal(number, _stop) for number in signals]
    try:
        yield
    except SystemExit:
        pass
    finally:
        for number, handler in zip(signals, before, strict=True):
            signal.signal(number, handler)


def _stop(number: int, frame: FrameType | None) -> None:
    # A second Ctrl-C would only cut short the orderly end that is already under way.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    watchdog = threading.Timer(SECONDS_TO_FINISH, os._exit, (0,))
    watchdog.daemon = True
    watchdog.start()
    raise SystemExit(0)
