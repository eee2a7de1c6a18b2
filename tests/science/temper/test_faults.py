"""Faults: every sight leads somewhere, every cause can be found, and the table says what to do."""

from __future__ import annotations

import pytest

from nibsmith.science.errors import InputError
from nibsmith.science.temper import sights, suspects


@pytest.mark.parametrize("key", list(sights()))
def test_every_sight_leads_to_something_to_do(key: str) -> None:
    found = suspects({key})

    assert found
    assert all(one.cause.now and one.cause.next_time for one in found)


# The rows of practice and of the sources, as pairs of what is told and what comes first.
@pytest.mark.parametrize(
    ("told", "cause"),
    [
        ({"streaks", "soft", "sticks"}, "no_seed"),
        ({"streaks", "warm_worked"}, "no_seed"),
        ({"slow", "positive_slope"}, "no_seed"),
        ({"thickening", "quick", "dull", "grainy", "negative_slope"}, "overdone"),
        ({"dull_patches"}, "not_cooled"),
        ({"release_marks", "cold_mould"}, "mould_temperature"),
        ({"cracks", "hard_cooled"}, "cooled_hard"),
        ({"rough_film"}, "condensation"),
        ({"late_bloom", "warm_store"}, "storage"),
        ({"late_bloom", "nuts"}, "nut_oil"),
        ({"seized"}, "water"),
        ({"melted_grains"}, "scorched"),
        ({"cool_worked", "dull"}, "form_iv"),
        ({"lumps"}, "unmelted_seed"),
    ],
)
def test_what_is_told_points_at_its_cause_first(told: set[str], cause: str) -> None:
    assert suspects(told)[0].cause.key == cause


def test_a_sight_against_a_cause_takes_it_back() -> None:
    with_both = suspects({"dull", "slow"})

    assert with_both[0].cause.key == "no_seed"
    assert "overdone" not in [one.cause.key for one in with_both]


def test_what_would_settle_it_is_told() -> None:
    first = suspects({"streaks"})[0]

    assert {sight.key for sight in first.told_for} == {"streaks"}
    assert "slow" in {sight.key for sight in first.look_for}


def test_every_cause_names_sights_that_exist() -> None:
    known = set(sights())
    for one in suspects(known):
        assert one.cause.speaks_for | one.cause.speaks_against <= known


def test_an_unknown_sight_is_refused_with_those_that_exist() -> None:
    with pytest.raises(InputError, match="streaks"):
        suspects({"sparkles"})


def test_nothing_told_suspects_nothing() -> None:
    assert suspects(set()) == ()
