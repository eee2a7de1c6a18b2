"""Find a port of this computer to answer at."""

from __future__ import annotations

import contextlib
import os
import socket

from nibsmith.science.errors import NibsmithError

# The loopback address: nothing outside this computer can reach it.
ADDRESS = "127.0.0.1"
USUAL_PORT = 8765
PORTS_TRIED = 20


def listen(port: int | None) -> socket.socket:
    """Take the port asked for, or the first free one from the usual port on."""
    return _first_free() if port is None else _chosen(port)


def _chosen(port: int) -> socket.socket:
    try:
        return _listening(port)
    except OSError as error:
        raise NibsmithError(
            f"Port {port} cannot be used: {error.strerror}",
            advice="Leave --port out to take the next free one.",
        ) from None


def _first_free() -> socket.socket:
    for port in range(USUAL_PORT, USUAL_PORT + PORTS_TRIED):
        with contextlib.suppress(OSError):
            return _listening(port)
    last = USUAL_PORT + PORTS_TRIED - 1
    raise NibsmithError(f"No port from {USUAL_PORT} to {last} is free", advice="Choose one with --port.")


def _listening(port: int) -> socket.socket:
    # Windows would let two programs share a port; elsewhere the option only skips the wait after a stop.
    option = (
        getattr(socket, "SO_EXCLUSIVEADDRUSE", socket.SO_REUSEADDR)
        if os.name == "nt"
        else socket.SO_REUSEADDR
    )
    taken = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        taken.setsockopt(socket.SOL_SOCKET, option, 1)
        taken.bind((ADDRESS, port))
        # Listening at once makes the port ours: two programs may bind one port until one listens.
        taken.listen()
    except OSError:
        taken.close()
        raise
    return taken
