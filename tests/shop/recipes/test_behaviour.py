"""How a recipe pours and sets: the page asks for the cold and draws, the paper says the same."""

from __future__ import annotations

import html
import re
import subprocess
from decimal import Decimal
from pathlib import Path

import pytest
from django.test import Client

from nibsmith.shop.kit import instruments
from nibsmith.shop.kit.instruments import FridgeCard
from nibsmith.shop.recipes.models import RecipeVersion

pytestmark = pytest.mark.django_db
PICTURES = ("Flow of ", "Temper program, dark", "The bar in the cold")


def address(version: RecipeVersion) -> str:
    return f"/recipes/{version.recipe.public_id}/pours-and-sets"


def read(client: Client, where: str, typed: dict[str, str] | None = None, status: int = 200) -> str:
    response = client.get(where, typed or {})
    assert response.status_code == status
    return html.unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).replace("\xa0", " ")


def test_all_three_pictures_stand_beside_their_answers(client: Client, dark: RecipeVersion) -> None:
    body = read(client, f"{address(dark)}/")
    for words in ("Will it pour?", "Will it set and snap?", *PICTURES):
        assert words in body
    assert "comes off" in body


def test_a_fridge_of_the_maker_counts_with_its_own_cold(client: Client, dark: RecipeVersion) -> None:
    cold = instruments.create_fridge(FridgeCard(name="Larder fridge", celsius=Decimal("11.5")))
    assert "at 11.5 °C" in read(client, f"{address(dark)}/", {"fridge": cold.ref})
    assert "at 14 °C" in read(client, f"{address(dark)}/", {"air": "14"})


def test_a_thicker_bar_stays_longer(client: Client, dark: RecipeVersion) -> None:
    thin, thick = (
        int(re.search(r"comes off after about\s+(\d+) min", body)[1])  # type: ignore[index]
        for mm in ("6", "12")
        for body in [re.sub(r"\s+", " ", read(client, f"{address(dark)}/", {"thickness_mm": mm}).lower())]
    )
    assert thin < thick


@pytest.mark.parametrize("typed", [{"air": "cold"}, {"thickness_mm": "-3"}, {"fridge": "none such"}])
def test_what_cannot_be_is_refused_beside_its_field(
    client: Client, dark: RecipeVersion, typed: dict[str, str]
) -> None:
    body = client.get(f"{address(dark)}/", typed).content.decode()
    assert client.get(f"{address(dark)}/", typed).status_code == 422
    assert 'aria-invalid="true"' in body
    assert "Nothing is worked out yet." in body
    assert client.get(f"{address(dark)}.pdf", typed).status_code == 422


def test_the_paper_holds_the_same_answers_and_pictures(
    client: Client, dark: RecipeVersion, tmp_path: Path
) -> None:
    response = client.get(f"{address(dark)}.pdf")
    assert response["Content-Type"] == "application/pdf"
    file = tmp_path / "leaf.pdf"
    file.write_bytes(response.content)
    text = subprocess.run(
        ["pdftotext", "-layout", file, "-"], check=True, capture_output=True, text=True
    ).stdout
    for words in ("Will it set and snap?", "Will it pour?", *PICTURES):
        assert words in text
