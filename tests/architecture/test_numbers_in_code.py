"""A physical number stands in a table with its source, never in code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from source_tree import SRC, name_of, syntax_of

# Counting, halving, percent and steps of ten: these mean the same in every trade.
PLAIN = {0.0, 0.5, 1.0, 2.0, 3.0, 4.0, 10.0, 100.0, 1000.0, 0.1, 0.01, 0.001, 1e6, 1e-6, 1e9}
# A numerical choice of the program, not of the trade, is a constant of the module with its reason beside it:
# either too small to be anything of the trade, or named for what it is.
CONSTANT = re.compile(r"_?[A-Z][A-Z0-9_]*")
NUMERICAL_NAME = re.compile(r"(^|_)(TOLERANCE|EPSILON|STEP|SLACK|MARGIN|ROUNDING)S?(_|$)")
SMALL = 1e-6
ROOMS = ("science", "answers", "paper")
FILES = [file for room in ROOMS for file in sorted((SRC / room).rglob("*.py")) if "tables" not in file.parts]


def unexplained_numbers(source: str, tree: ast.Module) -> Iterator[str]:
    """Give every number with a fraction or a power that is neither plain nor a reasoned numerical choice."""
    lines = source.splitlines()
    excused = {node for statement in tree.body for node in _reasoned(statement, lines)}
    for node in ast.walk(tree):
        value = _value(node)
        if value is not None and abs(value) not in PLAIN and node not in excused:
            yield f"line {node.lineno}: {value!r}"  # type: ignore[attr-defined]


def _value(node: ast.AST) -> float | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, float):
        return node.value
    decimal = isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Decimal"
    if (
        decimal
        and node.args
        and isinstance(node.args[0], ast.Constant)
        and isinstance(node.args[0].value, str)
    ):
        return float(node.args[0].value)
    return None


def _reasoned(statement: ast.stmt, lines: list[str]) -> Iterator[ast.AST]:
    targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", None)]
    names = [target.id if isinstance(target, ast.Name) else "" for target in targets]
    beside, above = lines[statement.lineno - 1], lines[statement.lineno - 2] if statement.lineno > 1 else ""
    explained = "#" in beside or above.lstrip().startswith("#")
    if explained and all(CONSTANT.fullmatch(name) for name in names):
        named = all(NUMERICAL_NAME.search(name) for name in names)
        yield from (node for node in ast.walk(statement) if named or abs(_value(node) or 1) <= SMALL)


@pytest.mark.parametrize("file", FILES, ids=name_of)
def test_no_physical_number_stands_in_code(file: Path) -> None:
    assert list(unexplained_numbers(file.read_text(encoding="utf-8"), syntax_of(file))) == []


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("x = 0.5", []),
        ("x = -1.0", []),
        ("x = 453.59237", ["line 1: 453.59237"]),
        ("x = Decimal('453.59')", ["line 1: 453.59"]),
        ("def f(fat=0.55): ...", ["line 1: 0.55"]),
        ("ROOT_TOLERANCE = 1e-12  # far below the last digit shown", []),
        ("ROOT_TOLERANCE = 1e-12", ["line 1: 1e-12"]),
        ("# far below the last digit shown\nSTRICT_STEP = 1e-7", []),
        ("TIED = 1e-9  # a slope under this is level", []),
        ("TIED = 1e-9", ["line 1: 1e-09"]),
        ("tied = 1e-9  # a slope under this is level", ["line 1: 1e-09"]),
        ("FAT = 0.55  # cocoa butter in nibs", ["line 1: 0.55"]),
        ('"""A text with 453.59237 in it."""', []),
    ],
)
def test_the_reader_of_numbers_sees_what_it_should(code: str, found: list[str]) -> None:
    assert list(unexplained_numbers(code, ast.parse(code))) == found
