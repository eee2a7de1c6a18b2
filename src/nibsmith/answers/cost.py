"""What it costs: the ingredients of a batch, a kilogram and a bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers._out import Out, all_comes_out, out_of
from nibsmith.answers._prices import price_of
from nibsmith.answers.answer import Answer, Citation, Detail, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.wording import NO_BREAK, capital, exactly, grams, joined, thing
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Part, Recipe
from nibsmith.science.money import GRAMS_PER_KG, Money, currency, exact_grams, sum_money
from nibsmith.science.quantities.formats import TENTH
from nibsmith.science.tables import Status

NOT_COUNTED = "Ingredients only: labour, energy, packing and tax are not counted."


@dataclass(frozen=True)
class _Line:
    """One part with its price per kilogram as used and its cost, both ``None`` where a price lacks."""

    name: str
    mass_g: float
    per_kg: Money | None
    cost: Money | None
    missing: tuple[str, ...]
    of_beans: bool = False


def cost(recipe: Recipe, context: Context) -> Answer:
    """Answer what the ingredients cost, for the batch, a kilogram and a bar of what comes out.

    Parameters
    ----------
    recipe : Recipe
        The recipe; a recipe used as a part costs what its own parts cost, unless it has a price.
    context : Context
        Its currency; its kit for what stays behind; its mould for a bar; its bean yield, with which the price
        of nibs is that of beans over the yield.

    Returns
    -------
    Answer
        The figure is the cost of a bar, or of a kilogram where no mould is given. With a price missing the
        verdict is unknown and ``low`` a lower bound.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 500.0, price_per_kg=Decimal("12.30")),))
    >>> cost(bar, Context()).figure
    12.3
    """
    try:
        currency(context.currency)
        lines = _lines(recipe, context)
    except InputError as error:
        return Answer("cost", "What does it cost?", Verdict.UNKNOWN, "Cannot tell.", str(error))
    return _answer(recipe, context, lines)


def _answer(recipe: Recipe, context: Context, lines: list[_Line]) -> Answer:
    out = out_of(recipe, context)
    total = _total(lines, context)
    missing = tuple(dict.fromkeys(name for line in lines for name in line.missing))
    known = not missing and out.product_g.value > 0
    low, figure, high = (_of_unit(total, out_g, context) for out_g in _worst_last(out))
    return Answer(
        question="cost",
        title="What does it cost?",
        verdict=Verdict.GOOD if known else Verdict.UNKNOWN,
        word=f"{figure}." if known and figure is not None else "Cannot tell.",
        sentence=_sentence(total, out, missing, context),
        figure=_number(figure) if known else None,
        unit=f"{context.currency}/{'kg' if context.mould is None else 'bar'}",
        low=_number(low) if known or total.amount else None,
        high=_number(high) if known else None,
        basis=of_what(context),
        reasons=tuple(_reasons(lines, out, context)),
        sources=(Citation("iso-4217", "smallest unit of the currency", Status.READ_SECONDARY),),
        details=(_detail(lines, total, missing),),
    )


def cost_per_kg(recipe: Recipe, context: Context) -> Money | None:
    """Return what a kilogram of what comes out costs; without a kit, of what is weighed.

    Parameters
    ----------
    recipe : Recipe
        What is weighed, with its prices [g].
    context : Context
        As for ``cost``.

    Returns
    -------
    Money or None
        The exact cost; ``None`` where a price is missing or nothing comes out.

    Raises
    ------
    InputError
        If a price is negative, or the yield or the currency cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 500.0, price_per_kg=Decimal("12.30")),))
    >>> str(cost_per_kg(bar, Context())).replace(chr(160), " ")
    '12.30 EUR'
    """
    lines = _lines(recipe, context)
    if any(line.missing for line in lines):
        return None
    return _of_kg(_total(lines, context), out_of(recipe, context).product_g.value)


def of_what(context: Context) -> str:
    """Return what a kilogram is of."""
    return "what is weighed" if all_comes_out(context) else "what comes out"


def _lines(recipe: Recipe, context: Context) -> list[_Line]:
    return [_line(part, context) for part in recipe.parts if part.mass_g > 0]


def _line(part: Part, context: Context) -> _Line:
    price = price_of(part, context)
    amount = None if price.known is None else price.known.times(exact_grams(part.mass_g)).over(GRAMS_PER_KG)
    return _Line(thing(part), part.mass_g, price.per_kg, amount, price.missing, price.of_beans)


def _total(lines: list[_Line], context: Context) -> Money:
    return sum_money((line.cost for line in lines if line.cost is not None), context.currency)


def _of_kg(total: Money, out_g: float) -> Money | None:
    return total.times(GRAMS_PER_KG).over(exact_grams(out_g)) if out_g > 0 else None


def _worst_last(out: Out) -> tuple[float, float, float]:
    """Most, usual and least that comes out: the dearer the less."""
    return out.product_g.high, out.product_g.value, out.product_g.low


def _of_unit(total: Money, out_g: float, context: Context) -> Money | None:
    """Cost of a bar, or of a kilogram where no mould is given; none where nothing comes out."""
    per_kg = _of_kg(total, out_g)
    if per_kg is None or context.mould is None:
        return per_kg
    return total.times(exact_grams(context.mould.cavity_g)).over(exact_grams(out_g))


def _number(money: Money | None) -> float | None:
    return None if money is None else float(money.rounded)


def _sentence(total: Money, out: Out, missing: tuple[str, ...], context: Context) -> str:
    if missing:
        bound = f" What is priced comes to {total} a batch: a lower bound." if total.amount else ""
        return f"No price is given for {joined(missing)}.{bound}"
    if out.product_g.value <= 0:
        return f"The batch costs {total}, and all of it stays on the machine."
    per_kg = _of_kg(total, out.product_g.value)
    words = f"{total} a batch, {per_kg} a kilogram of {of_what(context)}"
    if context.mould is not None:
        bar = _of_unit(total, out.product_g.value, context)
        words += f", {bar} a bar of {exactly(context.mould.cavity_g)}"
    return f"{words}. {NOT_COUNTED}"


def _reasons(lines: list[_Line], out: Out, context: Context) -> Iterator[str]:
    if any(line.of_beans for line in lines):
        yield f"Nibs are reckoned from the price of beans over a yield of {_yield_words(context.bean_yield)}."
    batch = out.batch
    if batch.lost_g:
        yield f"About {grams(batch.lost_g)} stay on the machine and are paid for all the same."
    if batch.evaporated_g:
        yield f"About {grams(batch.evaporated_g)} leave as water."
    if out.water_unknown:
        yield f"The water of {joined(out.water_unknown)} is not given, so none is taken to leave."
    if all_comes_out(context):
        yield "No kit is chosen, so nothing is taken to stay behind."
    yield NOT_COUNTED


def _yield_words(bean_yield: Decimal | None) -> str:
    return f"{((bean_yield or Decimal(0)) * 100).normalize():f}{NO_BREAK}%"


def _detail(lines: list[_Line], total: Money, missing: tuple[str, ...]) -> Detail:
    rows = [
        (
            capital(line.name),
            grams(line.mass_g, TENTH),
            "not given" if line.per_kg is None else str(line.per_kg),
            "not given" if line.cost is None else str(line.cost),
        )
        for line in lines
    ]
    if total.amount or not missing:
        rows.append(("At least" if missing else "Batch", "", "", str(total)))
    note = "Worked out exactly and rounded half up once, where it is written."
    return Detail("Cost of the parts", ("Part", "Mass", "Price of 1 kg", "Cost"), tuple(rows), note)
