"""The roast at the bench: when the beans were in, when they will be there, and a study of one's own."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from django.test import Client

from roasts_typed import log_file, plain

pytestmark = pytest.mark.django_db
URL = "/tools/roast/"
POINTS = "0:00 25 °C\n10:00 85\n20:00 109"
STUDY = {
    "survivors_min": "30",
    "survivors_at_celsius": "120",
    "survivors_shape": "0.7",
    "survivors_z_k": "30",
    "survivors_low_celsius": "100",
    "survivors_high_celsius": "140",
}


def ask(client: Client, **typed: Any) -> Any:
    return client.post(URL, {"matter": "beans", "role": "bean", **typed})


def test_the_end_is_foretold_of_typed_readings(client: Client) -> None:
    body = plain(ask(client, points=POINTS, until="118"))

    assert "118 °C (244.4 °F) comes at about 29:01" in body
    assert "levels off below that" in plain(ask(client, points=POINTS, until="126"))


def test_a_probe_left_in_the_hot_drum_is_asked_about_and_settled(client: Client) -> None:
    rows = "\n".join(f"{minute},{min(24 + 5 * minute, 120) if minute <= 20 else 136}" for minute in range(81))
    log = f"time (min),beans (°C)\n{rows}\n"
    asked = plain(ask(client, file=log_file(log), off_k="1"))
    told = plain(ask(client, file=log_file(log), off_k="1", out_at="20:00"))

    assert "To be settled first “beans” came to 134 °C" in asked
    assert "Cannot tell." in asked
    assert "Too little heat." in told
    assert "Beans out at 20:00" in told


def test_a_study_of_one_s_own_counts_where_it_says_less_and_who_decides_stands_beside_it(
    client: Client,
) -> None:
    hot = "0:00 24 °C\n10:00 110\n20:00 130\n45:00 138"
    body = plain(ask(client, points=hot, off_k="1", study="report 12", **STUDY))
    page = plain(client.get(URL))

    assert "Your own survivor line comes to" in body
    assert "report 12" in body
    assert "What that study found holds, not this estimate. Whether a roast kills Salmonella" in page


def test_a_study_without_all_its_figures_is_refused_beside_the_one_that_is_lacking(client: Client) -> None:
    response = ask(client, points=POINTS, **{**STUDY, "survivors_shape": ""})
    refusal = re.search(
        r'id="id_survivors_shape_error">(.*?)</p>', html.unescape(response.content.decode()), re.DOTALL
    )

    assert response.status_code == 422
    assert refusal
    assert "needs all six of its figures" in refusal[1]


def test_no_inside_of_a_bean_is_drawn_across_a_gap_in_the_air_and_the_reason_is_told(client: Client) -> None:
    rows = "\n".join(f"{s},{140 + s % 3}" for s in (*range(0, 291, 10), *range(1500, 2101, 10)))
    log = f"time (s),air (°C)\n{rows}\n"
    typed = {"charge_g": "1 kg", "end_g": "948 g", "roaster": "fan_oven", "start": "20"}
    body = plain(ask(client, file=log_file(log), **typed))

    assert "because the air has no reading from 4.8 to 25.0 min, and no line is drawn there." in body
    assert "Inside the beans" not in body


def test_what_cannot_be_of_a_loss_is_said_at_once(client: Client) -> None:
    body = plain(ask(client, points=POINTS, charge_g="1 kg", end_g="500 g"))

    assert "To be settled first This cannot be: 43.5 % of the charge" in body
    # A bowl that lost half a percent: no water below nothing.
    assert "Water 0.0 % (0.0–0.5)" in plain(ask(client, points=POINTS, charge_g="1 kg", end_g="995 g"))
