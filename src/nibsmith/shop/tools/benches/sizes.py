"""A laser's table of grain sizes."""

from __future__ import annotations

from typing import Any

from django import forms

from nibsmith.answers.tools.grain_sizes import sizes_by_hand, sizes_read
from nibsmith.paper.pictures.sizes import sizes_chart
from nibsmith.science.errors import InputError
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import ToolForm, file_text, long_text
from nibsmith.shop.tools.showing import Bench, Listed, Shown, show


class SizesForm(ToolForm):
    """A table, pasted or from a file."""

    table = long_text(
        label="Sizes and shares of the volume",
        required=False,
        help_text="Size first, in µm or as its head says; the share last: finer, coarser or in each class.",
    )
    file = forms.FileField(label="or a file", required=False)

    def clean(self) -> dict[str, Any]:
        """Take the file for the table where one was sent."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if typed.get("file") is not None and not self.errors:
            typed["table"] = file_text(typed["file"])
        return typed


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was pasted, with the sizes drawn."""
    try:
        read = sizes_read(form.cleaned_data["table"])
    except InputError as error:
        error.field = error.field or "table"
        raise
    lists = (Listed("What was understood", read.table.understood),)
    return show(sizes_by_hand(read), [sizes_chart(read, settings.decimal_sign or ".")], settings, lists)


BENCH = Bench(
    key="sizes",
    name="Grain sizes",
    lead="What a laser's table says: the largest grains, the fines, and how it feels.",
    form=SizesForm,
    work=work,
    by_post=True,
    empty="Paste the table of a laser, or send its file.",
)
