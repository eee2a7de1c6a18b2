"""The temper program of a kind of chocolate."""

from __future__ import annotations

from nibsmith.answers.tools.tempering import USUAL_FAT_PERCENT, TemperAsked, held, temper_by_hand
from nibsmith.paper.pictures.temper import held_chart, program_chart
from nibsmith.science.temper import Chocolate, ProgramTable
from nibsmith.shop.common.forms import DegreesField, PercentField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import KINDS, ToolForm, pick
from nibsmith.shop.tools.showing import Bench, Shown, show

TABLES = (
    (ProgramTable.FIRST, "a school of chocolate"),
    (ProgramTable.SECOND, "a guide to tempering"),
)


class TemperingForm(ToolForm):
    """Kind, other fat, table, a bowl that is held."""

    chocolate = pick(KINDS, label="Chocolate")
    other_percent = PercentField(
        label="Other fat, of all fat",
        required=False,
        help_text="Such as nut oil, ground in; in dark chocolate milk fat too.",
    )
    held_celsius = DegreesField(label="Bowl held at", required=False)
    fat_percent = PercentField(label="Fat of the mass", required=False)
    table = pick(TABLES, label="Published by")

    def asked(self) -> TemperAsked:
        """Return what was typed."""
        return TemperAsked(
            Chocolate(self.cleaned_data["chocolate"]),
            self.number("other_percent") or 0.0,
            ProgramTable(self.cleaned_data["table"]),
            self.number("held_celsius"),
            self.number("fat_percent") or USUAL_FAT_PERCENT,
        )


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the steps drawn."""
    assert isinstance(form, TemperingForm)  # noqa: S101  the catalogue pairs them
    asked, sign = form.asked(), settings.decimal_sign or "."
    outcome, bowl = temper_by_hand(asked), held(asked)
    charts = [program_chart(asked.program, sign), None if bowl is None else held_chart(bowl, sign)]
    return show(outcome, charts, settings)


BENCH = Bench(
    key="tempering",
    name="Temper program",
    lead="The temperatures of a kind of chocolate, shifted for other fat; and how long a bowl can be held.",
    form=TemperingForm,
    work=work,
    usual={"chocolate": "dark", "table": "first"},
)
