"""The forms of a roast, its readings, and a wanted course."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Kind as IngredientKind
from nibsmith.science.roast.log import TimeUnit, check_size
from nibsmith.shop.common.forms import (
    DegreesField,
    GramsField,
    NumberField,
    PercentField,
    PickField,
    RecordForm,
    TextField,
    WorkshopForm,
)
from nibsmith.shop.common.forms.fields import NEEDED
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit.forms import KelvinField
from nibsmith.shop.kit.selectors import probe, probes
from nibsmith.shop.roasts.fields import LinesField, SinceStartField, StayForm, StudyForm
from nibsmith.shop.roasts.models import MATTERS, ROASTERS, ROLES, Course
from nibsmith.shop.roasts.reading import BY_HAND, facts_of
from nibsmith.shop.roasts.selectors import course, courses
from nibsmith.shop.roasts.services.courses import CourseCard
from nibsmith.shop.roasts.services.points import NewPoint
from nibsmith.shop.roasts.services.readings import Sent, Stay
from nibsmith.shop.roasts.services.roasts import RoastCard
from nibsmith.shop.stock.selectors import choices, find

_ROASTED = frozenset({IngredientKind.BEAN, IngredientKind.NIB})
SCALES = (("", "as it is written"), ("C", "°C"), ("F", "°F"))
UNITS = (("", "as it is written"), *((unit.value, unit.value) for unit in TimeUnit))
PROBE, ROLE = "probe:", "role:"
NONE = ("", "none")


class RoastForm(StudyForm):
    """What is known of a roast besides its readings."""

    beans = TextField(label="Beans", required=False, help_text="In your words: where from, which harvest.")
    roasted_on = forms.DateField(
        label="Roasted on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty: today.",
        error_messages={"invalid": "This is not a day. Write it such as 2026-03-14."},
    )
    matter = PickField(label="Roasted as", choices=MATTERS)
    charge_g = GramsField(label="Weight before", required=False)
    end_g = GramsField(
        label="Weight after", required=False, help_text="Before anything is cracked or winnowed."
    )
    dial_celsius = DegreesField(label="Set to", required=False)
    dial_minutes = NumberField(label="For", unit="min", required=False)
    roaster = PickField(label="Roasted in", required=False, choices=[("", "not said"), *ROASTERS])
    machine = TextField(label="Which one", required=False, help_text="What you call it.")
    start_celsius = DegreesField(label="How warm the beans went in", required=False)
    water_before_percent = PercentField(label="Water before", required=False, help_text="If it was measured.")
    water_after_percent = PercentField(label="Water after", required=False, help_text="If it was measured.")
    senses = TextField(
        label="Smell and sound",
        required=False,
        lines=3,
        help_text="Such as: vinegar gone at 12 min, first pops at 18.",
    )
    note = TextField(label="Note", required=False, lines=3)

    def more_fields(self) -> Mapping[str, forms.Field]:
        known = [(one.key, one.name) for one in choices() if one.kind in _ROASTED]
        wanted = [(one.ref, one.name) for one in courses()]
        chosen = self.initial.get("wanted", "")
        if chosen and chosen not in dict(wanted):
            wanted.append((chosen, "the one put away"))
        return {
            "ingredient": PickField(
                label="Of your ingredients", required=False, choices=[("", "none of them"), *known]
            ),
            "wanted": PickField(label="Wanted course", required=False, choices=[NONE, *wanted]),
        }

    def clean(self) -> dict[str, Any]:
        """Take the name of the ingredient where no words are typed; one of the two is needed."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if not typed.get("beans") and typed.get("ingredient"):
            typed["beans"] = find(typed["ingredient"]).name
        if not typed.get("beans") and "beans" not in self.errors:
            self.add_error("beans", NEEDED)
        return typed

    def card(self, today: date) -> RoastCard:
        """Return what was typed."""
        said = {name: value for name, value in self.cleaned_data.items() if name not in ("why", "wanted")}
        wanted = self.cleaned_data["wanted"]
        said["roasted_on"] = said["roasted_on"] or today
        return RoastCard(**said, wanted=course(uuid.UUID(wanted)) if wanted else None)


def probe_field(**options: Any) -> PickField:
    """Return the list of the probes of the kit."""
    known = [(row.ref, row.name) for row in probes()]
    choices = [("", "one that nobody has checked"), *known]
    return PickField(label="By the probe", required=False, choices=choices, **options)


class EditForm(RecordForm, RoastForm):
    """A roast that is filled in or changed."""

    why = TextField(
        label="Why", required=False, help_text="Needed where a figure that stands already is changed."
    )


class TellForm(StayForm):
    """What the maker says beside a file, where it does not say so itself."""

    scale = PickField(label="Temperatures are", required=False, choices=SCALES)
    time = TextField(
        label="Column of times", required=False, help_text="Its head or number, if it is not found."
    )
    time_unit = PickField(label="It counts", required=False, choices=UNITS)
    every_s = NumberField(label="Seconds between rows", required=False, help_text="For a file without times.")
    run = NumberField(label="Which of several runs", required=False)

    def told(self) -> dict[str, Any]:
        """Return what is said beside the file, without what is not said."""
        said = self.cleaned_data
        run: Decimal | None = said["run"]
        every: Decimal | None = said["every_s"]
        told = {
            "scale": said["scale"],
            "time": said["time"],
            "time_unit": said["time_unit"],
            "every_s": None if every is None else float(every),
            "run": None if run is None else int(run),
        }
        return {name: value for name, value in told.items() if value not in (None, "")}

    def stay(self) -> Stay:
        """Return when the beans came in and out."""
        return Stay(self.cleaned_data["in_at"], self.cleaned_data["out_at"])


class ReadingsForm(TellForm):
    """Readings typed by hand, or a logger's file."""

    typed = LinesField(
        label="Readings by hand",
        required=False,
        help_text="Three to six are enough, a line each: 0:00 24, then 12:30 105, and so on to the end. "
        "Is it still going? Keep the roast, and add a reading after the other on its page.",
    )
    role = PickField(label="They were taken", choices=ROLES)
    file = forms.FileField(
        label="Or a logger's file",
        required=False,
        allow_empty_file=True,
        help_text="CSV or text, of any logger. Its text is kept as it came.",
    )

    def more_fields(self) -> Mapping[str, forms.Field]:
        return {"probe": probe_field(help_text="Of the readings by hand.")}

    def clean(self) -> dict[str, Any]:
        """Take one of the two: what is typed, or a file."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if said.get("file") is not None and said.get("typed"):
            self.add_error("file", "Readings come from one place: empty the lines, or send no file.")
        return said

    def sent(self) -> Sent | None:
        """Return what was sent; none where nothing was."""
        said = self.cleaned_data
        if said["file"] is not None:
            _check_file(said["file"].size)
            data = said["file"].read()
            if not data:
                raise InputError("The file is empty", advice="Check the export of the logger.", field="file")
            name = said["file"].name or ""
            return Sent(data=data, file_name=name, told=self.told(), stay=self.stay())
        return _typed(said, self.stay()) if said["typed"] else None


def _check_file(size: int | None) -> None:
    """Refuse a file beyond the limit before it is read."""
    try:
        check_size(size or 0)
    except InputError as error:
        error.field = "file"
        raise


def _typed(said: Mapping[str, Any], stay: Stay) -> Sent:
    facts = {BY_HAND: facts_of(probe(said["probe"]))} if said["probe"] else {}
    role = facts[BY_HAND]["role"] if facts and facts[BY_HAND]["role"] else said["role"]
    told = {"scale": workshop().temperature_unit}
    return Sent(typed=said["typed"], role=role, told=told, probes=facts, stay=stay)


class PointForm(WorkshopForm):
    """One more reading of a roast under way; ``until`` goes along, so that its forecast is told anew."""

    at = SinceStartField(label="Time since the start")
    celsius = DegreesField(label="Temperature")
    until = DegreesField(required=False, widget=forms.HiddenInput(attrs={"id": "id_point_until"}))

    def __init__(self, *args: Any, first: bool = False, **options: Any) -> None:
        self.first = first
        super().__init__(*args, **options)

    def more_fields(self) -> Mapping[str, forms.Field]:
        """Ask for the probe with the first reading; the others are by the same."""
        return {"probe": probe_field()} if self.first else {}

    def point(self) -> NewPoint:
        """Return what was typed."""
        said = self.cleaned_data
        facts = facts_of(probe(said["probe"])) if said.get("probe") else None
        return NewPoint(at_s=said["at"], celsius=said["celsius"], probe=facts)


class MoreReadingsForm(ReadingsForm):
    """Readings in place of those there are, or the first ones."""

    why = TextField(label="Why", required=False, help_text="Needed where readings are there already.")


class SettleForm(TellForm):
    """How a file is read, and what is known of each probe in it."""

    def __init__(self, names: Iterable[str], *args: Any, **options: Any) -> None:
        self.names = tuple(names)
        super().__init__(*args, **options)

    def more_fields(self) -> Mapping[str, forms.Field]:
        offered = [
            ("", "as the file says"),
            *((f"{PROBE}{row.ref}", row.name) for row in probes()),
            *((f"{ROLE}{role}", f"{words}, unchecked") for role, words in ROLES),
        ]
        return {
            f"probe-{place}": PickField(label=f"“{name}” is", required=False, choices=offered)
            for place, name in enumerate(self.names)
        }

    @property
    def probe_fields(self) -> list[Any]:
        """The fields that say which probe is which."""
        return [self[f"probe-{place}"] for place in range(len(self.names))]

    def probes(self, before: Mapping[str, Any]) -> dict[str, Any]:
        """Return what is known of each probe; one that is named as before keeps what held then."""
        picked = ((name, self.cleaned_data[f"probe-{place}"]) for place, name in enumerate(self.names))
        return {name: _picked(pick, before.get(name, {})) for name, pick in picked if pick}


def _picked(pick: str, before: Mapping[str, Any]) -> dict[str, Any]:
    if pick.startswith(ROLE):
        return {"role": pick.removeprefix(ROLE)}
    ref = pick.removeprefix(PROBE)
    return dict(before) if before.get("probe") == ref else facts_of(probe(ref))


def picked_before(said: Mapping[str, Any]) -> str:
    """Return what a stored probe was picked as."""
    if said.get("probe"):
        return f"{PROBE}{said['probe']}"
    return f"{ROLE}{said['role']}" if said.get("role") else ""


class CourseForm(RecordForm):
    """A wanted course."""

    name = TextField(label="Name")
    typed = LinesField(
        label="Points",
        help_text="A line each, from the start to the end: 0:00 24, then 12:30 105. Straight lines between.",
    )
    tolerance_k = KelvinField(label="May be off by, either way")
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text="It goes into the history.")

    def card(self) -> CourseCard:
        """Return what was typed."""
        said = {name: self.cleaned_data[name] for name in ("name", "typed", "tolerance_k", "note")}
        return CourseCard(**said, scale=workshop().temperature_unit)


class UntilForm(WorkshopForm):
    """The temperature at which the beans are to come out."""

    until = DegreesField(label="Take them out at", required=False)


class WhyForm(WorkshopForm):
    """Why a roast is struck out."""

    why = TextField(label="Why")


def initial_of_course(row: Course) -> dict[str, Any]:
    """Return a stored course as its form shows it."""
    return {name: getattr(row, name) for name in ("name", "typed", "tolerance_k", "note")}
