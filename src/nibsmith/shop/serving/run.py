"""Open the workshop: make ready, say where it is, answer until stopped."""

from __future__ import annotations

import sys
from dataclasses import dataclass

from nibsmith.shop.config.home import home
from nibsmith.shop.serving.browser import open_page
from nibsmith.shop.serving.port import ADDRESS, listen
from nibsmith.shop.serving.server import serve, stopping_quietly
from nibsmith.shop.serving.setup import set_up


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the maker asked for on the command line."""

    port: int | None
    with_demo: bool
    browser: bool


def run(wishes: Wishes) -> int:
    """Show the workshop until Ctrl-C; return the exit code."""
    with stopping_quietly():
        listening = listen(wishes.port)
        set_up()
        _make_ready(with_demo=wishes.with_demo)
        address = f"http://{ADDRESS}:{listening.getsockname()[1]}/"
        _say(f"Nibsmith is open at {address}", f"Records: {home()}", "Stop it with Ctrl-C.")
        if wishes.browser:
            open_page(address)
        from nibsmith.shop.config.wsgi import application

        serve(application, listening)
    return 0


def _make_ready(*, with_demo: bool) -> None:
    from nibsmith.shop import demo
    from nibsmith.shop.serving.prepare import prepare

    prepared = prepare(with_demo=with_demo)
    if prepared.copy_before_change:
        _say(f"The records were brought up to date; a copy from before: {prepared.copy_before_change}")
    if prepared.demo_loaded:
        demo.print_sheet(sys.stdout)


def _say(*lines: str) -> None:
    """Print at once, also where standard output is a file or another program."""
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()
