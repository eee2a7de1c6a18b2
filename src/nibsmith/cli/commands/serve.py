"""Show the workshop in a browser on this computer."""

from __future__ import annotations

import argparse

from nibsmith.science.errors import NibsmithError

HIGHEST_PORT = 65535


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "--port", type=_port, metavar="N", help="answer at this port (usual: 8765 or the next free one)"
    )
    parser.add_argument("--no-browser", action="store_true", help="open no browser")
    parser.add_argument("--empty", action="store_true", help="on the first run, load no demo workshop")
    parser.add_argument(
        "--lan", action="store_true", help="answer other computers too (refused until there are accounts)"
    )


def run(args: argparse.Namespace) -> int:
    """Serve until stopped."""
    if args.lan:
        raise NibsmithError(
            "--lan is refused: there are no accounts yet, so anybody on the network could change the records",
            advice="Leave it out; the workshop then answers this computer alone.",
        )
    from nibsmith.shop.serving.run import Wishes, run

    return run(Wishes(port=args.port, with_demo=not args.empty, browser=not args.no_browser))


def _port(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() else -1
    if not 0 <= number <= HIGHEST_PORT:
        raise argparse.ArgumentTypeError(
            f"{text} is no port; a port is a whole number from 0 to {HIGHEST_PORT}"
        )
    return number
