"""No text, however strange, does anything but parse or refuse, and none takes long."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import NibsmithError
from nibsmith.science.quantities import (
    LONGEST,
    LONGEST_LIST,
    parse_mass,
    parse_number,
    parse_percent,
    parse_temperature,
    parse_temperature_difference,
    parse_things,
)

PARSERS: list[Callable[[str], object]] = [
    parse_mass,
    parse_number,
    parse_percent,
    parse_temperature,
    parse_temperature_difference,
    parse_things,
]
NEAR = st.text(alphabet="0123456789 .,'/-½⅓°%gkmlbozCFK;:\n\t\u00a0\u202feE", max_size=40)


def outcome(parse: Callable[[str], object], text: str) -> str | None:
    try:
        parse(text)
    except NibsmithError as error:
        return str(error)
    return None


@pytest.mark.long
@pytest.mark.parametrize("parse", PARSERS)
@given(text=st.one_of(st.text(max_size=100), NEAR))
def test_any_text_is_read_or_refused_in_one_line(parse: Callable[[str], object], text: str) -> None:
    refused = outcome(parse, text)
    assert refused is None or len(refused.splitlines()) == 1


REPEATED = (
    "1", "1 ", "1,", "1.", "1/", "1 1/2 ", "½", "g", "1g", "1 g ", " ", "a1", "é", "-", "°", "1 lb ",
    "\u202f", "0 000", "'000", "1;", "1 g a,",
)  # fmt: skip


@pytest.mark.parametrize("parse", PARSERS)
@pytest.mark.parametrize("piece", REPEATED)
def test_repetition_to_the_length_limit_is_read_or_refused(
    parse: Callable[[str], object], piece: str
) -> None:
    limit = LONGEST_LIST if parse is parse_things else LONGEST
    texts = [(piece * limit)[:limit], (piece * limit)[: limit - 2] + " g", ("1" + piece * limit)[:limit]]
    assert all("\n" not in (outcome(parse, text) or "") for text in texts)


@pytest.mark.parametrize("parse", PARSERS)
def test_a_text_beyond_the_limit_is_refused_before_it_is_read(parse: Callable[[str], object]) -> None:
    assert "too long" in str(outcome(parse, "1" * 10_000_000))
