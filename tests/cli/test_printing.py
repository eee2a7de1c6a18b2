"""Plain text for a terminal: columns, lines, colours, and files that are there whole or not at all."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.cli.printing import SHAPES, WIDTH, columns, heading, painted, wrapped
from nibsmith.cli.writing import write_whole

words = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=30)
cells = st.lists(words, max_size=12).map(" ".join)


@given(
    st.lists(st.tuples(cells, cells, cells), min_size=1, max_size=6), st.sampled_from(["<<<", "<>>", "><<"])
)
def test_columns_fit_and_lose_nothing(rows: list[tuple[str, str, str]], align: str) -> None:
    lines = columns(rows, align)
    assert all(len(line) <= WIDTH for line in lines)
    shown = "".join(sorted("".join(lines).replace(" ", "")))
    assert shown == "".join(sorted("".join(cell for row in rows for cell in row).replace(" ", "")))


def test_columns_align_and_drop_what_is_empty() -> None:
    assert columns([("a", "", "10 g"), ("longer", "", "5 g")], "<>>") == ["  a       10 g", "  longer   5 g"]


@given(cells)
def test_a_wrapped_text_fits(text: str) -> None:
    assert all(len(line) <= WIDTH for line in wrapped(text, hang="    "))


def test_a_figure_and_its_unit_stay_on_one_line() -> None:
    text = f"{'word ' * 15}12\u00a0g"
    assert any("12\u00a0g" in line for line in wrapped(text))


def test_a_heading_stands_at_both_ends() -> None:
    line = heading("Name", "size")
    assert (len(line), line[:4], line[-4:]) == (WIDTH, "Name", "size")


def test_every_verdict_has_a_shape_of_its_own() -> None:
    assert SHAPES.keys() == set(Verdict)
    assert len(set(SHAPES.values())) == len(Verdict)


@pytest.mark.parametrize(
    ("terminal", "environment", "coloured"),
    [(True, {}, True), (False, {}, False), (True, {"NO_COLOR": "1"}, False), (True, {"TERM": "dumb"}, False)],
)
def test_colour_is_for_a_terminal_that_wants_it(
    monkeypatch: pytest.MonkeyPatch, terminal: bool, environment: dict[str, str], coloured: bool
) -> None:
    for key in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(key, raising=False)
    for key, value in environment.items():
        monkeypatch.setenv(key, value)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal)
    assert ("\x1b[" in painted("Yes.", Verdict.GOOD)) is coloured


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    file = tmp_path / "out"
    file.write_bytes(b"before")
    write_whole(file, b"after")
    assert file.read_bytes() == b"after"
    assert [each.name for each in tmp_path.iterdir()] == ["out"]


def test_a_fault_leaves_what_was_there_and_is_told_of_the_target(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    (folder / "inside").mkdir(parents=True)
    with pytest.raises(OSError, match="folder") as fault:
        write_whole(folder, b"after")
    assert fault.value.filename == str(folder)
    with pytest.raises(FileNotFoundError) as fault:
        write_whole(tmp_path / "missing" / "out", b"after")
    assert fault.value.filename == str(tmp_path / "missing" / "out")
    assert [each.name for each in tmp_path.iterdir()] == ["folder"]
