"""The answers with draws of the recipe page at 20 parts: the second piece, after the edit's own."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import bench_page_edit
from timing import Row, median

RUNS, WARM_UP = 60, 6
BOUND_MS = 150


def measure() -> list[Row]:
    with tempfile.TemporaryDirectory() as home:
        os.environ["NIBSMITH_HOME"] = home
        Path(home).mkdir(exist_ok=True)
        return _measured()


def _measured() -> list[Row]:
    from nibsmith.shop.serving.prepare import prepare
    from nibsmith.shop.serving.setup import set_up

    set_up()
    prepare(with_demo=False)
    browser = bench_page_edit.Browser()

    def estimates() -> None:
        answer = browser.client.get(f"{browser.path}estimates/", headers={"HX-Request": "true"})
        assert answer.status_code == 200
        assert b"answer-pour" in answer.content

    second, first = median(estimates, RUNS, WARM_UP), median(browser.edit, RUNS, WARM_UP)
    words = f"the edit's own piece {first * 1000:.1f} ms, {first / second:.2f} times this"
    name = f"estimates at {bench_page_edit.PARTS} parts, GET to fragment"
    return [Row(name, second, f"< {BOUND_MS} ms", RUNS, words)]
