"""Functions and modules that one can read at one sitting."""

from __future__ import annotations

import ast
import io
import tokenize
from pathlib import Path

import pytest

from source_tree import ROOT, SRC, name_of, syntax_of

FUNCTION_LIMIT = 40
MODULE_LIMIT = 400
FILES = [file for file in sorted(SRC.rglob("*.py")) if "migrations" not in file.parts] + [
    ROOT / "start.py",
    ROOT / "check.py",
]
NOT_CODE = {
    tokenize.COMMENT,
    tokenize.NL,
    tokenize.NEWLINE,
    tokenize.INDENT,
    tokenize.DEDENT,
    tokenize.ENDMARKER,
}


def code_lines(source: str) -> set[int]:
    """Number the lines that hold code: not blank, not comment, not docstring."""
    lines: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type not in NOT_CODE:
            lines |= set(range(token.start[0], token.end[0] + 1))
    for node in ast.walk(ast.parse(source)):
        if (
            isinstance(node, ast.Expr)
            and isinstance(node.value, ast.Constant)
            and isinstance(node.value.value, str)
        ):
            lines -= set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    return lines


@pytest.mark.parametrize("file", FILES, ids=name_of)
def test_no_function_is_longer_than_a_page(file: Path) -> None:
    lines = code_lines(file.read_text(encoding="utf-8"))
    functions = [node for node in ast.walk(syntax_of(file)) if isinstance(node, ast.FunctionDef)]

    sizes = {
        node.name: len(lines & set(range(node.lineno, (node.end_lineno or 0) + 1))) for node in functions
    }

    assert {name: size for name, size in sizes.items() if size > FUNCTION_LIMIT} == {}


@pytest.mark.parametrize("file", FILES, ids=name_of)
def test_no_module_is_longer_than_a_chapter(file: Path) -> None:
    assert len(file.read_text(encoding="utf-8").splitlines()) <= MODULE_LIMIT


def test_the_counter_leaves_out_what_is_no_code() -> None:
    source = 'def f():\n    """Two\n    lines."""\n\n    # why\n    return (\n        1\n    )\n'

    assert code_lines(source) == {1, 6, 7, 8}
