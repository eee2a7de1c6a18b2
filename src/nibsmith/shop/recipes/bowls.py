"""What is already in the bowl against the shares of a recipe: what is true now, and the ways out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers.rescue import Moment, Rescued, rescue
from nibsmith.answers.ways_out import KEEP_SHARES, Way, ways_out
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Bowl, can_go_in, in_the_bowl
from nibsmith.science.mixture import Part, Stage
from nibsmith.science.quantities import Thing
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.changes import from_masses
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.editing import row_for
from nibsmith.shop.recipes.listing import read_things
from nibsmith.shop.recipes.models import Way as HowMuch
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.opening import Opened, parts_of
from nibsmith.shop.recipes.totals import label_in


@dataclass(frozen=True, slots=True)
class InBowl:
    """Amounts in a bowl by part label [g]; what is not in the recipe as rows of its own, with their parts."""

    grams: Mapping[str, Decimal]
    foreign: tuple[Row, ...]
    parts: tuple[Part, ...]
    questions: tuple[WhichOne, ...] = ()


RESCUE = "rescue"
STAGES = (Stage.START, Stage.WITH_SUGAR, Stage.LATE, Stage.FOLDED_IN)  # when a bowl can be looked at


@dataclass(frozen=True, slots=True)
class Looked:
    """A bowl that was looked at, the ways out of it, and what additions at this stage can do."""

    bowl: Bowl
    ways: tuple[Way, ...]
    moment: Moment
    rescued: Rescued | None = None

    def too_late(self, way: Way) -> tuple[Part, ...]:
        """Return what a way adds although it cannot go in any more."""
        added = (way.recipe.part(label) for label in way.add_g)
        now = self.moment
        return tuple(part for part in added if not can_go_in(part, now.stage, grind_on=now.grind_on))


def read_bowl(text: str, opened: Opened, chosen: Mapping[str, str], settings: WorkshopSettings) -> InBowl:
    """Read what is in the bowl: parts of the recipe, and things that are not."""
    grams: dict[str, Decimal] = {}
    strange: list[Thing] = []
    for thing in read_things(text, settings.decimal_sign):
        if thing.mass_g is None:
            raise InputError("This needs a weight", value=thing.words, advice="Write such as 500 g.")
        label = label_in(thing.words, opened.recipe)
        if label is None:
            strange.append(thing)
        else:
            grams[label] = grams.get(label, Decimal(0)) + thing.mass_g
    return _with_strange(grams, strange, opened, chosen)


def _with_strange(
    grams: dict[str, Decimal], strange: list[Thing], opened: Opened, chosen: Mapping[str, str]
) -> InBowl:
    if not strange:
        return InBowl(grams, (), ())
    names, rows, questions = Names(), list[Row](), list[WhichOne]()
    for thing in strange:
        try:
            named = names.find(thing.words, chosen.get(thing.words, ""))
        except WhichOne as question:
            questions.append(question)
            continue
        row = row_for(named, [*opened.parts, *(row.label for row in rows)])
        rows.append(row)
        grams[row.label] = thing.mass_g or Decimal(0)
    found = parts_of(rows)
    weighed = tuple(found[row.label].weighing(float(grams.pop(row.label))) for row in rows)
    return InBowl(grams, tuple(rows), weighed, tuple(questions))


def look(found: InBowl, opened: Opened, stage: Stage = Stage.START, *, grind_on: bool = False) -> Looked:
    """Compare a bowl with its recipe, and ask what the smallest additions at this stage can do."""
    grams = {label: float(amount) for label, amount in found.grams.items()}
    bowl = in_the_bowl(opened.recipe, grams, found.parts)
    ways = ways_out(bowl, opened.context, opened.weighed)
    moment = Moment(stage=stage, grind_on=grind_on, foreign=found.parts)
    if bowl.fits:
        return Looked(bowl, ways, moment)
    return Looked(bowl, ways, moment, rescue(opened.recipe, grams, opened.context, moment))


def way_out(looked: Looked, key: str) -> Way:
    """Return the way out that a button named."""
    for way in looked.ways:
        if way.key == key:
            return way
    raise InputError("This way is not open any more", advice="Look at the bowl again.")


def rescued_draft(looked: Looked, found: InBowl, opened: Opened) -> Draft:
    """Return the draft of a bowl with its additions, in weights the scale shows where it can."""
    rescued = looked.rescued
    if rescued is None or rescued.recipe is None:
        raise InputError("Nothing that can still go in brings it back", advice="Look at the bowl again.")
    added = {each.label: float(each.weigh_g) or each.add_g for each in rescued.additions}
    masses = {part.label: part.mass_g + added.get(part.label, 0.0) for part in rescued.bowl.parts}
    return from_masses(opened, masses, found.foreign)


def draft_by(way: Way, found: InBowl, opened: Opened) -> Draft:
    """Return the draft that a way out leads to: the same shares at another size, or other shares."""
    if way.key == KEEP_SHARES:
        total_g = Decimal(repr(way.recipe.total_g))
        return replace(opened.draft, amount=replace(opened.draft.amount, way=HowMuch.TOTAL, total_g=total_g))
    masses = {part.label: part.mass_g for part in way.recipe.parts}
    return from_masses(opened, masses, found.foreign)
