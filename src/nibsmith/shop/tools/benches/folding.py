"""What fold-ins do to a tempered mass."""

from __future__ import annotations

from nibsmith.answers.fold_in import FoldInAsked
from nibsmith.answers.tools.folding import fold_in_by_hand
from nibsmith.science.mixture import ingredient, ingredients
from nibsmith.science.temper import Chocolate
from nibsmith.shop.common.forms import DegreesField, MassField, PickField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import KINDS, ToolForm, pick
from nibsmith.shop.tools.showing import Bench, Shown, show


def _things() -> list[tuple[str, str]]:
    return sorted(((key, one.name) for key, one in ingredients().items()), key=lambda pair: pair[1])


class FoldingForm(ToolForm):
    """Mass, fold-in, and how warm both are."""

    ingredient = PickField(label="Folded in", choices=_things)
    amount_g = MassField(label="How much of it", help_text="Such as 240 g.")
    celsius = DegreesField(label="It is at", required=False, help_text="Empty: as warm as a room.")
    mass_g = MassField(label="Tempered mass", help_text="Such as 1.8 kg.")
    mass_celsius = DegreesField(
        label="The mass is at", required=False, help_text="Empty: at its working temperature."
    )
    chocolate = pick(KINDS, label="Chocolate")

    def asked(self) -> FoldInAsked:
        """Return what was typed."""
        return FoldInAsked(
            mass_g=self.needed("mass_g"),
            amount_g=self.needed("amount_g"),
            ingredient=ingredient(self.cleaned_data["ingredient"]),
            celsius=self.number("celsius"),
            mass_celsius=self.number("mass_celsius"),
            chocolate=Chocolate(self.cleaned_data["chocolate"]),
        )


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed."""
    assert isinstance(form, FoldingForm)  # noqa: S101  the catalogue pairs them
    return show(fold_in_by_hand(form.asked()), [], settings)


BENCH = Bench(
    key="folding",
    name="Folding in",
    lead="How far nuts, fruit or nibs cool a tempered mass, and how warm they must be.",
    form=FoldingForm,
    work=work,
    preset={"ingredient": "hazelnut_dry_roasted", "chocolate": "dark"},
    empty="Type how much is folded into how much.",
)
