"""A laser's table of grain sizes: what is quoted of it, and how it feels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from nibsmith.answers.answer import Answer, Citation, Detail, Verdict
from nibsmith.answers.tools.outcome import Given, Outcome, constants
from nibsmith.answers.wording import NO_BREAK
from nibsmith.science.grind import SizeSummary, SizeTable, feels, read_size_table, summary
from nibsmith.science.tables import load

QUESTION, TITLE = "sizes", "How large are the grains?"
FORMULAS = (
    "Dp is the size that p % of the volume is finer than. Span = (D90 − D10)/D50.",
    "D[4,3] = Σ v·d; D[3,2] = 1/Σ(v/d), v the share of the volume; surface over volume S = 6/D[3,2].",
)
KEYS = ("very_smooth", "smooth", "just_noticeable", "grainy", "least_difference", "difference_share")


@dataclass(frozen=True, slots=True)
class SizesRead:
    """A table as it was read, and what is quoted of it."""

    table: SizeTable
    quoted: SizeSummary


def sizes_read(text: str) -> SizesRead:
    """Read a table of sizes and shares.

    Raises
    ------
    InputError
        If it cannot be read, or read in two ways.
    """
    table = read_size_table(text)
    return SizesRead(table, summary(table.sizes))


def sizes_by_hand(read: SizesRead) -> Outcome:
    r"""Answer how large grains are and how they feel.

    Parameters
    ----------
    read : SizesRead
        From ``sizes_read``.

    Returns
    -------
    Outcome
        The figure is D90 [µm].

    Examples
    --------
    >>> sizes_by_hand(sizes_read("size;finer\n2;0\n10;40\n28;90\n60;100")).answer.word
    'Smooth.'
    """
    quoted = read.quoted
    word = feels(quoted.d90_um).value
    smooth = quoted.d90_um <= load("grind")["smooth"].value
    rows = constants("grind", KEYS)
    answer = Answer(
        question=QUESTION,
        title=TITLE,
        verdict=Verdict.GOOD if smooth else Verdict.WATCH,
        word=f"{word.capitalize()}.",
        sentence=f"Nine tenths are finer than {_um(quoted.d90_um)}, half finer than {_um(quoted.d50_um)}.",
        figure=quoted.d90_um,
        unit="µm",
        basis="the largest grains (D90)",
        reasons=tuple(_reasons(quoted)),
        sources=tuple(Citation(row.source, row.place, row.status) for row in rows[:3]),
    )
    understood = tuple(Given("Understood", line, "") for line in read.table.understood)
    return Outcome(answer, understood, FORMULAS, rows, (_quoted(quoted),))


def _reasons(quoted: SizeSummary) -> Iterator[str]:
    yield f"A micrometer reads near D90 or above it, {_um(quoted.d90_um)}, and nothing of the fines."
    surface = f"{quoted.surface:.2f}{NO_BREAK}µm² on each µm³"
    yield f"The fines carry the surface that butter has to coat: {surface}."


def _quoted(quoted: SizeSummary) -> Detail:
    rows = (
        ("D10", _um(quoted.d10_um)),
        ("D50", _um(quoted.d50_um)),
        ("D90", _um(quoted.d90_um)),
        ("Span", f"{quoted.span:.2f}"),
        ("D[3,2], by surface", _um(quoted.sauter_um)),
        ("D[4,3], by volume", _um(quoted.volume_mean_um)),
        ("Surface over volume", f"{quoted.surface:.2f}{NO_BREAK}1/µm"),
    )
    return Detail("What is quoted of it", ("What", "Value"), rows)


def _um(size: float) -> str:
    return f"{size:.1f}{NO_BREAK}µm"
