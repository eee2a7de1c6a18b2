"""The figures of the mix, each as a share of a named basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.mixture import (
    BASIS_WORDS,
    PROPERTIES,
    Mixture,
    as_weighed,
    finished,
    product,
)
from nibsmith.shop.common.figures import rounded
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_answers import step_of
from nibsmith.shop.recipes.written import TENTH

OF_FAT = "cocoa_butter_of_fat"
OF_FAT_WORDS = "cocoa butter in the fat"
MAIN = (
    "cocoa_as_weighed",
    "dry_cocoa_solids",
    "cocoa_butter",
    "fat_free_dry_cocoa_solids",
    "milk_fat",
    "milk_solids",
    "other_fat",
    "total_fat",
    OF_FAT,
    "added_sugars",
    "sugars",
    "polyols",
    "emulsifier",
    "water",
)
SAME = 5e-4  # mixtures whose masses differ by less than this share show the same tenths of a percent


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure on one basis: typical value and range as texts."""

    text: str
    range: str = ""


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One property on every basis; ``missing`` are the ingredients that do not give it."""

    key: str
    words: str
    cells: tuple[Cell, ...]
    missing: str = ""


@dataclass(frozen=True, slots=True)
class FigureTable:
    """The bases that differ, and the properties that are not nothing."""

    bases: tuple[str, ...]
    rows: tuple[FigureRow, ...]


def figure_table(
    opened: Opened, settings: WorkshopSettings, keys: Sequence[str] = MAIN, *, zeros: bool = False
) -> FigureTable:
    """Return properties of a recipe as weighed, of its finished mass, and of the bar with inclusions."""
    mixtures = bases_of(opened)
    rows = [_row(key, mixtures, settings) for key in keys if zeros or _is_something(key, mixtures)]
    return FigureTable(tuple(BASIS_WORDS[mixture.basis] for mixture in mixtures), tuple(rows))


def bases_of(opened: Opened) -> list[Mixture]:
    """Return the mixtures whose figures differ: one, where no water leaves and nothing is folded in."""
    end_water = opened.context.end_water
    everything = as_weighed(opened.recipe)
    try:
        mass, bar = finished(opened.recipe, end_water), product(opened.recipe, end_water)
    except UnknownFigure:
        mass, bar = finished(opened.recipe), product(opened.recipe)
    found = [everything]
    for mixture in (mass, bar):
        if all(_differ(mixture, other) for other in found):
            found.append(mixture)
    return found


def _differ(one: Mixture, other: Mixture) -> bool:
    return abs(one.mass_g - other.mass_g) > SAME * other.mass_g


def _is_something(key: str, mixtures: Sequence[Mixture]) -> bool:
    if key == OF_FAT:
        return _fat_is_mixed(mixtures[0])
    return any(not mixture.knows(key) or mixture.amount(key).high > 0 for mixture in mixtures)


def _fat_is_mixed(mixture: Mixture) -> bool:
    known = mixture.knows("total_fat") and mixture.knows("cocoa_butter")
    return known and mixture.amount("cocoa_butter").value < mixture.amount("total_fat").value


def _row(key: str, mixtures: Sequence[Mixture], settings: WorkshopSettings) -> FigureRow:
    if key == OF_FAT:
        cells = tuple(_of_fat(mixture, settings) for mixture in mixtures)
        return FigureRow(key, OF_FAT_WORDS, cells)
    unit = PROPERTIES[key].unit
    words = PROPERTIES[key].words if unit == "g" else f"{PROPERTIES[key].words}, {unit} in 100 g"
    cells = tuple(_cell(key, mixture, settings) for mixture in mixtures)
    return FigureRow(key, words, cells, ", ".join(_missing(key, mixtures)))


def _missing(key: str, mixtures: Sequence[Mixture]) -> tuple[str, ...]:
    for mixture in mixtures:
        try:
            mixture.amount(key)
        except UnknownFigure as error:
            return error.missing
    return ()


def _of_fat(mixture: Mixture, settings: WorkshopSettings) -> Cell:
    if not (mixture.knows("total_fat") and mixture.knows("cocoa_butter")):
        return Cell("not known")
    return Cell(f"{rounded(mixture.cocoa_butter_of_fat() * 100, TENTH, settings.decimal_sign)} %")


def _cell(key: str, mixture: Mixture, settings: WorkshopSettings) -> Cell:
    if not mixture.knows(key):
        return Cell("not known")
    figure = mixture.figure(key)
    sign = settings.decimal_sign
    step = TENTH if figure.unit == "%" else step_of(figure.value)
    unit = "\u00a0%" if figure.unit == "%" else ""
    low, value, high = (rounded(number, step, sign) for number in (figure.low, figure.value, figure.high))
    return Cell(f"{value}{unit}", f"{low}–{high}" if low != high else "")
