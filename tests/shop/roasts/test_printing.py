"""A roast on paper: the same picture, weights and words as on its page."""

from __future__ import annotations

import io

from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.services.readings import Sent, add_readings
from roasts_typed import TYPED


def test_a_roast_is_printed_with_its_picture_and_its_heat(client: Client, roast: Roast) -> None:
    add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}))
    assert "On paper" in client.get(reverse("roasts:roast", args=[roast.public_id])).content.decode()
    response = client.get(reverse("roasts:on_paper", args=[roast.public_id]))
    assert response["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(response.content)).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    for words in (
        "Roast 1, Marsh Farm",
        "Temperature, °C",
        "How long it was above",
        "2 000 g",
        "Cannot tell.",
    ):
        assert words in text.replace("\u202f", " ").replace("\xa0", " ")


def test_without_readings_there_is_no_paper_and_the_page_stays(client: Client, roast: Roast) -> None:
    page = reverse("roasts:roast", args=[roast.public_id])
    assert "On paper" not in client.get(page).content.decode()
    response = client.get(reverse("roasts:on_paper", args=[roast.public_id]))
    assert (response.status_code, response["Location"]) == (302, page)
