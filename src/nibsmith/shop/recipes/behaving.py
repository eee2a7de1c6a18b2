"""How a recipe pours and sets: its answers with their pictures, and a bar of it in one of the fridges."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Answer, Detail, worst
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.demould import bar_picture
from nibsmith.answers.pour import flow_curve, pour
from nibsmith.answers.process import process_of
from nibsmith.answers.program import program_of
from nibsmith.answers.snap import snap
from nibsmith.paper import Leaf
from nibsmith.paper.chart import Chart
from nibsmith.paper.pictures.cooling import bar_chart
from nibsmith.paper.pictures.flow import flow_chart
from nibsmith.paper.pictures.temper import program_chart
from nibsmith.science.cool import Wind
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Span
from nibsmith.shop.common.forms import DegreesField, NumberField, PickField, WorkshopForm
from nibsmith.shop.common.said import said_in, unbroken_in
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.selectors import cooling_in, fridge, fridges
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_answers import ShownAnswer, show_answers

WINDS = ((Wind.STILL.value, "still air"), (Wind.FAN.value, "a fan"), (Wind.STRONG.value, "a strong fan"))
USUAL_MM = 8.0  # a bar of a usual mould


def _places() -> list[tuple[str, str]]:
    return [("", "as typed here"), *((row.ref, row.name) for row in fridges())]


class CoolingForm(WorkshopForm):
    """Where the moulds stand and how thick the bar is; what is left empty is taken as usual."""

    fridge = PickField(label="Cooled in", choices=_places, required=False)
    air = DegreesField(label="Air around the moulds", required=False)
    wind = PickField(label="How that air moves", choices=WINDS, required=False)
    thickness_mm = NumberField(label="Thickness of the bar", unit="mm", required=False)

    def cooling(self) -> Cooling:
        """Return what was said of the cold."""
        said = self.cleaned_data
        thick = said["thickness_mm"]
        if said["fridge"]:
            place = cooling_in(fridge(said["fridge"]))
        else:
            air = said["air"]
            place = Cooling(
                air_celsius=None if air is None else Span.exactly(float(air)),
                wind=said["wind"] or Wind.STILL.value,
            )
        return replace(place, thickness_mm=Span.exactly(USUAL_MM if thick is None else float(thick)))


@dataclass(frozen=True, slots=True)
class Part:
    """One question with its answer and pictures; ``first`` is the number of its first picture."""

    answer: ShownAnswer
    charts: tuple[Chart, ...]
    first: int


@dataclass(frozen=True, slots=True)
class Behaviour:
    """Pouring first, then tempering and setting; ``told`` are the answers themselves."""

    parts: tuple[Part, ...]
    told: tuple[Answer, ...]
    cautions: tuple[str, ...]


def behaviour(opened: Opened, cooling: Cooling, settings: WorkshopSettings) -> Behaviour:
    """Answer how a recipe pours and sets in the cold, with the pictures of both."""
    recipe, context = opened.recipe, opened.context
    cold = replace(context, process=replace(process_of(context), cooling=cooling))
    told = (pour(recipe, context), snap(recipe, cold))
    pictures = (
        tuple(_drawn(_flow(opened, settings))),
        tuple(_drawn(*_setting(opened, cold, settings))),
    )
    shown = show_answers(told, settings)
    firsts = (1, 1 + len(pictures[0]))
    parts = tuple(Part(*one) for one in zip(shown.all, pictures, firsts, strict=True))
    return Behaviour(parts, told, shown.cautions)


def _drawn(*pictures: Callable[[], Chart | None]) -> Iterator[Chart]:
    """Draw what can be drawn; why something cannot is said by its answer."""
    for draw in pictures:
        try:
            chart = draw()
        except NibsmithError:
            continue
        if chart is not None:
            yield chart


def _flow(opened: Opened, settings: WorkshopSettings) -> Callable[[], Chart]:
    name, sign = opened.recipe.name, settings.decimal_sign or "."
    return lambda: flow_chart(flow_curve(opened.recipe, opened.context), name, sign)


def _setting(
    opened: Opened, cold: Context, settings: WorkshopSettings
) -> tuple[Callable[[], Chart | None], ...]:
    sign = settings.decimal_sign or "."

    def program() -> Chart | None:
        found = program_of(opened.recipe)
        return None if found is None else program_chart(found, sign)

    return program, lambda: bar_chart(bar_picture(opened.recipe, cold), sign)


def leaf_of(found: Behaviour, title: str, settings: WorkshopSettings) -> Leaf:
    """Return the same as one leaf of paper."""
    pouring, setting = (said_in(unbroken_in(one), settings) for one in found.told)
    return Leaf(
        title=title,
        asked=(),
        answer=_both(pouring, setting),
        charts=tuple(chart for part in found.parts for chart in part.charts),
        tables=tuple(_tables(pouring)),
        lists=((f"{pouring.title} Why", pouring.reasons),),
        sources=tuple(f"{place} ({status})" for part in found.parts for place, status in part.answer.sources),
    )


def _both(pouring: Answer, setting: Answer) -> Answer:
    """Put both verdicts in front, under the mark of the worse one; sources are spelt out elsewhere."""
    said = " ".join(f"{one.title} {one.word} {one.sentence}" for one in (pouring, setting))
    verdict = worst((pouring.verdict, setting.verdict))
    return replace(setting, verdict=verdict, word="", sentence=said, remedies=(), sources=())


def _tables(answer: Answer) -> Iterator[Detail]:
    yield from (detail for detail in answer.details if detail.rows)
