"""Open the first page in a browser, where a person sits in front of one."""

from __future__ import annotations

import os
import sys
import threading
import webbrowser
from collections.abc import Mapping

SCREENS = ("DISPLAY", "WAYLAND_DISPLAY")


def has_screen(environment: Mapping[str, str], platform: str = sys.platform) -> bool:
    """Whether a browser window can be opened here: not in an automatic run, not without a screen."""
    if environment.get("CI"):
        return False
    return platform in {"darwin", "win32"} or any(environment.get(name) for name in SCREENS)


def open_page(address: str) -> None:
    """Open the page; the server need not wait for the browser."""
    if has_screen(os.environ):
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
