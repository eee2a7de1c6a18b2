"""One figure of the mix opened: the formula, what each ingredient brings, and where that is from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from nibsmith.science.mixture import BASIS_WORDS, PROPERTIES, Leaf, Mixture, Span, as_weighed, brought_by
from nibsmith.science.tables import STATUS_WORDS
from nibsmith.shop.common.figures import rounded
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.figure_table import OF_FAT, FigureRow, bases_of, figure_table
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_answers import step_of
from nibsmith.shop.recipes.written import Weight, weight

SUM = "add up, over all ingredients, weight × what 100 g of it bring; divide by the weight of the basis"
BRINGS: Mapping[str, str] = MappingProxyType(
    {
        "cocoa_as_weighed": "cocoa parts bring their whole weight: nibs, mass, butter, powder",
        "dry_cocoa_solids": "cocoa butter and fat-free dry cocoa solids together",
        "cocoa_butter": "the fat of cocoa parts; of a bought chocolate what its sheet says",
        "fat_free_dry_cocoa_solids": "of cocoa parts what is neither water nor fat",
        "milk_fat": "the fat of milk parts",
        "milk_solids": "milk fat and fat-free dry milk solids together",
        "milk_solids_nonfat": "of milk parts what is neither water, fat nor added sugar",
        "other_fat": "fat that is neither cocoa butter nor milk fat, emulsifier left out",
        "total_fat": "cocoa butter, milk fat and other fat; emulsifier is counted on its own",
        "law_fat": "cocoa butter and milk fat",
        "added_sugars": "all of a sugar; none of cocoa and milk; of other foods what their sheet says",
        "emulsifier": "emulsifiers bring their whole weight",
        "energy_us": "protein, fat, carbohydrate and alcohol by the US general factors, polyols by their own",
        "energy_eu": "protein, fat, carbohydrate without fibre, fibre, polyols and alcohol by the EU factors",
        "energy_eu_kj": "protein, fat, carbohydrate without fibre, fibre, polyols, alcohol by the EU factors",
    }
)
FAT_FORMULA = "cocoa butter divided by total fat without emulsifier"


@dataclass(frozen=True, slots=True)
class Input:
    """What one ingredient brings."""

    name: str
    weight: Weight
    in_100_g: str
    brings: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class OpenedFigure:
    """A figure with its formula, its value on each basis, and its inputs."""

    words: str
    formula: str
    brings: str
    unit: str
    values: tuple[tuple[str, str, str], ...]
    inputs: tuple[Input, ...]


def open_figure(opened: Opened, key: str, settings: WorkshopSettings) -> OpenedFigure:
    """Open one figure of a recipe."""
    row = _row(opened, key, settings)
    bases = [BASIS_WORDS[mixture.basis] for mixture in bases_of(opened)]
    values = tuple((basis, cell.text, cell.range) for basis, cell in zip(bases, row.cells, strict=True))
    read_key = "cocoa_butter" if key == OF_FAT else key
    unit = PROPERTIES[read_key].unit
    return OpenedFigure(
        words=row.words,
        formula=FAT_FORMULA if key == OF_FAT else SUM,
        brings=BRINGS.get(read_key, f"{PROPERTIES[read_key].words} as its table or sheet gives it"),
        unit=unit,
        values=values,
        inputs=tuple(_inputs(as_weighed(opened.recipe), read_key, settings)),
    )


def _row(opened: Opened, key: str, settings: WorkshopSettings) -> FigureRow:
    return figure_table(opened, settings, (key,), zeros=True).rows[0]


def _inputs(mixture: Mixture, key: str, settings: WorkshopSettings) -> Iterable[Input]:
    for leaf in mixture.leaves:
        span = brought_by(leaf.ingredient, leaf.kind)[key]
        yield Input(
            name=_name(leaf),
            weight=weight(leaf.mass_g, settings),
            in_100_g="not known" if span is None else _span(span.times(100), settings),
            brings="not known" if span is None else _number(span.value * leaf.mass_g, settings),
            source=leaf.ingredient.source or "your own sheet",
            status=STATUS_WORDS[leaf.ingredient.status],
        )


def _name(leaf: Leaf) -> str:
    if leaf.part.of is leaf.ingredient:
        return leaf.ingredient.name
    return f"{leaf.ingredient.name}, in {leaf.part.name}"


def _span(span: Span, settings: WorkshopSettings) -> str:
    value = _number(span.value, settings)
    if not span.varies:
        return value
    return f"{value} ({_number(span.low, settings)} to {_number(span.high, settings)})"


def _number(value: float, settings: WorkshopSettings) -> str:
    return rounded(value, step_of(value), settings.decimal_sign)
