"""The allergen lists against the texts of law, name by name.

United States: 21 U.S.C. 321(qq)(1) as amended by Public Law 117-11 ("milk, egg, fish, Crustacean shellfish,
tree nuts, wheat, peanuts, soybeans, and sesame"); tree nuts: FDA, Questions and Answers Regarding Food
Allergens, edition 5 (January 2025), as restated by the Wisconsin Department of Agriculture, Trade and
Consumer Protection.
European Union: Regulation (EU) No 1169/2011, Annex II, points 1 to 14.
"""

from __future__ import annotations

from nibsmith.science.label import allergen_list

STATUTE = [
    "milk",
    "egg",
    "fish",
    "crustacean shellfish",
    "tree nuts",
    "wheat",
    "peanuts",
    "soybeans",
    "sesame",
]
NUTS_OF_2025 = {
    "almond",
    "black walnut",
    "Brazil nut",
    "California walnut",
    "cashew",
    "hazelnut",  # the table says filbert/hazelnut
    "heartnut",  # heartnut/Japanese walnut
    "macadamia nut",  # macadamia nut/bush nut
    "pecan",
    "pine nut",  # pine nut/pinon nut
    "pistachio",
    "walnut",  # English, Persian
}
TAKEN_OFF_IN_2025 = {"coconut", "shea", "chestnut", "beech", "hickory", "pili", "ginkgo"}
ANNEX_II = [
    "cereals containing gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soybeans",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphur dioxide and sulphites",
    "lupin",
    "molluscs",
]
ANNEX_II_NUTS = {
    "almond",
    "hazelnut",
    "walnut",
    "cashew",
    "pecan nut",
    "Brazil nut",
    "pistachio nut",
    "macadamia nut",
}


def test_the_us_list_is_that_of_the_statute_in_its_order() -> None:
    assert [group.name for group in allergen_list("us").groups.values()] == STATUTE


def test_the_us_tree_nuts_are_the_twelve_of_2025() -> None:
    nuts = set(allergen_list("us").groups["tree_nuts"].members.values())

    assert nuts == NUTS_OF_2025
    assert len(nuts) == 12
    assert not any(word in name for name in nuts for word in TAKEN_OFF_IN_2025)


def test_the_eu_list_is_annex_ii_in_its_order() -> None:
    assert [group.name for group in allergen_list("eu").groups.values()] == ANNEX_II


def test_the_eu_nuts_are_the_eight_that_annex_ii_names() -> None:
    assert set(allergen_list("eu").groups["nuts"].members.values()) == ANNEX_II_NUTS


def test_the_eu_cereals_are_wheat_rye_barley_and_oats() -> None:
    assert list(allergen_list("eu").groups["gluten"].members) == ["wheat", "rye", "barley", "oats"]


def test_sulphites_count_from_ten_milligrams_a_kilogram() -> None:
    assert allergen_list("eu").groups["sulphites"].from_mg_per_kg == 10
