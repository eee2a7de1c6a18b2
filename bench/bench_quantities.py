"""Reading amounts in words, and the worst texts of the greatest length that is read at all."""

from __future__ import annotations

import contextlib

from timing import Row, median

RUNS = 200
PIECES = ("1", "1 ", "1,", "1/", "1 1/2 ", "½", "1 g ", " ", "1 lb ", "0 000", "'000", "1 g a,")


def measure() -> list[Row]:
    from nibsmith.science.errors import NibsmithError
    from nibsmith.science.quantities import parse_mass

    def worst() -> None:
        for piece in PIECES:
            with contextlib.suppress(NibsmithError):
                parse_mass((piece * 200)[:60])

    usual = median(lambda: parse_mass("1 lb 2 1/2 oz"), RUNS, warm_up=20)
    hard = median(worst, RUNS, warm_up=20) / len(PIECES)
    return [
        Row("`1 lb 2 1/2 oz` read", usual, "", RUNS),
        Row(
            "a hopeless text of 60 characters refused",
            hard,
            "",
            RUNS,
            f"{hard / usual:.1f} times the one above",
        ),
    ]
