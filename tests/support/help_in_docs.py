"""The help texts in docs/howto/command-line.md are those the program prints.

``python tests/support/help_in_docs.py`` writes them there again after a change.
"""

from __future__ import annotations

import re
from pathlib import Path

from command_line import ROOT, nibsmith

PAGE = ROOT / "docs" / "howto" / "command-line.md"
BLOCK = re.compile(
    r"^```text\n\$ nibsmith (?P<words>[a-z -]*--help)\n(?P<said>.*?)^```$", re.MULTILINE | re.DOTALL
)


def with_real_help(page: str) -> str:
    """Return a page whose help blocks hold what the program prints now."""

    def real(block: re.Match[str]) -> str:
        said = nibsmith(*block["words"].split(), env={"COLUMNS": "80"}).stdout
        return f"```text\n$ nibsmith {block['words']}\n{said.rstrip()}\n```"

    return BLOCK.sub(real, page)


def commands_shown(page: str) -> set[str]:
    """Return the commands whose help the page shows; the empty one is the program itself."""
    return {block["words"].removesuffix("--help").strip() for block in BLOCK.finditer(page)}


def main(page: Path = PAGE) -> None:
    """Write the help texts of this moment into the page."""
    page.write_text(with_real_help(page.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
