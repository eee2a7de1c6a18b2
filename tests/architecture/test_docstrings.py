"""A public function of science says what it takes and gives: units, an example that runs, sources."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from collections.abc import Callable
from typing import Any

import pytest

import nibsmith.science
from nibsmith.science.tables import Status
from source_tree import ROOT, SRC, modules_under

SUBJECTS = sorted(folder.name for folder in (SRC / "science").iterdir() if (folder / "__init__.py").exists())
# The floor that only loads tables: no quantity goes in or out.
FLOOR = {"tables"}
HEADINGS = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)
NUMBERS = re.compile(r"\b(float|Decimal|NDArray|ndarray)\b")
UNIT = re.compile(r"\[[^\]]+\]")
KEY = re.compile(r"\[([a-z][a-z0-9]*(?:-[a-z0-9]+)*)\]")
FLAGS = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE


def public_functions() -> dict[str, Callable[..., Any]]:
    """List the functions that the subjects of science offer to others."""
    found = {}
    for subject in SUBJECTS:
        package = importlib.import_module(f"nibsmith.science.{subject}")
        for name in getattr(package, "__all__", ()) if subject not in FLOOR else ():
            thing = inspect.unwrap(getattr(package, name)) if callable(getattr(package, name)) else None
            if inspect.isfunction(thing):
                found[f"{subject}.{name}"] = thing
    return found


FUNCTIONS = public_functions()
# Rooms and modules whose inner functions are read as often as those they offer: others lean on them.
READ_WHOLE = (
    "nibsmith.science.cool",
    "nibsmith.science.flow",
    "nibsmith.science.grind",
    "nibsmith.science.formulate.linear.model",
    "nibsmith.science.formulate.scaling",
    "nibsmith.science.roast",
    "nibsmith.science.temper",
)


def functions_within() -> dict[str, Callable[..., Any]]:
    """List every function of these that another module may call."""
    found = {}
    for module in modules_under(*READ_WHOLE):
        for name, thing in vars(importlib.import_module(module)).items():
            inner = inspect.unwrap(thing) if callable(thing) else None
            if inspect.isfunction(inner) and inner.__module__ == module and not name.startswith("_"):
                found[f"{module.removeprefix('nibsmith.science.')}.{name}"] = inner
    return found


WITHIN = functions_within()


def sections(text: str) -> dict[str, str]:
    """Cut a docstring at its underlined headings; what comes first is the claim."""
    pieces = HEADINGS.split(inspect.cleandoc(text))
    return {"Claim": pieces[0].strip(), **dict(zip(pieces[1::2], pieces[2::2], strict=True))}


def documented(section: str) -> dict[str, str]:
    """Read ``name : type`` lines and the indented text below each."""
    entries: dict[str, str] = {}
    names: list[str] = []
    for line in section.strip("\n").splitlines():
        if line and not line.startswith(" "):
            head, _, kind = line.partition(" : ")
            names = [name.strip().lstrip("*") for name in head.split(",")]
            entries |= dict.fromkeys(names, kind)
        else:
            entries |= {name: f"{entries[name]} {line.strip()}" for name in names}
    return entries


def faults(function: Callable[..., Any]) -> list[str]:
    """Say what the docstring of a function lacks."""
    parts = sections(function.__doc__ or "")
    signature = inspect.signature(function)
    given = documented(parts.get("Parameters", ""))
    annotated = {name: str(parameter.annotation) for name, parameter in signature.parameters.items()}
    found = [] if parts["Claim"] else ["no claim"]
    if list(given) != list(annotated):
        found.append(f"Parameters {list(given)}, signature {list(annotated)}")
    found += [
        f"{name} has no unit"
        for name, kind in annotated.items()
        if NUMBERS.search(kind) and not UNIT.search(given.get(name, ""))
    ]
    returns = str(signature.return_annotation)
    if returns != "None" and "Returns" not in parts:
        found.append("no Returns")
    if NUMBERS.search(returns) and not UNIT.search(parts.get("Returns", "")):
        found.append("Returns has no unit")
    if ">>>" not in parts.get("Examples", ""):
        found.append("no example")
    return found


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_docstring_says_what_the_signature_says(name: str) -> None:
    assert faults(FUNCTIONS[name]) == []


@pytest.mark.parametrize("name", WITHIN)
def test_a_function_within_a_room_says_what_its_signature_says(name: str) -> None:
    assert faults(WITHIN[name]) == []


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_source_named_stands_in_the_list_of_references(name: str) -> None:
    listed = set(KEY.findall((ROOT / "docs" / "references.md").read_text(encoding="utf-8")))
    used = set(KEY.findall(sections(FUNCTIONS[name].__doc__ or "").get("References", "")))

    assert used - listed - {status.value for status in Status} == set()


@pytest.mark.parametrize("module", modules_under("nibsmith.science", "nibsmith.answers", "nibsmith.paper"))
def test_the_examples_run(module: str) -> None:
    result = doctest.testmod(importlib.import_module(module), optionflags=FLAGS)

    assert result.failed == 0


def _good(mass_g: float, *, share: float = 1.0) -> float:
    """Take a share of a mass.

    Parameters
    ----------
    mass_g : float
        The mass [g].
    share : float, optional
        The share [0 to 1].

    Returns
    -------
    float
        The part [g].

    Examples
    --------
    >>> _good(2.0)
    2.0
    """
    return mass_g * share


def _bad(mass_g: float, share: float) -> float:
    """Take a share of a mass.

    Parameters
    ----------
    mass_g : float
        The mass.
    """
    return mass_g * share


def test_the_reader_of_docstrings_sees_what_is_missing() -> None:
    assert faults(_good) == []
    assert faults(_bad) == [
        "Parameters ['mass_g'], signature ['mass_g', 'share']",
        "mass_g has no unit",
        "share has no unit",
        "no Returns",
        "Returns has no unit",
        "no example",
    ]


def test_there_are_public_functions_to_read() -> None:
    assert nibsmith.science is not None
    assert len(FUNCTIONS) > 10
