"""What ``nibsmith seed`` refuses is named as it is typed."""

from __future__ import annotations

import pytest

from command_line import nibsmith


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "MASS: This is needed and has no usual value."),
        (("1.2 kg",), "TEMP: This is needed and has no usual value."),
        (("--tell", "mass", "--seed", "300 g"), "TEMP: This is needed and has no usual value."),
        (("46 C", "--tell", "mass"), "--seed: This is needed and has no usual value."),
        (("1 kg", "--tell", "mass-temperature"), "--seed: This is needed and has no usual value."),
        (("1 kg", "200 C"), "TEMP: No chocolate is melted so hot (got 200 °C (392 °F), limit"),
    ],
)
def test_what_is_missing_or_cannot_be_is_named_as_it_is_typed(words: tuple[str, ...], said: str) -> None:
    done = nibsmith("seed", *words)

    assert done.returncode == 2
    assert done.stderr.startswith(f"nibsmith: {said}")
