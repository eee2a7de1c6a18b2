"""The files of the project as the architecture tests read them."""

from __future__ import annotations

import ast
import pkgutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src" / "nibsmith"
MADE_BY_TOOLS = {".git", ".venv", "__pycache__", "htmlcov", "build", "dist"}


def project_files() -> Iterator[Path]:
    """Every file that is written by hand: what tools make beside them is left out."""
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") and part.endswith("_cache") for part in parts)
        if (
            path.is_file()
            and not hidden
            and not MADE_BY_TOOLS.intersection(parts)
            and ".hypothesis" not in parts
        ):
            yield path


def modules_under(*packages: str) -> list[str]:
    """Name every module of some packages, by files alone: nothing is imported."""
    found = []
    for package in packages:
        folder = SRC.joinpath(*package.split(".")[1:])
        found.append(package)
        found += [entry.name for entry in pkgutil.walk_packages([str(folder)], f"{package}.")]
    return sorted(set(found))


@cache
def syntax_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()
