"""A temper program in words and as a small table."""

from __future__ import annotations

from collections.abc import Iterator

from nibsmith.answers.answer import Detail
from nibsmith.answers.wording import degrees, degrees_span
from nibsmith.science.temper import Program


def shift_words(program: Program) -> str:
    """Return by how much a dark program was lowered, or nothing where it does not show."""
    shift = f"{program.shift_k:.1f}"
    return "" if float(shift) == 0 else f"{shift} K"


def work_words(program: Program | None) -> Iterator[str]:
    """Yield the sentence that says where a mass is worked, if there is a program."""
    if program is not None:
        shifted = " for its other fats" if shift_words(program) else ""
        yield f"Work it at {degrees_span(program.work_celsius)}{shifted}."


def program_rows(program: Program) -> tuple[tuple[str, str], ...]:
    """Return the steps of a program with their temperatures in °C and °F."""
    rows = [
        ("Melt at", degrees_span(program.melt_celsius)),
        ("Cool to", degrees_span(program.cool_celsius)),
        ("Work at", degrees_span(program.work_celsius)),
    ]
    if program.most_celsius is not None:
        rows.append(("Never warmer than, once tempered", degrees(program.most_celsius)))
    return tuple(rows)


def program_title(program: Program) -> str:
    """Return the name of a program."""
    return f"Temper program, {program.chocolate.value}"


def program_detail(program: Program | None) -> tuple[Detail, ...]:
    """Return the table an answer opens to, if there is a program."""
    if program is None:
        return ()
    note = "Temperatures of the mass, not of the bath or the room."
    if shift_words(program):
        note += f" Lowered by {shift_words(program)} for other fats; melting stays."
    return (Detail(program_title(program), ("Step", "Temperature"), program_rows(program), note),)
