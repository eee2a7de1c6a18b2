"""A recipe as plain text: what to weigh, its figures, the shelf and the bowl."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from nibsmith.answers._stock_words import stock_words
from nibsmith.answers.context import Context
from nibsmith.answers.leaving import leaving_of
from nibsmith.answers.report import mass_of, product_of
from nibsmith.answers.sizing import Sized, share_words
from nibsmith.answers.ways_out import Way
from nibsmith.answers.wording import joined, thing
from nibsmith.cli.printing import columns, grams, heading, percent, wrapped
from nibsmith.science.formulate import Bowl, FigureChange, inclusions_of
from nibsmith.science.legal import jurisdictions, reservation
from nibsmith.science.mixture import (
    PROPERTIES,
    Figure,
    Mixture,
    Part,
    Recipe,
    Stage,
    as_weighed,
    in_machine,
    ingredients,
)

COCOA = "cocoa_as_weighed"
FIGURES = (
    "dry_cocoa_solids",
    "cocoa_butter",
    "milk_solids",
    "milk_fat",
    "total_fat",
    "sugars",
    "water",
)
WHEN = {
    Stage.WITH_SUGAR: "with the sugar",
    Stage.LATE: "late",
    Stage.FOLDED_IN: "folded in",
    Stage.ON_BACK: "on the back",
    Stage.FILLING: "filling",
}
NOT_KNOWN = "not known"


def title_lines(recipe: Recipe, weigh: Recipe, context: Context) -> Iterator[str]:
    """Give the name, the form and the size."""
    size = grams(weigh.total_g, context.scale_g)
    if context.bars is not None and context.mould is not None:
        size = f"{context.bars} of {context.mould.cavity_g:g} g, {size}"
    yield heading(recipe.name, f"{recipe.form.replace('_', ' ')}, {size}")
    if context.kit is not None:
        yield f"In the {context.kit.name[:1].lower()}{context.kit.name[1:]}"
    yield ""


def name_of(part: Part) -> str:
    """Return what a part is called here: its own label where it has one."""
    own = part.label not in (part.name, getattr(part.of, "key", ""))
    return part.label if own else part.name


def weigh_lines(recipe: Recipe, weigh: Recipe, weigh_g: Mapping[str, Decimal], context: Context) -> list[str]:
    """Return the parts with their shares, what goes on the scale, and when it goes in."""
    step_g = context.scale_g
    rows = [("Weigh", "share", "weight", "")]
    for part in recipe.parts:
        share = percent(recipe.share(part.label) * 100)
        rows.append((name_of(part), share, grams(weigh_g[part.label], step_g), WHEN.get(part.stage, "")))
    rows.append(("Together", percent(100), grams(sum(weigh_g.values(), Decimal(0)), step_g), ""))
    shares = share_words(recipe, weigh)
    said = [*wrapped(shares), ""] if shares else []
    return [*columns(rows, "<>><"), "", *said, *_inclusion_lines(recipe, context)]


def _inclusion_lines(recipe: Recipe, context: Context) -> list[str]:
    bar_g = None if context.mould is None else Decimal(repr(context.mould.cavity_g))
    leaving = leaving_of(recipe, context.end_water_percent)
    lines = []
    for label, share in inclusions_of(recipe, bar_g, leaving).items():
        ways = [f"{percent(float(share.percent_of_everything))} of everything"]
        ways.append(f"{float(share.g_per_100_g_chocolate):.1f} g per 100 g of chocolate")
        if share.g_per_bar is not None:
            ways.append(f"{float(share.g_per_bar):.1f} g per bar")
        lines += wrapped(f"{name_of(recipe.part(label))}: {', '.join(ways)}.")
    return [*lines, ""] if lines else []


def shelf_lines(size: Sized, still_g: Mapping[str, Decimal], step_g: Decimal) -> Iterator[str]:
    """Say what runs out, what is left of the shelf, and what has to be got."""
    if size.runs_out:
        yield from wrapped(f"Runs out first: {joined(_named(size.recipe, size.runs_out))}.")
    left_g = {key: mass_g for key, mass_g in size.left_g.items() if mass_g >= float(step_g)}
    if left_g:
        yield from wrapped(f"Left on the shelf: {_amounts(size.recipe, left_g, step_g)}.")
    bring_g = {label: still_g[label] for label in size.to_bring_g if still_g[label]}
    if bring_g:
        yield from wrapped(f"Not on the shelf, taken to be there: {_amounts(size.recipe, bring_g, step_g)}.")
    if size.runs_out or left_g or bring_g:
        yield ""


def _amounts(recipe: Recipe, masses_g: Mapping[str, float] | Mapping[str, Decimal], step_g: Decimal) -> str:
    names = _named(recipe, list(masses_g))
    amounts = [grams(mass_g, step_g) for mass_g in masses_g.values()]
    return joined([f"{amount} of {name}" for amount, name in zip(amounts, names, strict=True)])


def _named(recipe: Recipe, keys: Sequence[str]) -> list[str]:
    """Return stocks as they stand inside a sentence; one that is no part by the name in the list."""
    table = ingredients()
    found = {key: stock_words(key, recipe) for key in keys}
    return [thing(table[key]) if words == key and key in table else words for key, words in found.items()]


def bowl_lines(
    bowl: Bowl, ways: Sequence[Way], still_g: Mapping[str, Decimal], context: Context
) -> Iterator[str]:
    """Give what the shares in the bowl are, and what is to come or the ways out where they do not fit."""
    yield "In the bowl"
    wanted = {part.label: bowl.recipe.share(part.label) for part in bowl.recipe.parts}
    rows = [("", "wanted", "in it now", "weight")]
    for part in bowl.now.parts:
        shares = [percent(share * 100) for share in (wanted.get(part.label, 0.0), bowl.now.share(part.label))]
        rows.append((name_of(part), shares[0], shares[1], grams(part.mass_g, context.scale_g)))
    yield from columns(rows, "<>>>")
    if not ways:
        yield ""
        yield from wrapped(_to_come(bowl.recipe, still_g, context.scale_g))
    elif bowl.fits:
        yield ""
        yield from wrapped("There is more in it than this batch takes.")
    for way in ways:
        yield ""
        yield from wrapped(f"→ {way.sentence}", hang="    ")
        yield from wrapped(_changed(way), indent="    ")
        for remark in way.remarks:
            yield from wrapped(remark, indent="    ")
    yield ""


def _to_come(recipe: Recipe, still_g: Mapping[str, Decimal], step_g: Decimal) -> str:
    """Say that a bowl fits, and what is still to be weighed in."""
    seen_g = {label: amount_g for label, amount_g in still_g.items() if 2 * amount_g >= step_g}
    if not seen_g:
        return "It fits, and everything is in it."
    return f"It fits as far as it goes. Still to weigh in: {_amounts(recipe, seen_g, step_g)}."


def _changed(way: Way) -> str:
    renamed = way.name_before != way.name_after
    name = f"the name: {way.name_before or 'none'} to {way.name_after or 'none'}" if renamed else ""
    return changed_words(way.changes, name)


def changed_words(figures: Sequence[FigureChange], name: str = "") -> str:
    """Say which figures change by a tenth that is shown, and the name where it does."""
    changes = [words for change in figures if (words := _change(change))]
    changes += [name] if name else []
    return f"Changes {', '.join(changes)}." if changes else "Cocoa and fat stay as they are."


def _change(change: FigureChange) -> str:
    before, after = change.before_percent, change.after_percent
    if before is not None and after is not None and abs(before - after) < SEEN_STEP:
        return ""
    return f"{_words(change.key)} {_shown(before)} to {_shown(after)}"


SEEN_STEP = 0.05  # in percent: half of the tenth that is shown


def _shown(value_percent: float | None) -> str:
    return NOT_KNOWN if value_percent is None else percent(value_percent)


def figure_lines(recipe: Recipe, context: Context, *, why: bool = False) -> Iterator[str]:
    """Give the figures of the mass, and of the whole where something is folded in; unknown ones by name."""
    mass, whole = mass_of(recipe, context), product_of(recipe, context)
    inclusions = any(not part.in_machine and part.mass_g for part in recipe.parts)
    keys = tuple(key for key in PROPERTIES if key != COCOA) if why else FIGURES
    rows = [("Per 100 g", "of the mass", "of the whole" if inclusions else "", "range in the mass")]
    rows += [_cocoa_row(recipe, inclusions)]
    for key in keys:
        if why or not mass.knows(key) or mass.percent(key) or whole.percent(key):
            whole_value = _value(whole, key) if inclusions else ""
            rows += [(_words(key), _value(mass, key), whole_value, _range(mass, key))]
    if not any(row[3] for row in rows[1:]):
        rows = [(*row[:3], "") for row in rows]
    yield from columns(rows, "<>>>")
    yield from _unknown_lines(mass, keys)


def _cocoa_row(recipe: Recipe, inclusions: bool) -> tuple[str, str, str, str]:
    """The trade's cocoa is counted on the scale, before any water leaves."""
    whole = _value(as_weighed(recipe), COCOA) if inclusions else ""
    return _words(COCOA), _value(in_machine(recipe), COCOA), whole, ""


def _words(key: str) -> str:
    return PROPERTIES[key].words.replace(" (nibs, mass, butter, powder)", "")


def _value(mixture: Mixture, key: str) -> str:
    return _amount(mixture.figure(key), "value") if mixture.knows(key) else NOT_KNOWN


def _amount(figure: Figure, end: str) -> str:
    unit = figure.unit.removesuffix("/100 g")
    value = float(getattr(figure, end))
    return percent(value) if unit == "%" else f"{value:.0f}\u00a0{unit}"


def _range(mixture: Mixture, key: str) -> str:
    if not mixture.knows(key) or not mixture.figure(key).varies:
        return ""
    figure = mixture.figure(key)
    low, high = _amount(figure, "low"), _amount(figure, "high")
    return "" if low == high else f"{low.split()[0]} to {high}"


def _unknown_lines(mixture: Mixture, keys: Sequence[str]) -> Iterator[str]:
    """Say what is not known, and for want of whose figures."""
    by_parts: dict[tuple[str, ...], list[str]] = {}
    for key, names in mixture.unknown().items():
        if key in keys:
            by_parts.setdefault(names, []).append(_words(key))
    for names, figures in by_parts.items():
        yield from wrapped(f"Not known: {joined(figures)}, not given for {joined(names)}.", hang="    ")


def closing_lines(context: Context) -> Iterator[str]:
    """Say what an answer on law is worth."""
    markets = ", ".join(jurisdictions()[key] for key in context.markets)
    yield from wrapped(f"Names for {markets}, estimated from the recipe. {reservation()}", indent="")
