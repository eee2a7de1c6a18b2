"""The law tables: every row says where it is from, and nothing in them is left unused."""

from __future__ import annotations

import pytest

from nibsmith.science.errors import InputError
from nibsmith.science.legal import Allowed, classes, judge_ingredient, jurisdictions, nib_rules, reservation
from nibsmith.science.legal.figures import BASES, FIGURES
from nibsmith.science.legal.gate import GATES
from nibsmith.science.legal.laws import SHARED, NameClass, law
from nibsmith.science.legal.verdict import STATUS_ORDER, Lack, shown
from nibsmith.science.mixture import Form
from nibsmith.science.tables import Status, load_data, load_rows

PLACES = ("codex", "eu", "uk", "us", "ca", "ch", "jp", "kr", "tw", "in", "br", "eaeu", "tr", "au-nz")
NAMES = [
    pytest.param(name, id=f"{key}-{name.key}") for key in jurisdictions() for name in classes(key).values()
]
TABLES = ("laws_names.csv", "laws_bounds.csv", "laws_ingredients.csv")


def test_the_fourteen_places_are_there() -> None:
    assert tuple(jurisdictions()) == PLACES


@pytest.mark.parametrize("table", TABLES)
def test_every_row_says_where_when_and_how_far_to_trust_it(table: str) -> None:
    for row in load_rows(table):
        assert row["jurisdiction"] in PLACES
        assert Status(row["status"]) in STATUS_ORDER
        assert row["source"]
        assert row["section"]
        assert row["date_read"] == "2026-11-25"


@pytest.mark.parametrize("name", NAMES)
def test_a_name_asks_something_that_is_known(name: NameClass) -> None:
    assert name.bounds or name.inside or name.gates
    assert name.forms
    assert set(name.gates) <= GATES.keys()
    assert set(name.inside) <= law(name.jurisdiction).classes.keys()
    for bound in name.bounds:
        assert bound.figure in FIGURES
        assert bound.basis in BASES
        assert 0 <= bound.share <= 1
        assert (bound.low is None) != (bound.high is None)


def test_every_figure_gate_and_shared_bound_is_used() -> None:
    names = [name for key in jurisdictions() for name in classes(key).values()]
    assert {bound.figure for name in names for bound in name.bounds} == set(FIGURES)
    assert {gate for name in names for gate in name.gates} == set(GATES)
    keys = {
        (row["jurisdiction"], row["key"])
        for row in load_rows("laws_bounds.csv")
        if row["key"].startswith(SHARED)
    }
    used = {
        (row["jurisdiction"], SHARED + key)
        for row in load_rows("laws_names.csv")
        for key in row["shared"].split()
    }
    assert keys == used


def test_every_bound_belongs_to_a_name() -> None:
    names = {(row["jurisdiction"], row["key"]) for row in load_rows("laws_names.csv")}
    bounds = {
        (row["jurisdiction"], row["key"])
        for row in load_rows("laws_bounds.csv")
        if not row["key"].startswith(SHARED)
    }
    assert bounds <= names


def test_ranks_are_an_order_and_every_form_has_a_name_somewhere() -> None:
    for key in jurisdictions():
        ranks = [name.rank for name in classes(key).values()]
        assert ranks == sorted(set(ranks))
    forms = {form for key in jurisdictions() for name in classes(key).values() for form in name.forms}
    assert forms == set(Form)


def test_every_figure_and_basis_has_words() -> None:
    assert set(load_data("laws")["figures"]) == set(FIGURES)  # type: ignore[call-overload]
    for key in jurisdictions():
        assert set(law(key).bases) == set(BASES)


def test_the_reservation_names_who_decides() -> None:
    assert "local authority" in reservation()


def test_a_note_goes_with_what_is_only_remembered_or_read_into_a_text() -> None:
    for row in load_rows("laws_bounds.csv"):
        if Status(row["status"]) is Status.JUDGEMENT:
            assert row["note"], row


def test_an_unknown_ingredient_has_no_rule() -> None:
    with pytest.raises(InputError, match="drinking_powder"):
        judge_ingredient("toffee", "eu", {})


def test_a_place_without_a_rule_for_nibs_gives_none() -> None:
    assert judge_ingredient("nib", "eu", {"shell": 5.0}) == ()


def test_an_ingredient_figure_that_is_not_given_is_unknown() -> None:
    (verdict,) = judge_ingredient("nib", "us", {"fat": 54.0})
    assert verdict.allowed is Allowed.UNKNOWN
    assert verdict.depends_on == "its shell is not given"


def test_one_branch_is_enough_where_the_other_is_unknown() -> None:
    # Codex: shell alone within 1.75 passes although the germ is not known; over it the germ must be told.
    (kept,) = judge_ingredient("nib", "codex", {"shell": 1.7, "fat": 54.0, "water": 2.0})
    (asked,) = judge_ingredient("nib", "codex", {"shell": 1.8, "fat": 54.0, "water": 2.0})
    assert kept.allowed is Allowed.YES
    assert asked.allowed is Allowed.UNKNOWN


def test_nib_figures_that_leave_no_dry_matter_are_refused() -> None:
    with pytest.raises(InputError, match="dry matter"):
        nib_rules(1.0, 0.5, 60.0, 40.0)


def test_a_remembered_ingredient_rule_is_off_until_asked_for() -> None:
    def low_fat(memory_rules: bool) -> Allowed:
        verdicts = judge_ingredient("powder", "ca", {"fat": 8.0}, memory_rules=memory_rules)
        return next(each.allowed for each in verdicts if each.key == "powder_low")

    assert low_fat(False) is Allowed.UNKNOWN
    assert low_fat(True) is Allowed.YES


@pytest.mark.parametrize(
    ("figures", "keys"),
    [
        ({"ffa": 1.75, "unsaponifiable": 0.35}, ["butter", "press_butter"]),
        ({"ffa": 1.75, "unsaponifiable": 0.5}, ["butter"]),
        ({"ffa": 1.8, "unsaponifiable": 0.3}, []),
    ],
)
def test_cocoa_butter_by_its_acidity_and_what_does_not_saponify(
    figures: dict[str, float], keys: list[str]
) -> None:
    # Directive 2000/36/EC, Annex I A.1 [eu-2000-36].
    assert [
        each.key for each in judge_ingredient("butter", "eu", figures) if each.allowed is Allowed.YES
    ] == keys


@pytest.mark.parametrize(
    ("jurisdiction", "powder", "key"),
    [
        ("eu", 32.0, "chocolate_powder"),
        ("eu", 31.9, "drinking_chocolate"),
        ("eu", 24.9, ""),
        ("codex", 25.0, "drinking_chocolate"),
        ("codex", 20.0, "cocoa_mix"),
        ("codex", 19.9, "cocoa_flavoured_mix"),
    ],
)
def test_drinking_powders_by_their_cocoa_powder(jurisdiction: str, powder: float, key: str) -> None:
    verdicts = judge_ingredient("drinking_powder", jurisdiction, {"cocoa_powder": powder})
    assert next((each.key for each in verdicts if each.best), "") == key


@pytest.mark.parametrize(
    ("has", "text"), [(33.5, "33.5"), (34.96, "34.96"), (34.9996, "34.9996"), (35.04, "35.04")]
)
def test_what_is_lacking_is_not_rounded_onto_the_limit(has: float, text: str) -> None:
    assert Lack("shell", 1.8, 1.75, 0.05, "", "at most").has_text == "1.8"
    assert Lack("cocoa", has, 35.0, abs(35.0 - has), "", "at least").has_text == text


@pytest.mark.parametrize(
    ("percent", "text"),
    [(0.0, "0"), (12.0, "12.0"), (1.26, "1.26"), (0.134, "0.134"), (0.00004, "4e-05"), (-3.33, "-3.3")],
)
def test_a_hair_is_not_rounded_away(percent: float, text: str) -> None:
    assert shown(percent) == text
