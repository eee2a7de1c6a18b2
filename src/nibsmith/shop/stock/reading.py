"""What an ingredient's page says: every figure with its unit, where it is from, and what is not known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.keep import is_liquid, is_wet_food
from nibsmith.science.label import Where, cautions
from nibsmith.science.mixture import COCOA_KINDS, Form, Ingredient, Kind, Leaf, Recipe, Span, brought_by, part
from nibsmith.science.quantities import DecimalSign
from nibsmith.science.tables import STATUS_WORDS
from nibsmith.shop.common.figures import UNKNOWN, as_given, rounded, with_unit
from nibsmith.shop.stock.words import COLUMN_UNITS, COLUMNS, TRAITS, WATER_RISKS, allergen_words

TENTH = Decimal("0.1")
ONE = Decimal(1)
SUMMED = ("water_g", "protein_g", "fat_g", "carb_g", "ash_g", "alcohol_g")

# What is worked out of the constituents: (property, name, unit, step).
_WORKED_OUT: tuple[tuple[str, str, str, Decimal], ...] = (
    ("dry_cocoa_solids", "dry cocoa solids", "g", TENTH),
    ("cocoa_butter", "cocoa butter", "g", TENTH),
    ("fat_free_dry_cocoa_solids", "fat-free dry cocoa solids", "g", TENTH),
    ("milk_solids", "milk solids", "g", TENTH),
    ("milk_fat", "milk fat", "g", TENTH),
    ("added_sugars", "added sugars", "g", TENTH),
    ("energy_eu_kj", "energy by the EU factors", "kJ", ONE),
    ("energy_eu", "the same in kilocalories", "kcal", ONE),
    ("energy_us", "energy by the US general factors", "kcal", ONE),
)
_COCOA = frozenset({"dry_cocoa_solids", "cocoa_butter", "fat_free_dry_cocoa_solids"})
_MILK = frozenset({"milk_solids", "milk_fat"})

LARGE, SHOWN_DECIMALS = 100, 1  # so large a figure is shown to a tenth; more digits come of a calculation


@dataclass(frozen=True, slots=True)
class Line:
    """One figure as it is shown; ``within`` says that it is counted inside the line above."""

    name: str
    text: str
    range_text: str = ""
    within: bool = False


@dataclass(frozen=True, slots=True)
class Closing:
    """What water, protein, fat, carbohydrate, ash and alcohol come to, and which of them are missing."""

    text: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """An ingredient put into words and figures."""

    given: tuple[Line, ...]
    unknown: tuple[str, ...]
    worked_out: tuple[Line, ...]
    closing: Closing
    source: str
    status: str
    water: str
    water_risk: str
    allergens_us: tuple[str, ...]
    allergens_eu: tuple[str, ...]
    traits: tuple[str, ...]
    cautions: tuple[str, ...]
    shell: str
    germ: str


def read(thing: Ingredient, sign: DecimalSign | None = None) -> Reading:
    """Put an ingredient into words and figures."""
    known = thing.composition
    return Reading(
        given=tuple(_given(column, name, thing, sign) for column, name, _ in COLUMNS if column in known),
        unknown=tuple(
            _bare(name) for column, name, _ in COLUMNS if column not in known and _asked(column, thing)
        ),
        worked_out=tuple(_worked_out(thing, sign)),
        closing=_closing(known, sign),
        source=thing.source,
        status=STATUS_WORDS[thing.status],
        water=with_unit(as_given(known["water_g"], sign), "g") if "water_g" in known else UNKNOWN,
        water_risk=_water_risk(thing),
        allergens_us=_words(thing.allergens_us, allergen_words("us")),
        allergens_eu=_words(thing.allergens_eu, allergen_words("eu")),
        traits=_words(sorted(thing.tags), TRAITS),
        cautions=_cautions(thing),
        shell=_share(thing.shell_percent, sign),
        germ=_share(thing.germ_percent, sign),
    )


def _share(percent: float | None, sign: DecimalSign | None) -> str:
    return "" if percent is None else with_unit(as_given(percent, sign), "%")


def _given(column: str, name: str, thing: Ingredient, sign: DecimalSign | None) -> Line:
    unit = COLUMN_UNITS[column]
    value = thing.composition[column]
    shown = round(value, SHOWN_DECIMALS) if value >= LARGE else value
    text = with_unit(as_given(shown, sign), unit)
    span = ""
    if column == "fat_g" and thing.fat_low_g is not None and thing.fat_high_g is not None:
        ends = f"{as_given(thing.fat_low_g, sign)} to {as_given(thing.fat_high_g, sign)}"
        span = with_unit(ends, unit)
    return Line(_bare(name), text, span, within=name.startswith("of which "))


def _worked_out(thing: Ingredient, sign: DecimalSign | None) -> Iterable[Line]:
    brings = brought_by(thing, thing.kind)
    for key, name, unit, step in _WORKED_OUT:
        if (key in _COCOA and thing.kind not in COCOA_KINDS) or (key in _MILK and thing.kind != Kind.MILK):
            continue
        span = brings[key]
        if span is None:
            yield Line(name, UNKNOWN)
        else:
            yield _of_span(name, span.times(100), unit, (step, sign))


def _of_span(name: str, span: Span, unit: str, shown: tuple[Decimal, DecimalSign | None]) -> Line:
    low, value, high = (rounded(end, *shown) for end in (span.low, span.value, span.high))
    return Line(name, with_unit(value, unit), with_unit(f"{low} to {high}", unit) if low != high else "")


def _closing(known: Mapping[str, float], sign: DecimalSign | None) -> Closing:
    total = sum((Decimal(repr(known[column])) for column in SUMMED if column in known), Decimal(0))
    names = {column: name for column, name, _ in COLUMNS}
    missing = [_bare(names[column]) for column in SUMMED[:-1] if column not in known]
    return Closing(with_unit(as_given(total, sign), "g"), tuple(missing))


def _asked(column: str, thing: Ingredient) -> bool:
    """Whether the absence of a figure says something: what stands for cocoa or milk matters only there."""
    if column in ("cocoa_butter_g", "cocoa_fat_free_dry_g", "polyols_kcal_per_g"):
        return False
    milk = ("milk_fat_g", "milk_solids_nonfat_g", "whey_solids_nonfat_g")
    return column not in milk or thing.kind == Kind.MILK


def _water_risk(thing: Ingredient) -> str:
    if thing.water_risk:
        return WATER_RISKS[thing.water_risk]
    leaf = _leaf(thing)
    if is_liquid(leaf) or is_wet_food(leaf):
        return WATER_RISKS["high"]
    return "counted in every recipe" if "water_g" in thing.composition else WATER_RISKS[""]


def _cautions(thing: Ingredient) -> tuple[str, ...]:
    """What has to be minded about this ingredient, without what holds for every one."""
    alone, leaf = _alone(thing), _leaf(thing)
    found = (caution for where in Where for caution in cautions(alone, where))
    return tuple(dict.fromkeys(caution.sentence for caution in found if caution.brought_up_by(leaf)))


def _alone(thing: Ingredient) -> Recipe:
    return Recipe(thing.name, Form.BAR, (part(thing, 1.0, label=thing.name),))


def _leaf(thing: Ingredient) -> Leaf:
    return next(_alone(thing).leaves())


def _bare(name: str) -> str:
    return name.removeprefix("of which ")


def _words(keys: Iterable[str], words: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(words.get(key, key) for key in keys)
