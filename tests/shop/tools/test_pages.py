"""Every tool answers on its page, in a piece of it, and on paper; a refusal stands beside its field."""

from __future__ import annotations

import html
import io
import re
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from nibsmith.science.flow import Casson
from nibsmith.science.grind import SizeReading
from nibsmith.science.mixture import Span
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.calibrating.facts import VISCOMETER, Seen, Stretch, flow_facts, grinding_facts
from nibsmith.shop.kit.calibrating.services import observe
from nibsmith.shop.kit.instruments import FridgeCard, create_fridge
from nibsmith.shop.kit.models import Subject
from nibsmith.shop.kit.services import KitCard, create_kit
from nibsmith.shop.tools.catalogue import BENCHES
from source_tree import ROOT
from tool_examples import EXAMPLES

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def address(key: str, name: str = "bench") -> str:
    return reverse(f"tools:{name}", kwargs={"key": key})


def send(client: Client, key: str, typed: dict[str, str], name: str = "bench", **headers: str) -> str:
    response = ask(client, key, typed, name, **headers)
    return html.unescape(response.content.decode())


def ask(client: Client, key: str, typed: dict[str, str], name: str = "bench", **headers: str):  # type: ignore[no-untyped-def]
    asked = client.post if BENCHES[key].by_post else client.get
    return asked(address(key, name), typed, headers=headers)


def refusal(body: str, field: str) -> str:
    found = re.search(rf'<p class="error" id="id_{field}_error"[^>]*>(.*?)</p>', body, re.DOTALL)
    assert found, field
    return found[1]


def test_there_is_an_example_for_every_tool() -> None:
    assert set(EXAMPLES) == set(BENCHES)


def test_the_list_leads_to_every_tool(client: Client) -> None:
    body = client.get(reverse("tools:tools")).content.decode()
    for key, tool in BENCHES.items():
        assert f'href="{address(key)}">{html.escape(tool.name)}</a>' in body


def test_a_tool_knows_what_was_seen_on_an_own_kit(client: Client) -> None:
    agnes = create_kit(KitCard(name="Agnes", based_on="stone"))
    foretold, read = Casson(10.0, 2.0), Casson(15.0, 3.0)
    values = {"stress_at_5": read.stress_at_5, "viscosity_at_40": read.viscosity_at_40}
    for batch in range(6):
        thick = Seen(source=f"{batch}", words="thick", facts=flow_facts(VISCOMETER, foretold, values))
        observe(agnes.ref, Subject.FLOW, f"{batch}", [thick])
        stretch = Stretch(since_hours=0.0, start=Span(400.0, 500.0, 600.0), floor_um=15.0, charge_g=2000.0)
        sizes = [(8.0, 100.0), (18.0, 50.0)]
        fine = [
            Seen(source=f"{hours}", words="µm", facts=grinding_facts(SizeReading(hours, um, 5), stretch))
            for hours, um in sizes
        ]
        observe(agnes.ref, Subject.GRINDING, f"{batch}", fine)

    poured = send(client, "pour", {**EXAMPLES["pour"].typed, "kit": agnes.ref})
    assert "Calibrated with 6 observations of this kit" in poured
    assert "not calibrated to your kit" not in poured
    ground = send(client, "grinding", {"kit": agnes.ref, "last": "sugar", "readings": ""})
    assert "by 6 batches of your kit" in ground


def test_a_usual_charge_is_one_that_the_chosen_kit_takes(client: Client) -> None:
    typed = {"kit": "blender", "last": "nibs", "readings": "", "hours": "1"}
    usual, refused = send(client, "grinding", typed), send(client, "grinding", {**typed, "charge_g": "2 kg"})

    assert "such a charge is not known" not in usual
    assert "such a charge is not known" in refused


def test_a_tool_that_is_not_there_is_not_found(client: Client) -> None:
    assert client.get("/tools/alembic/").status_code == 404
    assert client.get("/tools/alembic/paper.pdf").status_code == 404


@pytest.mark.parametrize("key", EXAMPLES)
def test_the_first_look_answers_the_usual_or_says_what_to_type(client: Client, key: str) -> None:
    response = client.get(address(key))
    body = html.unescape(response.content.decode())
    assert response.status_code == 200
    assert ('class="answer ' in body) == bool(BENCHES[key].usual)
    assert BENCHES[key].usual or BENCHES[key].empty in body


@pytest.mark.parametrize("key", EXAMPLES)
def test_what_is_typed_is_answered_with_its_working_out(client: Client, key: str) -> None:
    example = EXAMPLES[key]
    body = send(client, key, example.typed)
    assert example.says in body
    assert "How it is worked out" in body
    assert ("Where it is from" in body) == (key != "faults")  # what is seen has no figures behind it
    for text in example.typed.values():
        assert text.split("\n")[0] in body


@pytest.mark.parametrize("key", EXAMPLES)
def test_a_picture_says_in_words_what_it_shows(client: Client, key: str) -> None:
    body = send(client, key, EXAMPLES[key].typed)
    pictures = re.findall(
        r'<svg class="chart-picture"[^>]*role="img"><title>(.+?)</title><desc>(.+?)</desc>', body
    )
    assert all(title.strip() and len(says) > 10 for title, says in pictures)
    assert len(pictures) == 2 * body.count('class="chart-wide"')


@pytest.mark.parametrize("key", EXAMPLES)
def test_htmx_gets_the_answer_and_the_refusals_alone(client: Client, key: str) -> None:
    body = send(client, key, EXAMPLES[key].typed, **HTMX)
    assert "<html" not in body
    assert EXAMPLES[key].says in body
    for name in BENCHES[key].form.base_fields:
        assert f'id="id_{name}_error" hx-swap-oob="true"' in body


@pytest.mark.parametrize("key", EXAMPLES)
@pytest.mark.parametrize("headers", [{}, HTMX], ids=["page", "piece"])
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, key: str, headers: dict[str, str]
) -> None:
    example = EXAMPLES[key]
    field, text, said = example.wrong
    response = ask(client, key, example.typed | {field: text}, **headers)
    body = html.unescape(response.content.decode())
    assert response.status_code == 422
    assert said in refusal(body, field)
    assert "Nothing is worked out yet." in body
    if not headers:
        for name, kept in example.typed.items():
            if name != field:
                assert kept.split("\n")[0] in body
            elif key != "faults":  # a box that is not there cannot be kept ticked
                assert text.split("\n")[0] in body


@pytest.mark.parametrize("key", EXAMPLES)
def test_the_answer_is_set_on_paper_with_its_picture(client: Client, key: str) -> None:
    response = ask(client, key, EXAMPLES[key].typed, "paper")
    assert response["Content-Type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(response.content))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert BENCHES[key].name.split("?")[0] in text
    assert "Formula" in text
    assert reader.metadata is not None
    assert reader.metadata.title == BENCHES[key].name


@pytest.mark.parametrize("key", EXAMPLES)
def test_where_there_is_nothing_to_print_the_page_says_why(client: Client, key: str) -> None:
    field, text, said = EXAMPLES[key].wrong
    response = ask(client, key, EXAMPLES[key].typed | {field: text}, "paper")
    assert response.status_code == 422
    assert said in html.unescape(response.content.decode())


@pytest.mark.parametrize("key", [key for key, tool in BENCHES.items() if not tool.by_post])
def test_a_tool_that_is_asked_by_its_address_takes_no_post(client: Client, key: str) -> None:
    assert client.post(address(key), {}).status_code == 404


def test_numbers_are_read_and_drawn_with_the_sign_of_the_workshop(client: Client) -> None:
    update_workshop(WorkshopSettings(decimal_sign=","))
    body = send(client, "damp", {"bar": "12,5", "room": "20", "humidity": "50,5", "kind": "dark"})
    assert "Too damp." in body or "Dry." in body
    assert re.search(r'class="answer-figure"><span class="number big">\d+,\d', body)


def test_degrees_fahrenheit_are_read_where_the_settings_say_so(client: Client) -> None:
    update_workshop(WorkshopSettings(temperature_unit="F"))
    body = send(client, "damp", {"bar": "53.6", "room": "68", "humidity": "50", "kind": "dark"})
    assert "53.6 °F" in body.replace("\u00a0", " ")


def test_what_is_not_typed_yet_is_no_fault_while_somebody_types(client: Client) -> None:
    typed = {
        "mass_g": "1.2 kg",
        "mass_celsius": "",
        "chocolate": "dark",
        "unknown": "seed_g",
        "bowl": "steel",
    }
    while_typing = ask(client, "seed", typed, **HTMX)
    assert while_typing.status_code == 200
    assert refusal(while_typing.content.decode(), "mass_celsius") == ""
    sent = ask(client, "seed", typed)
    assert sent.status_code == 422
    assert refusal(sent.content.decode(), "mass_celsius") == "This is needed."


def test_seed_grams_come_from_two_fields(client: Client) -> None:
    """1.2 kg at 46 °C with a steel bowl of 500 g: what was taken stands beside it."""
    body = send(client, "seed", {"mass_g": "1.2 kg", "mass_celsius": "46", **BENCHES["seed"].preset})
    assert re.search(r'class="number big">\d{3}</span> <span class="unit">g<', body)
    for words in ("Melts of the seed", "500\u00a0g of steel", "To come to", "31.5\u00a0°C"):
        assert words in body


@pytest.mark.parametrize(
    ("unknown", "typed", "unit"),
    [
        ("target_celsius", {"mass_g": "1 kg", "mass_celsius": "38", "seed_g": "200 g"}, "°C"),
        ("mass_celsius", {"mass_g": "1 kg", "seed_g": "200 g"}, "°C"),
        ("mass_g", {"mass_celsius": "40", "seed_g": "200 g"}, "g"),
        ("seed_celsius", {"mass_g": "1 kg", "mass_celsius": "38", "seed_g": "200 g"}, "°C"),
    ],
)
def test_every_unknown_of_a_seeding_can_be_asked_for(
    client: Client, unknown: str, typed: dict[str, str], unit: str
) -> None:
    body = send(client, "seed", {**BENCHES["seed"].preset, **typed, "unknown": unknown})
    assert re.search(rf'class="number big">[^<]+</span> <span class="unit">{unit}<', body)


def test_a_roast_is_read_from_a_file_and_what_was_understood_is_told(client: Client) -> None:
    log = (ROOT / "tests" / "fixtures" / "roast_logs" / "02-semicolons.log").read_bytes()
    sent = SimpleUploadedFile("oven.csv", log)
    response = client.post(address("roast"), {**BENCHES["roast"].preset, "file": sent})
    body = html.unescape(response.content.decode())
    assert response.status_code == 200
    assert "What was understood" in body
    assert "semicolons" in body
    assert "Rate of change, K a minute" in body


def test_a_pasted_log_is_read_as_a_log(client: Client) -> None:
    log = (ROOT / "tests" / "fixtures" / "roast_logs" / "01-seconds.log").read_text()
    body = send(client, "roast", {**BENCHES["roast"].preset, "points": log})
    assert "columns set apart by commas" in body


def test_degrees_that_must_be_fahrenheit_are_asked_about(client: Client) -> None:
    body = send(
        client,
        "roast",
        {**BENCHES["roast"].preset, "points": "0:00 75 °C\n10:00 220\n20:00 280", "off_k": "1"},
    )
    assert "To be settled first" in body
    assert "Say which scale it is" in body


def test_the_heat_of_a_roast_is_never_called_good(client: Client) -> None:
    hot = "0:00 24 °C\n5:00 130\n15:00 138\n25:00 140\n35:00 142\n45:00 145"
    body = send(client, "roast", {**BENCHES["roast"].preset, "points": hot, "off_k": "0.5"})
    assert 'class="answer watch"' in body
    assert 'class="answer good"' not in body
    air = send(client, "roast", {**BENCHES["roast"].preset, "points": hot, "role": "air"})
    assert "the air alone was measured" in air


def test_three_marked_curves_make_a_verdict_possible(client: Client) -> None:
    typed = EXAMPLES["curve"].typed
    assert "No verdict yet." in send(client, "curve", typed)
    marked = "+0.10 8 31.5 over\n+0.55 8 31.5 well\n+0.60 8 31.5 well\n+1.4 8 31.5 under"
    assert "No verdict yet." not in send(client, "curve", typed | {"marked": marked})
    wrong = send(client, "curve", typed | {"marked": "+0.10 8 31.5 perfect"})
    assert "no such mark" in refusal(wrong, "marked")


def test_fridge_settings_are_compared_in_a_table_and_a_picture(client: Client) -> None:
    body = send(client, "cooling", EXAMPLES["cooling"].typed)
    assert "Other settings of the fridge" in body
    assert body.count("stays in") >= 1


def test_a_fridge_of_the_maker_counts_with_its_own_temperature_and_air(client: Client) -> None:
    usual = send(client, "cooling", EXAMPLES["cooling"].typed)
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal("7.0"), air_h=Decimal(24)))
    body = send(client, "cooling", EXAMPLES["cooling"].typed | {"fridge": larder.ref})
    text = re.sub(r"\s+", " ", body).replace("\xa0", " ")

    assert "by your own figure" not in usual
    assert "at 7 °C (44.6 °F) in “Larder”, its air by your own figure" in text
    answered = text[text.index('id="result"') :]
    assert "still air" not in answered
    assert "The air of “Larder” takes up 24 W/(m² K), your own figure." in text
    assert "Choose one of the list." in refusal(send(client, "cooling", {"fridge": "kiwi"}), "fridge")


def test_grains_of_no_size_are_refused_beside_their_field(client: Client) -> None:
    body = send(client, "pour", EXAMPLES["pour"].typed | {"sugar_um": "0"})
    assert "Grains are larger than nothing" in refusal(body, "sugar_um")


def test_a_source_stands_on_paper_once_with_its_figure(client: Client) -> None:
    response = client.get("/tools/cooling/paper.pdf", EXAMPLES["cooling"].typed)
    pages = PdfReader(io.BytesIO(response.content)).pages
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))

    assert text.count("chocolate 15 to 40 °C") == 1
    assert text.count("abstract: alpha lives 30 min") == 1  # cited with no figure of its own


def test_air_below_freezing_is_refused_for_what_it_is(client: Client) -> None:
    body = send(client, "cooling", EXAMPLES["cooling"].typed | {"air": "-1 °C"}).replace("\xa0", " ")
    assert "got −1 °C (30.2 °F), limit 0 to 24 °C" in body
    assert "A range must hold" not in body


def test_where_no_time_can_be_told_page_and_paper_say_why(client: Client) -> None:
    typed = EXAMPLES["cooling"].typed | {"fat_percent": "50"}
    body = re.sub(r"\s+", " ", send(client, "cooling", typed)).replace("\xa0", " ")
    pages = PdfReader(io.BytesIO(ask(client, "cooling", typed, "paper").content)).pages
    paper = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages)).replace("\xa0", " ")

    for text in (body, paper):
        assert "No time." in text
        assert "How fast fat sets is known only for masses of 28 to 45 % fat (got 50 %)." in text


def test_an_address_with_the_two_fields_that_count_is_answered(client: Client) -> None:
    response = client.get("/tools/seed/", {"mass_g": "1.2 kg", "mass_celsius": "46"})

    assert response.status_code == 200
    assert "Seed for 1 200 g at 46 °C" in re.sub(r"[\u202f\xa0]", " ", response.content.decode())
