"""A real browser that fails the test on any complaint in its console and any request to another host."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, ConsoleMessage, Page, Request

HEIGHTS = {390: 844, 1280: 800}
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """Use the browser of this computer; none is ever downloaded."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if not found and os.environ.get("CI"):
        pytest.fail("chromium is missing, and nothing may be left out here")
    if not found:
        pytest.skip("chromium is not installed")
    return {"executable_path": found, "args": QUIET}


@dataclass
class Watch:
    """What a page complained about; ``expected`` holds patterns of complaints that the test provokes."""

    host: str
    complaints: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def console(self, message: ConsoleMessage) -> None:
        self.complaints.append(f"console {message.type}: {message.text}")

    def fault(self, error: Exception) -> None:
        self.complaints.append(f"script error: {error}")

    def request(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in {"data", "blob"} and parts.netloc != self.host:
            self.complaints.append(f"request off the host: {request.url}")

    def left(self) -> list[str]:
        return [
            line for line in self.complaints if not any(re.search(pattern, line) for pattern in self.expected)
        ]


@pytest.fixture
def width() -> int:
    """The width of the window; a test takes others by parametrizing it."""
    return 1280


@pytest.fixture
def scripting() -> bool:
    """Whether the page may run scripts."""
    return True


@pytest.fixture
def colour_scheme() -> str:
    return "light"


@pytest.fixture
def watch(live_server: Any) -> Watch:
    return Watch(urlsplit(live_server.url).netloc)


@pytest.fixture
def page(
    browser: Browser, live_server: Any, watch: Watch, width: int, scripting: bool, colour_scheme: Any
) -> Iterator[Page]:
    """A new browser window on the workshop, with paths relative to it."""
    context = browser.new_context(
        base_url=live_server.url,
        viewport={"width": width, "height": HEIGHTS[width]},
        java_script_enabled=scripting,
        color_scheme=colour_scheme,
        reduced_motion="reduce",
        locale="en-GB",
    )
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("console", watch.console)
    page.on("pageerror", watch.fault)
    page.on("request", watch.request)
    yield page
    context.close()
    assert watch.left() == []


@pytest.fixture
def assert_accessible() -> Callable[[Page], None]:
    """Fail with the rule and the element where axe finds something. The page must allow scripts."""

    def check(page: Page) -> None:
        findings = Axe().run(page).response["violations"]
        lines = [f"{rule['id']}: {node['html']}" for rule in findings for node in rule["nodes"]]
        assert lines == []

    return check


@pytest.fixture
def assert_fits() -> Callable[[Page], None]:
    """Fail where the page, once it is there with its styles, can be scrolled sideways."""

    def check(page: Page) -> None:
        page.wait_for_load_state("load")
        page.evaluate("document.fonts.ready.then(() => true)")
        wide, shown = page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert wide <= shown

    return check
