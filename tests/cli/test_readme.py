"""The README does what it says: its commands run, its example in Python is true, its links lead somewhere."""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

import pytest

from command_line import ROOT, nibsmith

README = ROOT / "README.md"
TEXT = README.read_text(encoding="utf-8")
COMMANDS = [
    line.removeprefix(".venv/bin/nibsmith ")
    for block in re.findall(r"^```sh\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
    for line in block.splitlines()
    if line.startswith(".venv/bin/nibsmith ")
]


def test_the_job_stands_at_the_very_top() -> None:
    title, empty, first = TEXT.splitlines()[:3]
    assert (title, empty) == ("# Nibsmith", "")
    assert first.startswith("You have a bowl of nibs")


@pytest.mark.parametrize("line", COMMANDS)
def test_a_command_of_the_readme_runs(line: str, tmp_path: Path) -> None:
    words = shlex.split(line.replace("sheet.pdf", str(tmp_path / "sheet.pdf")))
    done = nibsmith(*words)
    assert done.returncode == 0, done.stderr
    assert ("--pdf" in words) == (tmp_path / "sheet.pdf").exists()


def test_the_example_in_python_is_true() -> None:
    results = doctest.testfile(str(README), module_relative=False)
    assert results.attempted >= 5
    assert results.failed == 0


def test_every_link_of_the_readme_leads_somewhere() -> None:
    targets = [target for target in re.findall(r"\]\(([^)]+)\)", TEXT) if "://" not in target]
    assert targets
    assert [target for target in targets if not (ROOT / target).exists()] == []


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_both_commands_of_the_readme_are_there(script: str) -> None:
    assert f"python3 {script}" in TEXT
    assert (ROOT / script).is_file()
