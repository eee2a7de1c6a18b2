"""The project speaks of itself alone, holds no foreign files, and leaves nothing half done."""

from __future__ import annotations

import re

import pytest

from source_tree import ROOT, SRC, name_of, project_files

# Spelt apart so that this file does not find itself.
FORBIDDEN = {
    "a local path": re.compile("/" + "(work|root|home/[a-z]+)/" + "[a-z]"),
    "a registry's address": re.compile(
        r"py" + r"pi\.(org|io)|python" + r"hosted|npm" + r"js\.|deb\." + r"debian|crates" + r"\.io"
    ),
    "something left to do": re.compile(r"\b(TO" + "DO|FIX" + "ME|X" + r"XX|HA" + r"CK)\b"),
}
TEXT = {".py", ".md", ".toml", ".txt", ".html", ".css", ".js", ".svg", ".csv", ".typ", ".json", ".cfg", ""}
FOREIGN = re.compile(r"(\.min\.(js|css)|\.woff2?|\.ttf|\.otf|\.exe|\.dll|\.so|\.whl|\.map)$")
TEMPLATES = sorted(SRC.rglob("templates/**/*.html"))


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_holds(what: str) -> None:
    found = [
        f"{name_of(file)}:{number}"
        for file in project_files()
        if file.suffix in TEXT
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if FORBIDDEN[what].search(line)
    ]

    assert found == []


def test_no_file_comes_from_somewhere_else() -> None:
    assert [name_of(file) for file in project_files() if FOREIGN.search(file.name)] == []


def test_no_file_is_large() -> None:
    large = {name_of(file): file.stat().st_size for file in project_files() if file.stat().st_size > 2**20}

    assert large == {}


@pytest.mark.parametrize("file", TEMPLATES, ids=name_of)
def test_a_template_holds_nothing_that_the_browser_would_refuse(file: object) -> None:
    """The content policy refuses inline style and script; better found here than on the page."""
    text = file.read_text(encoding="utf-8")  # type: ignore[attr-defined]

    assert re.findall(r"""<style\b|\sstyle=|\son[a-z]+=["']|javascript:|<script(?![^>]*\ssrc=)""", text) == []


def test_there_are_templates_to_read() -> None:
    assert TEMPLATES
    assert (ROOT / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")
