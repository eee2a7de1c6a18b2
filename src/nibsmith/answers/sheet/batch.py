"""The batch sheet: a process for this kit, from the scale to the mould."""

from __future__ import annotations

from collections.abc import Iterator

from nibsmith.answers._out import out_of
from nibsmith.answers._setting import Setting, setting_of
from nibsmith.answers._temper_words import program_rows, program_title, shift_words
from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.keep import keep
from nibsmith.answers.sheet.cards import (
    Fact,
    Sheet,
    TemperCard,
)
from nibsmith.answers.sheet.fold import fold_in_card, mould_card
from nibsmith.answers.sheet.kit import kit_card
from nibsmith.answers.sheet.steps import Making, steps_of
from nibsmith.answers.sheet.weights import grams_on, rounded_masses, weigh_card
from nibsmith.answers.sizing import weighed_for
from nibsmith.answers.snap import ON_PURPOSE, snap
from nibsmith.answers.who_must_not import who_must_not
from nibsmith.answers.wording import degrees_span, exactly
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.label import Where, cautions
from nibsmith.science.mixture import Form, Recipe, Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Program

FORM_WORDS = {
    Form.BAR: "Bar",
    Form.DROPS: "Drops",
    Form.FLAKES: "Flakes",
    Form.FILLED: "Filled bar",
    Form.PRALINE: "Praline",
    Form.DRINKING: "Drinking tablet",
}
READINGS = ("Clock", "Mass °C", "Grains µm", "Room °C", "Seen, smelt, done")
BLANKS = (
    "Date",
    "Made by",
    "Lots used",
    "Mass that is there, g",
    "Worked at, °C",
    "Bars",
    "Broken or left, g",
)
TASTING = ("Look and snap", "Smell", "Melt", "Taste", "What stays")
_TOLD = (Verdict.STOP, Verdict.WATCH, Verdict.DECLARE)


def batch_sheet(recipe: Recipe, context: Context, version: str = "") -> Sheet:
    """Return the sheet to work a batch from.

    Parameters
    ----------
    recipe : Recipe
        The recipe at the weights of the batch; with a mould and a number of bars in the context its shares
        are weighed for these bars.
    context : Context
        Kit, mould, bars and scale.
    version : str
        Which version of the recipe it is, in words.

    Returns
    -------
    Sheet
        Weights on the scale, the steps in the kit's order of use, temper, fold-in and mould cards, cautions.

    Raises
    ------
    InputError
        If nothing goes into the machine, or the bars are none.

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> bar = Recipe("Bar", Form.BAR, (part("sugar_granulated", 300.0), part("cocoa_nibs_roasted", 700.0)))
    >>> [row.label for row in batch_sheet(bar, Context()).weigh.rows]
    ['cocoa_nibs_roasted', 'sugar_granulated']
    """
    weighed = _weighed(recipe, context)
    out = out_of(weighed, context)
    if not out.batch.charge_g:
        raise InputError("Nothing goes into the machine", advice="Give at least one part an earlier stage.")
    setting = _setting(weighed)
    chocolate = None if setting is None else setting.chocolate
    fat = None if setting is None else setting.fat
    program = None if setting is None else setting.program
    making = Making(weighed, out, chocolate, fat, rounded_masses(weighed, context))
    weigh = weigh_card(recipe, weighed, context)
    return Sheet(
        recipe=recipe.name,
        version=version,
        facts=tuple(_facts(weighed, context)),
        notes=tuple(_notes(weighed, context)),
        weigh=weigh,
        kit=kit_card(out, context, chocolate, weigh.metric),
        steps=tuple(steps_of(making, context)),
        temper=_temper_card(recipe.form, setting),
        fold_in=fold_in_card(recipe, weighed, out, context, program),
        moulds=mould_card(recipe, out, context),
        readings=READINGS,
        blanks=BLANKS,
        tasting=TASTING,
        cautions=_cautions(recipe, context),
    )


def _weighed(recipe: Recipe, context: Context) -> Recipe:
    for_bars = context.bars is not None and context.mould is not None
    return weighed_for(recipe, context.bars, context) if for_bars and context.bars else recipe


def _setting(recipe: Recipe) -> Setting | None:
    try:
        return setting_of(recipe)
    except UnknownFigure:
        return None


def _facts(recipe: Recipe, context: Context) -> Iterator[Fact]:
    yield "Form", FORM_WORDS[recipe.form]
    if context.bars is not None and context.mould is not None:
        yield "Bars", f"{context.bars} of {exactly(context.mould.cavity_g)}"
    yield "Weighed in all", grams_on(recipe.total_g, context)
    yield "Scale", f"to {grams_on(context.scale_g, context)}"


def _notes(recipe: Recipe, context: Context) -> Iterator[str]:
    """What the answers hold against the recipe, so that nobody starts without having read it."""
    for answer in (keep(recipe, context), snap(recipe, context), who_must_not(recipe, context)):
        if answer.verdict in _TOLD:
            yield f"{answer.title} {answer.sentence}"


def _temper_card(form: Form, setting: Setting | None) -> TemperCard:
    choice = ON_PURPOSE if form is Form.DRINKING else ""
    if setting is None or setting.program is None:
        return TemperCard("Temper program", (), choice or "It cannot be told how this sets.", ())
    notes = tuple(_temper_notes(setting.program))
    return TemperCard(program_title(setting.program), program_rows(setting.program), choice, notes)


def _temper_notes(program: Program) -> Iterator[str]:
    seed, at = load("temper_seed"), load("temper_seed")["crystals_at"]
    ends = (at.value if end is None else end for end in (at.low, at.value, at.high))
    stirred = degrees_span(Span(*ends) + Span.exactly(-program.shift_k))
    yield "Temperatures of the mass. Seed must be tempered and of the same recipe, or its share counts."
    yield (
        f"Without any: about {seed['crystals'].value:g} % of grated cocoa butter, stirred in at {stirred}, "
        f"or part of the mass worked on a stone to {degrees_span(program.cool_celsius)} and stirred back."
    )
    if shift_words(program):
        yield f"The dark program, lowered by {shift_words(program)} for other fats in the mass: an estimate."


def _cautions(recipe: Recipe, context: Context) -> tuple[str, ...]:
    kit = "" if context.kit is None else context.kit.key
    found = cautions(recipe, Where.WORK, kit)
    return tuple(caution.sentence for caution in found)
