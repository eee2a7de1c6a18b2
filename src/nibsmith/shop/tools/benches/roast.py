"""A roast: its curve, its loss, and how far the heat went as far as anybody can tell."""

from __future__ import annotations

from typing import Any

from django import forms

from nibsmith.answers.roasted import SURVIVORS
from nibsmith.answers.tools.roasting import RoastTyped, roast_by_hand
from nibsmith.paper.pictures.roast import roast_picture
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Matter, Roaster, Role
from nibsmith.science.roast.log import TimeUnit, Told
from nibsmith.shop.common.forms import (
    DegreesField,
    MassField,
    NumberField,
    PercentField,
    PickField,
    TextField,
)
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.roasts.fields import StayForm, StudyForm
from nibsmith.shop.tools.forms import ToolForm, file_bytes, long_text, pick, picked
from nibsmith.shop.tools.showing import Bench, Listed, Shown, show

SCALES = (("", "as it is written"), ("C", "°C"), ("F", "°F"))
ROLES = ((Role.BEAN, "in the beans"), (Role.AIR, "in the air"))
MATTERS = ((Matter.BEANS, "whole beans"), (Matter.NIBS, "nibs"))
ROASTERS = (
    (Roaster.STILL_OVEN, "an oven"),
    (Roaster.FAN_OVEN, "an oven with a fan"),
    (Roaster.DRUM, "a drum"),
    (Roaster.HOT_AIR, "hot air"),
)
TIME_UNITS = tuple((unit, unit.value) for unit in TimeUnit)
MOST_TYPED = 60  # lines; more than a hand types, so that a pasted log is read as a log


class RoastForm(StayForm, StudyForm, ToolForm):
    """Points, a log or a dial; weights; what is known of probe and roaster; a study of the maker's own."""

    points = long_text(
        label="Readings, or a pasted log",
        required=False,
        help_text="Typed, three lines at least: 0:00 24 °C. Or a whole log as the logger wrote it.",
    )
    file = forms.FileField(label="or a logger's file", required=False)
    dial = DegreesField(label="or an oven set to", required=False)
    minutes = NumberField(label="for", unit="min", required=False)
    charge_g = MassField(label="Weight in", required=False)
    end_g = MassField(label="Weight out", required=False)
    off_k = NumberField(
        label="The bean probe can be off by",
        unit="K",
        required=False,
        help_text="As its maker says, or as you found it in boiling water.",
    )
    matter = pick(MATTERS, label="Roasted are")
    role = pick(ROLES, label="Typed readings are")
    scale = PickField(label="Temperatures are", choices=SCALES, required=False)
    beans = TextField(label="Column in the beans", required=False)
    air = TextField(label="Column in the air", required=False)
    time = TextField(label="Column of times", required=False)
    time_unit = pick(TIME_UNITS, empty="as it is written", label="It counts", required=False)
    water_before = PercentField(label="Water before", required=False)
    water_after = PercentField(label="Water after", required=False)
    roaster = pick(ROASTERS, empty="not said", label="Roasted in", required=False)
    start = DegreesField(label="How warm the beans went in", required=False)
    until = DegreesField(
        label="Take them out at",
        required=False,
        help_text="When will they be there? A guess from the last readings.",
    )

    def clean(self) -> dict[str, Any]:
        """Read a pasted log as a log: more lines than a hand types, or a line of heads."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return typed
        typed["log"] = file_bytes(typed["file"]) if typed.get("file") is not None else b""
        text = typed.get("points", "")
        if not typed["log"] and _is_log(text):
            typed["log"], typed["points"] = text.encode(), ""
        return typed

    def asked(self) -> RoastTyped:
        """Return what was typed."""
        typed = self.cleaned_data
        return RoastTyped(
            points=typed["points"],
            log=typed["log"],
            dial_celsius=self.number("dial"),
            dial_minutes=self.number("minutes"),
            scale=typed["scale"] or None,
            role=Role(typed["role"]),
            told=Told(
                time=typed["time"],
                time_unit=picked(TimeUnit, typed["time_unit"]),
                beans=_names(typed["beans"]),
                air=_names(typed["air"]),
            ),
            off_k=self.number("off_k"),
            charge_g=self.number("charge_g"),
            end_g=self.number("end_g"),
            water_before_percent=self.number("water_before"),
            water_after_percent=self.number("water_after"),
            matter=Matter(typed["matter"]),
            roaster=picked(Roaster, typed["roaster"]),
            start_celsius=self.number("start"),
            in_s=typed["in_at"],
            out_s=typed["out_at"],
            survivors=self.survivors(),
            study=typed["study"],
            until_celsius=self.number("until"),
        )


def _is_log(text: str) -> bool:
    """Whether a logger wrote a text: many lines, columns set apart, or a first line without digits."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_TYPED or "\t" in text:
        return True
    return len(lines) > 1 and not any(sign.isdigit() for sign in lines[0])


def _names(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(";") if name.strip())


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the roast drawn."""
    assert isinstance(form, RoastForm)  # noqa: S101  the catalogue pairs them
    try:
        seen = roast_by_hand(form.asked())
    except InputError as error:
        if error.field not in form.fields:
            error.field = "points" if form.cleaned_data.get("file") is None else "file"
        raise
    ahead = (seen.ahead,) if seen.ahead else ()
    lists = (
        Listed("To be settled first", seen.questions, first=True),
        Listed("When it is there", ahead, first=True),
        Listed("What was understood", seen.understood),
    )
    chart = roast_picture(seen.chart, settings.decimal_sign or ".")
    return show(seen.outcome, [chart], settings, tuple(one for one in lists if one.lines))


BENCH = Bench(
    key="roast",
    name="Roast",
    lead="The curve of a roast, what it lost, and how far the heat went, as far as it can be told.",
    form=RoastForm,
    work=work,
    more=(
        "role",
        "scale",
        "beans",
        "air",
        "time",
        "time_unit",
        "water_before",
        "water_after",
        "roaster",
        "start",
        "in_at",
        "out_at",
        *SURVIVORS,
        "study",
    ),
    by_post=True,
    preset={"matter": "beans", "role": "bean"},
    empty="Type a few readings, or paste or send a log; or the dial and the minutes, and the weights.",
)
