"""Take pictures of every page of the demo workshop and every tool: 390 and 1280 px, light, dark and printed.

    .venv/bin/python tools/screenshots.py FOLDER
    .venv/bin/python tools/screenshots.py --readme     the few of docs/pictures/

The workshop is a new one in a temporary folder; nothing of yours is touched.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests" / "support")]

WIDTHS = (390, 1280)
SCHEMES = ("light", "dark")
PAPER_WIDTH = 794  # an A4 page at 96 pixels to the inch
# What README.md shows: file name, page, width, height, colours.
SHOWN = (
    ("start.png", "start-with-amounts", 1120, 700, "light"),
    ("recipe.png", "recipe-with-inclusions", 1120, 860, "light"),
    ("recipe-phone.png", "recipe-with-inclusions", 390, 844, "dark"),
    ("balance.png", "balance-proposed", 1120, 700, "light"),
    ("sheet.png", "sheet", 1120, 760, "light"),
    ("roast.png", "roast", 1120, 1010, "light"),
)


def main(words: list[str]) -> int:
    """Take all pictures, or those of the README."""
    if len(words) != 1 or (words[0].startswith("-") and words[0] != "--readme"):
        sys.stderr.write(__doc__ or "")
        return 2
    with workshop() as (base, pages), browser() as chromium:
        if words[0] == "--readme":
            readme_pictures(chromium, base, pages)
        else:
            all_pictures(chromium, base, pages, Path(words[0]))
    return 0


def all_pictures(chromium: Any, base: str, pages: dict[str, str], folder: Path) -> None:
    """Take every page at every width and in both colours, then as printed."""
    folder.mkdir(parents=True, exist_ok=True)
    for width in WIDTHS:
        for scheme in SCHEMES:
            context = chromium.new_context(viewport={"width": width, "height": 844}, color_scheme=scheme)
            page = context.new_page()
            for name, address in pages.items():
                page.goto(base + address)
                page.screenshot(path=folder / f"{name}-{width}-{scheme}.png", full_page=True)
            context.close()
    printed(chromium, base, pages, folder)


def printed(chromium: Any, base: str, pages: dict[str, str], folder: Path) -> None:
    """Take every page as it looks on paper."""
    page = chromium.new_context(viewport={"width": PAPER_WIDTH, "height": 1123}).new_page()
    page.emulate_media(media="print")
    for name, address in pages.items():
        page.goto(base + address)
        page.screenshot(path=folder / f"{name}-print.png", full_page=True)


def readme_pictures(chromium: Any, base: str, pages: dict[str, str]) -> None:
    """Take the pictures that the README shows."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    for file, name, width, height, scheme in SHOWN:
        context = chromium.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)
        page = context.new_page()
        page.goto(base + pages[name])
        page.screenshot(path=PICTURES / file)
        context.close()


@contextmanager
def workshop() -> Iterator[tuple[str, dict[str, str]]]:
    """Serve a demo workshop of its own."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as home:
        os.environ["NIBSMITH_HOME"] = home
        from nibsmith.shop.serving.prepare import prepare
        from nibsmith.shop.serving.setup import set_up

        set_up()
        prepare(with_demo=True)
        from waitress.server import create_server

        from demo_pages import addresses
        from nibsmith.shop.config.wsgi import application

        server = create_server(application, host="127.0.0.1", port=0, threads=4)
        threading.Thread(target=server.run, daemon=True).start()
        yield f"http://127.0.0.1:{server.effective_port}", {**addresses(), **answered_tools()}
        server.close()


def answered_tools() -> dict[str, str]:
    """Return the address of each tool with an example typed in; one that takes a file is left empty."""
    from nibsmith.shop.tools.catalogue import BENCHES
    from tool_examples import EXAMPLES

    typed = {
        key: "" if bench.by_post else f"?{urlencode(EXAMPLES[key].typed)}" for key, bench in BENCHES.items()
    }
    return {f"tool-{key}": f"/tools/{key}/{query}" for key, query in typed.items()}


@contextmanager
def browser() -> Iterator[Any]:
    """Open the browser of this computer."""
    from playwright.sync_api import sync_playwright

    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    found = shutil.which("chromium") or shutil.which("google-chrome")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu"])
        yield chromium
        chromium.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
