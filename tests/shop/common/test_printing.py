"""Everything printed is printed on the paper of the workshop."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from nibsmith.paper import Paper
from nibsmith.shop.common.printing import paper_of
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.recipes import services
from recipes_typed import DARK, draft

pytestmark = pytest.mark.django_db
LETTER_POINTS, A4_POINTS = (612, 792), (595, 842)  # 8.5 by 11 inches, 210 by 297 mm


def test_the_settings_name_the_paper() -> None:
    assert paper_of(WorkshopSettings(paper="A4")) is Paper.A4
    assert paper_of(WorkshopSettings(paper="letter")) is Paper.LETTER


@pytest.mark.parametrize("page", ["sheet.pdf", "pours-and-sets.pdf"])
@pytest.mark.parametrize(("paper", "points"), [("A4", A4_POINTS), ("letter", LETTER_POINTS)])
def test_a_recipe_is_printed_on_it(client: Client, page: str, paper: str, points: tuple[int, int]) -> None:
    update_workshop(WorkshopSettings(paper=paper))  # type: ignore[arg-type]
    version = services.create_recipe(draft(*DARK))
    printed = client.get(f"/recipes/{version.recipe.public_id}/{page}").content

    width, height = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", printed).groups()  # type: ignore[union-attr]
    assert (round(float(width)), round(float(height))) == points
