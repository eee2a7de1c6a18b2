"""Run the timings and print their table.

.venv/bin/python bench/run.py [--write] [NAME ...]
"""

from __future__ import annotations

import importlib
import sys
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve().parent
PAGE = HERE.parent / "docs" / "performance.md"
START, END = "<!-- timings -->", "<!-- end of timings -->"

sys.path.insert(0, str(HERE))

from timing import Row, machine, table, use_one_thread  # noqa: E402


def main(words: list[str]) -> int:
    use_one_thread()
    names = [word for word in words if not word.startswith("-")]
    rows = [row for name in names or all_names() for row in measured(name)]
    text = f"{machine()}, {datetime.now(UTC):%Y-%m-%d}.\n\n{table(rows)}"
    print(text)
    if "--write" in words:
        write(text)
    return 0


def all_names() -> list[str]:
    return sorted(file.stem.removeprefix("bench_") for file in HERE.glob("bench_*.py"))


def measured(name: str) -> list[Row]:
    """Run one file; each offers ``measure()``."""
    print(f"{name} …", file=sys.stderr, flush=True)
    found: list[Row] = importlib.import_module(f"bench_{name}").measure()
    return found


def write(text: str) -> None:
    """Put the table between its two marks; the words around it are written by hand."""
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(START)
    _, _, after = rest.partition(END)
    PAGE.write_text(f"{before}{START}\n{text}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
