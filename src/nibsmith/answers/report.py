"""Everything known about a recipe as one document; docs/howto/command-line.md describes its keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.answer import Answer, Remedy
from nibsmith.answers.call_it import Earned
from nibsmith.answers.context import Context
from nibsmith.answers.figure_keys import BUTTER_OF_FAT, figure_key
from nibsmith.answers.leaving import leaving_of
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import FigureChange, inclusions_of
from nibsmith.science.legal import NameVerdict
from nibsmith.science.mixture import (
    PROPERTIES,
    Basis,
    Ingredient,
    Mixture,
    Recipe,
    as_weighed,
    finished,
    in_machine,
    product,
)

AS_WEIGHED = "cocoa_as_weighed"  # counted on the scale: no water that leaves moves it
DIGITS = 6  # decimals in the document: a microgram in grams, far under any scale

Json = dict[str, object]
NO_MASSES: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True)
class Extras:
    """What the document holds besides the recipe and its answers.

    ``names`` are the verdicts on names; ``weigh`` is what goes on the scale where it differs from the recipe;
    ``weigh_g`` the same to the step of the scale [g]; ``bowl`` is what is in the bowl as a recipe;
    ``batch_limit`` the stock that runs out first, ``left_over`` what is left of the shelf; ``ways_out`` the
    ways out of a bowl that does not fit; ``remarks`` sentences to show.
    """

    names: Sequence[Mapping[str, object]] = ()
    weigh: Recipe | None = None
    weigh_g: Mapping[str, float] = field(default_factory=lambda: NO_MASSES)
    bowl: Recipe | None = None
    batch_limit: str | None = None
    left_over: Sequence[Mapping[str, object]] = ()
    ways_out: Sequence[Mapping[str, object]] = ()
    remarks: tuple[str, ...] = ()


NOTHING_MORE = Extras()


def report(
    recipe: Recipe, context: Context, *, answers: Iterable[Answer] = (), extras: Extras = NOTHING_MORE
) -> Json:
    """Return the document of a recipe.

    Parameters
    ----------
    recipe : Recipe
        The recipe at its size.
    context : Context
        The workshop around it.
    answers : iterable of Answer
        The answers to show.
    extras : Extras
        What the command worked out besides.

    Returns
    -------
    dict
        Plain values for ``json.dumps``; numbers rounded to six decimals, unknown figures ``None``.

    Raises
    ------
    InputError
        If nothing in the recipe goes into the machine.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> report(bar, Context())["parts"][0]["share_percent"]
    70.0
    """
    ground, whole = mass_of(recipe, context), product_of(recipe, context)
    weigh = extras.weigh or recipe
    document: Json = {
        "name": recipe.name,
        "form": recipe.form.value,
        "parts": parts_of(recipe, weigh, extras.weigh_g),
        "total_g": weigh.total_g,
        "mixture": {**figures_of(ground), **_as_weighed_cocoa(in_machine(recipe))},
        "mixture_range": ranges_of(ground),
        "mixture_basis": ground.basis.value,
        "product": {**figures_of(whole), **_as_weighed_cocoa(as_weighed(recipe))},
        "product_range": ranges_of(whole),
        "unknown": [*_unknown("mixture", ground), *_unknown("product", whole)],
        "inclusions": _inclusions(recipe, context),
        "names": [dict(name) for name in extras.names],
        "batch_limit": extras.batch_limit,
        "left_over": [dict(row) for row in extras.left_over],
        "as_weighed": weighed(extras.bowl or recipe),
        "ways_out": [dict(way) for way in extras.ways_out],
        "answers": [answer_of(answer) for answer in answers],
        "remarks": list(extras.remarks),
    }
    return cleaned(document)


def parts_of(recipe: Recipe, weigh: Recipe, weigh_g: Mapping[str, float] = NO_MASSES) -> list[Json]:
    """Return the parts: their share of the recipe, their exact mass, and their mass on the scale."""
    return [
        {
            "name": part.name,
            "label": part.label,
            "ingredient": part.of.key or None if isinstance(part.of, Ingredient) else None,
            "share_percent": recipe.share(part.label) * 100,
            "mass_g": weigh.part(part.label).mass_g,
            "weigh_g": weigh_g.get(part.label),
            "kind": part.kind.value if isinstance(part.of, Ingredient) else None,
            "stage": part.stage.value,
            "grind": part.grind.value,
        }
        for part in recipe.parts
    ]


def change_of(change: FigureChange) -> Json:
    """Return a figure before and after."""
    return {
        "figure": f"{change.key}_percent",
        "words": PROPERTIES[change.key].words,
        "before_percent": change.before_percent,
        "after_percent": change.after_percent,
    }


def weighed(recipe: Recipe) -> Json:
    """Return everything on the scale: parts, total, and figures as weighed."""
    rows = [
        {"name": part.name, "label": part.label, "share_percent": share * 100, "mass_g": part.mass_g}
        for part, share in ((part, recipe.share(part.label)) for part in recipe.parts)
    ]
    return {"parts": rows, "total_g": recipe.total_g, **figures_of(as_weighed(recipe))}


def figures_of(mixture: Mixture) -> Json:
    """Return every property of a mixture, unknown ones as ``None``."""
    figures: Json = {
        figure_key(key): mixture.percent(key) if mixture.knows(key) else None for key in PROPERTIES
    }
    known = mixture.knows("total_fat") and mixture.knows("cocoa_butter")
    of_fat = mixture.cocoa_butter_of_fat() * 100 if known else None
    return {**figures, f"{BUTTER_OF_FAT}_percent": of_fat}


def ranges_of(mixture: Mixture) -> Json:
    """Return low and high of the properties that vary."""
    return {
        figure_key(key): [figure.low, figure.high]
        for key, figure in mixture.figures().items()
        if figure.varies and key != AS_WEIGHED
    }


def answer_of(answer: Answer) -> Json:
    """Return an answer with every field the maker may see."""
    return {
        "question": answer.question,
        "title": answer.title,
        "verdict": answer.verdict.value,
        "word": answer.word,
        "sentence": answer.sentence,
        "figure": answer.figure,
        "unit": answer.unit,
        "low": answer.low,
        "high": answer.high,
        "basis": answer.basis,
        "reasons": list(answer.reasons),
        "remedies": [remedy_of(remedy) for remedy in answer.remedies],
        "sources": [
            {"key": source.key, "place": source.place, "status": source.status.value}
            for source in answer.sources
        ],
        "cautions": list(answer.cautions),
        "details": [
            {
                "title": detail.title,
                "head": list(detail.head),
                "rows": [list(row) for row in detail.rows],
                "note": detail.note,
            }
            for detail in answer.details
        ],
    }


def name_of(verdict: NameVerdict, earned: Earned) -> Json:
    """Return the verdict on a name with the nearest change that earns it, or why amounts alone do not."""
    nearest = None if earned.remedy is None else remedy_of(earned.remedy)
    return {**verdict.document(), "nearest": nearest, "nearest_note": earned.why_not}


def remedy_of(remedy: Remedy) -> Json:
    """Return a remedy with its changes."""
    return {
        "sentence": remedy.sentence,
        "changes": [
            {"part": change.part, "add_g": change.add_g, "ingredient": change.ingredient or None}
            for change in remedy.changes
        ],
        "new_total_g": remedy.new_total_g,
        "checked": remedy.checked,
    }


def cleaned(value: Json) -> Json:
    """Return a document whose numbers are rounded to six decimals, without a minus before zero."""
    return {key: _cleaned(inner) for key, inner in value.items()}


def _cleaned(value: object) -> object:
    if isinstance(value, float):
        return round(value, DIGITS) + 0.0
    if isinstance(value, dict):
        return cleaned(value)
    if isinstance(value, (list, tuple)):
        return [_cleaned(inner) for inner in value]
    return value


def _as_weighed_cocoa(weighed_in: Mixture) -> Json:
    """The trade's cocoa is counted on the scale, before any water leaves."""
    return {figure_key(AS_WEIGHED): weighed_in.percent(AS_WEIGHED)}


def mass_of(recipe: Recipe, context: Context) -> Mixture:
    """Return the finished mass; as charged where a part's water, and so what leaves, is not known."""
    try:
        return finished(recipe, context.end_water)
    except UnknownFigure:
        return in_machine(recipe)


def product_of(recipe: Recipe, context: Context) -> Mixture:
    """Return the whole as sold; as weighed where a part's water is not known."""
    try:
        return product(recipe, context.end_water)
    except UnknownFigure:
        return Mixture(tuple(recipe.leaves()), Basis.AS_WEIGHED)


def _unknown(where: str, mixture: Mixture) -> list[Json]:
    return [
        {"of": where, "figure": figure_key(key), "words": PROPERTIES[key].words, "missing": list(names)}
        for key, names in mixture.unknown().items()
    ]


def _inclusions(recipe: Recipe, context: Context) -> list[Json]:
    bar = None if context.mould is None else Decimal(repr(context.mould.cavity_g))
    return [
        {
            "label": label,
            "percent_of_everything": float(share.percent_of_everything),
            "g_per_100g_chocolate": float(share.g_per_100_g_chocolate),
            "g_per_bar": None if share.g_per_bar is None else float(share.g_per_bar),
        }
        for label, share in inclusions_of(recipe, bar, leaving_of(recipe, context.end_water_percent)).items()
    ]
