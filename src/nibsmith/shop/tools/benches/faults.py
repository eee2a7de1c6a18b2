"""What went wrong, told by what is seen."""

from __future__ import annotations

from collections.abc import Mapping

from django import forms

from nibsmith.answers.tools.diagnosis import faults_by_hand, groups, look_next
from nibsmith.shop.common.forms import ListField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import ToolForm
from nibsmith.shop.tools.showing import Bench, Listed, Shown, show


def _fields() -> dict[str, forms.Field]:
    return {
        sights[0].when: ListField(
            label=heading, required=False, choices=[(sight.key, sight.words) for sight in sights]
        )
        for heading, sights in groups()
    }


class FaultsForm(ToolForm):
    """Everything that can be seen or known, in groups."""

    def more_fields(self) -> Mapping[str, forms.Field]:
        return _fields()

    def told(self) -> set[str]:
        """Return everything that was ticked."""
        return {key for name in self.fields for key in self.cleaned_data[name]}


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was ticked, and say what to look at next."""
    assert isinstance(form, FaultsForm)  # noqa: S101  the catalogue pairs them
    told = form.told()
    further = tuple(sight.words for sight in look_next(told)) if told else ()
    lists = (Listed("What to look at next", further, first=True),) if further else ()
    return show(faults_by_hand(told), [], settings, lists)


BENCH = Bench(
    key="faults",
    name="What went wrong?",
    lead="Tick what you see: what it most likely comes from, what to do now, what to look at next.",
    form=FaultsForm,
    work=work,
    names=tuple(_fields()),
    empty="Tick what you see, one thing at least.",
)
