"""Every bound of every law, met exactly and missed by a hair, on compositions of pure constituents.

The compositions come out of scipy's linear solver and a second, plain reading of what each figure and basis
counts, written down here. Only the numbers of the bounds come from the tables; those are typed twice
elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import linprog

from nibsmith.science.legal import Allowed, judge
from nibsmith.science.legal.laws import Bound, NameClass, classes, jurisdictions
from nibsmith.science.mixture import Form, Grind, Ingredient, Kind, Recipe, Stage, own_ingredient, part

HAIR = 1e-6  # a bound is missed by a ten-thousandth of a percent
DRY = {"water_g": 0.0, "fat_g": 0.0}
FAT = {"water_g": 0.0, "fat_g": 100.0}


def _own(name: str, kind: Kind, sheet: Mapping[str, float], **facts: object) -> Ingredient:
    return own_ingredient(name, kind, sheet, **facts)


@dataclass(frozen=True)
class Pure:
    """A constituent on its own: the ingredient and where it goes."""

    of: Ingredient
    stage: Stage = Stage.START
    grind: Grind = Grind.REFINED


PURE = {
    "butter": Pure(_own("pure cocoa butter", Kind.BUTTER, FAT)),
    "lean": Pure(_own("pure fat-free cocoa", Kind.MASS, DRY)),
    "milkfat": Pure(_own("pure milk fat", Kind.MILK, FAT)),
    "buttermilk": Pure(_own("pure buttermilk", Kind.MILK, DRY, tags=frozenset({"buttermilk"}))),
    "milklean": Pure(_own("pure milk solids", Kind.MILK, DRY)),
    "milklean2": Pure(_own("other milk solids", Kind.MILK, DRY)),
    "whey": Pure(
        _own(
            "pure whey",
            Kind.MILK,
            {**DRY, "milk_fat_g": 0.0, "milk_solids_nonfat_g": 0.0, "whey_solids_nonfat_g": 100.0},
        )
    ),
    "sugar": Pure(_own("pure sugar", Kind.SUGAR, DRY), grind=Grind.COARSE),
    "icing": Pure(_own("icing sugar", Kind.SUGAR, DRY, tags=frozenset({"may_hold_starch"}))),
    "flour": Pure(_own("pure maize starch", Kind.FLOUR, DRY)),
    "emulsifier": Pure(_own("pure emulsifier", Kind.EMULSIFIER, FAT)),
    "shea": Pure(_own("pure shea fat", Kind.VEGETABLE_FAT, FAT)),
    "lard": Pure(_own("pure lard", Kind.OTHER_FOOD, FAT, tags=frozenset({"animal_fat"}))),
    "hazel": Pure(
        _own("hazelnut paste", Kind.OTHER_FOOD, FAT, tags=frozenset({"nut"}), allergens_eu=("nuts:hazelnut",))
    ),
    "nuts": Pure(_own("nuts", Kind.OTHER_FOOD, FAT, tags=frozenset({"nut"})), Stage.FOLDED_IN, Grind.PIECES),
    "fruit": Pure(_own("fruit", Kind.OTHER_FOOD, DRY), Stage.FOLDED_IN, Grind.PIECES),
    "wet": Pure(_own("water", Kind.FLAVOURING, {"water_g": 100.0, "fat_g": 0.0})),
    "filling": Pure(_own("filling", Kind.OTHER_FOOD, FAT), Stage.FILLING),
}
NAMES = list(PURE)
OTHER_FOODS = {"hazel", "nuts", "fruit", "lard"}
IN_PIECES = {"nuts", "fruit"}
EVERYTHING = set(NAMES)
# What each jurisdiction takes off before its figures are worked out.
TAKEN_OFF = {
    "codex": OTHER_FOODS,
    "in": OTHER_FOODS,
    "eaeu": OTHER_FOODS,
    "eu": OTHER_FOODS | {"wet"},
    "uk": OTHER_FOODS | {"wet"},
    "tr": OTHER_FOODS | {"wet"},
    "ch": OTHER_FOODS | {"wet", "emulsifier"},
    "us": IN_PIECES,
    "ca": IN_PIECES,
    "jp": IN_PIECES,
    "kr": IN_PIECES,
    "tw": IN_PIECES,
    "br": set(),
    "au-nz": set(),
}
COCOA, MILK = {"butter", "lean"}, {"milkfat", "buttermilk", "milklean", "milklean2"}
FIGURE = {
    "tdcs": COCOA,
    "cb": {"butter"},
    "ffdcs": {"lean"},
    "mf": {"milkfat"},
    "ms": MILK,
    "ms_listed": MILK - {"buttermilk"},
    "msnf": MILK - {"milkfat"},
    "law_fat": {"butter", "milkfat"},
    "any_fat": {"butter", "milkfat", "shea", "lard", "hazel", "nuts", "filling"},
    "other_oils": {"shea", "lard"},
    "vf": {"shea"},
    "cpm": COCOA | MILK,
    "water": {"wet"},
    "liquor": {"lean"},
    "cocoa_weighed": COCOA,
    "sweet": {"sugar", "icing"},
    "flour": {"flour"},
    "emulsifier": {"emulsifier"},
    "starch_sugar": {"icing"},
    "animal_fat": {"lard"},
    "nonbutter_cocoa": {"lean"},
    "whey": {"whey"},
    "hazel": {"hazel"},
    "nuts": {"hazel", "nuts"},
    "oef": OTHER_FOODS,
    "oef_not_nuts": {"fruit", "lard"},
    "chocolate": EVERYTHING,
    "shell": EVERYTHING,
}


def inside(basis: str, jurisdiction: str) -> set[str]:
    if basis == "whole":
        return EVERYTHING
    if basis == "foodless":
        return EVERYTHING - {"filling"} - OTHER_FOODS
    if basis == "shell":
        return EVERYTHING - {"filling"}
    return EVERYTHING - {"filling"} - TAKEN_OFF[jurisdiction]


def rows(bound: Bound, jurisdiction: str) -> tuple[np.ndarray, np.ndarray]:
    """Return what each pure constituent counts towards the figure and its basis."""
    within = inside(bound.basis, jurisdiction)
    counted = FIGURE[bound.figure] & within
    if bound.figure == "oef":
        counted &= TAKEN_OFF[jurisdiction]
    if bound.figure in {"chocolate", "shell"}:
        counted = inside("part", jurisdiction)
    times = 2.2 if bound.figure == "liquor" else 1.0  # 21 CFR 163.123(b): (liquor - its fat) x 2.2
    dry = within - {"wet"} if bound.basis == "dry" else within
    return (
        np.array([times if name in counted else 0.0 for name in NAMES]),
        np.array([1.0 if name in dry else 0.0 for name in NAMES]),
    )


class Implied(Exception):
    """No composition misses a bound while it keeps the others: they ask for more."""


MUST_HOLD = {
    "milk": {"milkfat": 0.5, "milklean": 0.5},
    "flour": {"flour": 0.5},
    "ground_hazelnut": {"hazel": 0.5},
    "filling": {"filling": 0.5},
    "vegetable_fat": {"shea": 0.5},
    "buttermilk": {"buttermilk": 0.5},
    "sugar": {"sugar": 0.5},
    "coarse_sugar": {"sugar": 0.5},
    "only_cocoa": {"butter": 0.5, "lean": 0.5},
}
MUST_NOT_HOLD = {
    "plain": {"filling"},
    "whole": IN_PIECES,
    "only_cocoa": EVERYTHING - COCOA - IN_PIECES,
    "buttermilk": set(),
    "skim_milk": {"milkfat"},
}


def box(of: NameClass, gates: Iterable[str], figure: str) -> list[tuple[float, float]]:
    """Return the least and the most of each constituent that the gates of a name leave."""
    gates = set(gates)
    least = {name: amount for gate in gates for name, amount in MUST_HOLD.get(gate, {}).items()}
    least |= {"sugar": 0.5} if "only_cocoa" not in gates else {}
    if "dairy_parts" in gates:
        least |= {"milkfat": 3.0, "milklean": 3.0, "milklean2": 3.0}
    none = {name for gate in gates for name in MUST_NOT_HOLD.get(gate, set())}
    if "dairy_parts" not in gates:
        none |= {"milklean2"}
    if "buttermilk" not in gates:
        none |= {"buttermilk"}
    if "skim_milk" in gates:
        least.pop("milkfat")
    if "fat_list" in gates and figure != "vf":
        none |= {"shea"}
    if "composite" in gates:
        least |= {"fruit": 0.5}
        none -= IN_PIECES
    most = {"milkfat": 6.0, "milklean": 6.0, "milklean2": 6.0} if "dairy_parts" in gates else {}
    return [(least.get(name, 0.0), 0.0 if name in none else most.get(name, 100.0)) for name in NAMES]


def inner_of(of: NameClass) -> NameClass | None:
    return classes(of.jurisdiction)[of.inside[0]] if of.inside else None


def _same(one: Bound, other: Bound) -> bool:
    return (one.figure, one.basis, one.share) == (other.figure, other.basis, other.share)


def hides(other: Bound, bound: Bound) -> bool:
    """Whether a doubt about other foods sets in before a least share of chocolate is reached."""
    return bool(other.doubt) and other.figure == "oef" and bound.figure == "chocolate"


def composition(of: NameClass, bound: Bound, share: float) -> np.ndarray:
    """Find 100 g on which a bound stands at a share and the other bounds hold with room to spare."""
    inner = inner_of(of)
    others = [each for each in of.bounds if each is not bound and not hides(each, bound)]
    gates = list(of.gates)
    if inner is not None:
        others += [each for each in inner.bounds if each.basis != "whole" and not _same(each, bound)]
        gates += [gate for gate in inner.gates if gate not in {"plain", "whole"}]
    less, room = [], []
    # One variable is the room that all leave, another the room of strict ones, where the first must be none.
    for each in others:
        top, bottom = rows(each, of.jurisdiction)
        over = top - each.share * bottom
        less.append(-over if each.least else over)
        room.append([float(each.share > 0), float(each.strict)])
    top, bottom = rows(bound, of.jurisdiction)
    equal = [[*(top - share * bottom), 0.0, 0.0], [*np.ones(len(NAMES)), 0.0, 0.0]]
    result = linprog(
        [*np.zeros(len(NAMES)), -1.0, -1.0],
        A_ub=np.column_stack([np.array(less).reshape(len(others), -1), np.array(room)]) if others else None,
        b_ub=np.zeros(len(others)) if others else None,
        A_eq=np.array(equal),
        b_eq=np.array([0.0, 100.0]),
        bounds=[*box(of, gates, bound.figure), (0.0, 0.5), (0.0, 0.5)],
    )
    if result.status != 0:
        raise Implied
    return np.maximum(result.x[:-2], 0.0)


def on_the_bound(amounts: np.ndarray, bound: Bound, jurisdiction: str, share: float) -> np.ndarray:
    """Move the weightiest constituent so that the bound stands at the share to the last digit of a float."""
    top, bottom = rows(bound, jurisdiction)
    row = top - share * bottom
    index = int(np.argmax(np.abs(row) * (amounts > 0)))
    exact = amounts.copy()
    exact[index] = (
        -(row @ amounts - row[index] * amounts[index]) / row[index] if share > 0 else amounts[index]
    )
    return exact


def recipe(amounts: np.ndarray, form: Form) -> Recipe:
    parts = tuple(
        part(PURE[name].of, float(amount), label=name, stage=PURE[name].stage, grind=PURE[name].grind)
        for name, amount in zip(NAMES, amounts, strict=True)
        if amount > 0
    )
    return Recipe("pure", form, parts)


def form_of(of: NameClass) -> Form:
    return next(form for form in Form if form in of.forms)


def judged(of: NameClass, bound: Bound, share: float) -> Allowed:
    amounts = on_the_bound(composition(of, bound, share), bound, of.jurisdiction, share)
    verdicts = judge(recipe(amounts, form_of(of)), of.jurisdiction, memory_rules=True)
    return next(verdict.allowed for verdict in verdicts if verdict.key == of.key)


CASES = [
    pytest.param(
        of, bound, id=f"{key}-{of.key}-{bound.figure}-{bound.side.replace(' ', '_')}-{bound.share:.4g}"
    )
    for key in jurisdictions()
    for of in classes(key).values()
    for bound in of.bounds
    # An absent constituent at zero is tried by every other case.
    if bound.share > 0
]


# Bounds that are never missed alone, because the others of their name add up to them: 18 + 12 = 30.
IMPLIED = {
    ("codex", "sweet", "tdcs"),
    ("codex", "familiar_taza", "tdcs"),
    ("codex", "para_mesa", "tdcs"),
    ("codex", "para_mesa_bitter", "tdcs"),
    ("eu", "familiar_taza", "tdcs"),
    ("uk", "familiar_taza", "tdcs"),
    ("ca", "sweet", "tdcs"),
    ("kr", "chocolate", "tdcs"),
    # Nuts are other foods, and both may be 60 % of a gianduja at the most; 20 of these are hazelnuts.
    ("codex", "gianduja", "oef_not_nuts"),
    ("eu", "gianduja", "oef_not_nuts"),
    ("uk", "gianduja", "oef_not_nuts"),
    ("codex", "gianduja", "nuts"),
    ("codex", "gianduja_milk_high", "nuts"),
    ("codex", "gianduja_milk_low", "nuts"),
    ("eu", "gianduja", "nuts"),
    ("eu", "gianduja_milk", "nuts"),
    ("uk", "gianduja", "nuts"),
    ("uk", "gianduja_milk", "nuts"),
}
# Bounds that the others even pass: 25 fat, at most 1 of it milk's, and 2.5 fat-free cocoa make 26.5 over 25.
PASSED = {
    ("eu", "skimmed", "tdcs"),
    ("uk", "skimmed", "tdcs"),
    ("jp", "white", "cb"),
    ("jp", "white_basic", "cb"),
    ("us", "skim_milk", "mf"),  # skim milk alone never brings so much
}


def place(of: NameClass, bound: Bound) -> tuple[str, str, str]:
    return of.jurisdiction, of.key, bound.figure


def kept(of: NameClass, bound: Bound | None = None) -> Allowed:
    # Where the list of vegetable fats was not seen, a name that holds any depends on it.
    if bound is not None and bound.figure == "vf" and "fat_list" in of.gates:
        return Allowed.DEPENDS
    if of.incomplete:
        return Allowed.UNKNOWN
    doubted = bound is not None and any(hides(each, bound) for each in of.bounds)
    return Allowed.DEPENDS if doubted else Allowed.YES


def missed(of: NameClass, bound: Bound) -> Allowed:
    if bound.doubt:
        return Allowed.UNKNOWN if of.incomplete else Allowed.DEPENDS
    return Allowed.NO


@pytest.mark.parametrize(("of", "bound"), CASES)
def test_just_on_the_limit_is_inside_unless_it_is_strict(of: NameClass, bound: Bound) -> None:
    if place(of, bound) in PASSED:
        with pytest.raises(Implied):
            judged(of, bound, bound.share)
    else:
        assert judged(of, bound, bound.share) is (missed(of, bound) if bound.strict else kept(of, bound))


@pytest.mark.parametrize(("of", "bound"), CASES)
def test_a_hair_inside_passes_and_a_hair_outside_fails(of: NameClass, bound: Bound) -> None:
    inwards = HAIR if bound.least else -HAIR
    if place(of, bound) not in PASSED:
        assert judged(of, bound, bound.share + inwards) is kept(of, bound)
    if place(of, bound) in IMPLIED | PASSED:
        with pytest.raises(Implied):
            judged(of, bound, bound.share - inwards)
    else:
        assert judged(of, bound, bound.share - inwards) is missed(of, bound)


NOTHING_ALLOWED = [
    pytest.param(of, bound, id=f"{key}-{of.key}-{bound.figure}")
    for key in jurisdictions()
    for of in classes(key).values()
    for bound in of.bounds
    if bound.share == 0 and not bound.least
]
SOME_ASKED = [
    pytest.param(of, bound, id=f"{key}-{of.key}-{bound.figure}")
    for key in jurisdictions()
    for of in classes(key).values()
    for bound in of.bounds
    if bound.share == 0 and bound.least
]


@pytest.mark.parametrize(("of", "bound"), SOME_ASKED)
def test_none_of_what_must_be_there_takes_the_name_away_and_a_trace_keeps_it(
    of: NameClass, bound: Bound
) -> None:
    form = form_of(of)
    without = composition(of, bound, 0.0)
    trace = without.copy()
    trace[NAMES.index(next(iter(sorted(FIGURE[bound.figure]))))] += 0.001

    def allowed(amounts: np.ndarray) -> Allowed:
        verdicts = judge(recipe(amounts, form), of.jurisdiction, memory_rules=True)
        return next(verdict.allowed for verdict in verdicts if verdict.key == of.key)

    assert allowed(without) is Allowed.NO
    assert allowed(trace) is kept(of)


@pytest.mark.parametrize(("of", "bound"), NOTHING_ALLOWED)
def test_a_trace_of_what_must_be_absent_takes_the_name_away(of: NameClass, bound: Bound) -> None:
    # Any other bound gives a composition that keeps the name; a trace of what is barred is added to it.
    useful = (each for each in of.bounds if each.share > 0 and not each.doubt and each.figure != "vf")
    other = next(each for each in useful if place(of, each) not in PASSED)
    inwards = 0.001 if other.least else -0.001
    amounts = composition(of, other, other.share + inwards)
    name = next(iter(sorted(FIGURE[bound.figure])))
    trace = amounts.copy()
    trace[NAMES.index(name)] += 0.001

    def allowed(of_amounts: np.ndarray) -> Allowed:
        verdicts = judge(recipe(of_amounts, form_of(of)), of.jurisdiction, memory_rules=True)
        return next(verdict.allowed for verdict in verdicts if verdict.key == of.key)

    assert allowed(amounts) is kept(of)
    assert allowed(trace) is Allowed.NO


def test_every_bound_of_the_tables_is_tried() -> None:
    bounds = {id(bound) for key in jurisdictions() for of in classes(key).values() for bound in of.bounds}
    tried = {id(case.values[1]) for case in (*CASES, *NOTHING_ALLOWED, *SOME_ASKED)}
    assert bounds == tried
