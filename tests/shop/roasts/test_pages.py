"""The pages of the roasts: any log is read or refused in words, nothing typed is lost, heat told straight."""

from __future__ import annotations

import html
import re
import uuid
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from pytest_django import DjangoAssertNumQueries

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.roasts.models import Course, Readings, Roast
from nibsmith.shop.roasts.selectors import MOST_COMPARED
from nibsmith.shop.roasts.services.courses import CourseCard, create
from nibsmith.shop.roasts.services.readings import Sent, add_readings
from nibsmith.shop.roasts.services.roasts import RoastCard, write_down
from roasts_typed import TYPED, log_file, plain, read

pytestmark = pytest.mark.django_db
NEW = reverse("roasts:new")
LOGS = Path(__file__).parents[2] / "fixtures" / "roast_logs"
Send = Callable[..., Any]
# What the maker has to say beside two of the logs before they can be used.
TOLD = {"25-two-runs": {"run": "2"}, "27-no-times": {"every_s": "10"}}


def good(**changes: Any) -> dict[str, Any]:
    """What a browser sends of a new roast."""
    fields = {"beans": "Marsh Farm", "matter": "beans", "readings-role": "bean", **changes}
    return {name: value for name, value in fields.items() if value is not None}


def test_beans_weights_and_three_readings_are_a_record(client: Client) -> None:
    typed = good(
        charge_g="2 kg",
        end_g="1898",
        roasted_on="2026-03-14",
        senses="first pops at 18",
        **{"readings-typed": "0:00 24\n10:00 105\n25:00 124"},
    )
    response = client.post(NEW, typed, follow=True)

    roast = Roast.objects.get()
    assert (roast.charge_g, roast.end_g, roast.roasted_on) == (2000, 1898, date(2026, 3, 14))
    body = plain(response)
    # By hand: 102 g of 2,000 g are 5.1 %.
    assert "Lost 102 g, 5.1 %" in body
    assert "Roast 1, Marsh Farm" in body
    assert "first pops at 18" in body
    assert "chart-picture" in read(response)
    assert "Cannot tell." in body


def test_an_oven_setting_and_minutes_alone_are_a_record(client: Client) -> None:
    response = client.post(NEW, good(dial_celsius="284 F", dial_minutes="28"), follow=True)

    assert Roast.objects.get().dial_celsius == 140
    body = plain(response)
    assert "Set to 140 °C for 28" in body
    assert "Unknown, because a dial and minutes measure nothing" in body


def test_beans_can_be_an_ingredient_of_the_workshop(client: Client) -> None:
    client.post(NEW, good(beans="", ingredient="cocoa_nibs_raw"), follow=True)

    roast = Roast.objects.get()
    assert roast.ingredient == "cocoa_nibs_raw"
    assert roast.beans


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"beans": ""}, "beans", "This is needed."),
        ({"matter": "soup"}, "matter", "Choose one of the list."),
        ({"charge_g": "2 cups"}, "charge_g", "Weigh it once"),
        ({"charge_g": "1000", "end_g": "1001"}, "end_g", "Nothing gets heavier in a roast"),
        ({"roasted_on": "tomorrow"}, "roasted_on", "This is not a day"),
        ({"roasted_on": "2999-01-01"}, "roasted_on", "A roast is not of the future"),
        ({"dial_celsius": "140"}, "dial_minutes", "A dial needs its minutes"),
        ({"start_celsius": "warm"}, "start_celsius", "not a temperature"),
        ({"water_before_percent": "70"}, "water_before_percent", "This cannot be true"),
        ({"readings-typed": "warm at first"}, "readings-typed", "has a few points"),
        ({"readings-typed": "0:00 24\n5:00 x\n9:00 110"}, "readings-typed", "no time with a temperature"),
        ({"readings-typed": "0:00 24\n10:00 105\n9:00 110"}, "readings-typed", "The times do not rise"),
        ({"readings-file": log_file("")}, "readings-file", "The file is empty"),
        ({"readings-file": log_file(b"PK\x03\x04rest", "log.xlsx")}, "readings-file", "not a text"),
        ({"readings-typed": TYPED, "readings-file": log_file("a;b\n")}, "readings-file", "from one place"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, changes: dict[str, Any], field: str, said: str
) -> None:
    response = client.post(NEW, good(note="kept as typed", machine="The oven", **changes))
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert "kept as typed</textarea>" in body
    assert 'value="The oven"' in body
    assert "Nothing is saved yet." in body
    assert not Roast.objects.exists()
    assert not ChangeEntry.objects.exists()


@pytest.mark.parametrize("name", sorted(path.stem for path in LOGS.glob("*.log")))
def test_every_log_is_read_or_refused_with_the_words_expected_of_it(
    client: Client, roast: Roast, add: Send, shown: Send, name: str
) -> None:
    expected = (LOGS / f"{name}.expected.txt").read_text(encoding="utf-8").splitlines()
    data = (LOGS / f"{name}.log").read_bytes()
    response = add(roast, file=log_file(data, f"{name}.log"))
    if expected[0].startswith("Refused: "):
        assert response.status_code == 422
        wanted = expected[0].removeprefix("Refused: ").replace("\xa0", " ")
        assert re.sub(r"\s+", " ", wanted) in plain(response)
        assert not Readings.objects.exists()
        return
    assert response.status_code == 302
    body = plain(shown(roast))
    for line in expected:
        assert re.sub(r"\s+", " ", line.removeprefix("Question: ").replace("\xa0", " ")) in body
    assert "\r" not in Readings.objects.get().raw


@pytest.mark.parametrize("name", sorted(TOLD))
def test_a_log_that_lacks_something_can_be_told_it(roast: Roast, add: Send, shown: Send, name: str) -> None:
    file = log_file((LOGS / f"{name}.log").read_bytes())

    assert add(roast, file=file, **TOLD[name]).status_code == 302
    assert "chart-picture" in read(shown(roast))


def test_fahrenheit_taken_for_celsius_is_questioned_and_put_right(
    client: Client, roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, file=log_file("time,beans\n0:00,75\n10:00,212\n20:00,280\n"))
    body = read(shown(roast))
    assert "“beans” reads up to 280. In °C that is far too hot for cocoa; in °F it is 138 °C." in body
    assert "Cannot tell." in body

    url = reverse("roasts:settle", args=[roast.public_id])
    assert client.post(url, {"settle-scale": "F"}).status_code == 302
    body = read(shown(roast))
    assert "far too hot" not in body
    assert "hottest 138 °C" in body


def test_a_probe_in_the_log_is_named_and_the_heat_is_counted(
    client: Client, roast: Roast, basket: Probe, add: Send, shown: Send
) -> None:
    rows = "\n".join(f"{minute},{min(20 + 8 * minute, 128)},{138 + minute % 3}" for minute in range(46))
    add(roast, file=log_file(f"minutes,probe 1,oven\n{rows}\n"))
    assert "you have not told me whether “probe 1” is in the beans" in plain(shown(roast))

    url = reverse("roasts:settle", args=[roast.public_id])
    client.post(url, {"settle-probe-0": f"probe:{basket.ref}"})
    body = plain(shown(roast))
    assert "“probe 1” is Basket probe, good to ± 1.5 K." in body
    assert "say when they came out" in body
    assert "Cannot tell." in body

    client.post(url, {"settle-probe-0": f"probe:{basket.ref}", "settle-out_at": "45"})
    body = plain(shown(roast))
    assert "An estimate, no proof." in body
    assert "say when" not in body
    assert "Came out at 45:00 of the readings" in body
    assert "is decided by a process authority or a laboratory" in body
    for word in ("validated", "is safe", "compliant"):
        assert word not in body


def test_a_probe_can_be_said_to_be_in_the_air_without_one_of_the_kit(
    client: Client, roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, file=log_file("minutes,probe 1\n0,24\n10,120\n20,140\n"))
    client.post(reverse("roasts:settle", args=[roast.public_id]), {"settle-probe-0": "role:air"})

    assert "the air alone was measured" in plain(shown(roast))
    body = shown(roast).content.decode()
    assert '<option value="role:air" selected>' in body


def test_typed_readings_by_a_probe_take_its_place_and_its_facts(
    client: Client, basket: Probe, shown: Send
) -> None:
    typed = good(**{"readings-typed": TYPED, "readings-role": "air", "readings-probe": basket.ref})
    client.post(NEW, typed)

    row = Readings.objects.get()
    assert (row.role, row.probes["readings by hand"]["uncertainty_k"]) == ("bean", 1.5)
    assert "tenfold reductions" in plain(shown(Roast.objects.get()))


def test_bare_degrees_are_on_the_scale_of_the_workshop(client: Client, shown: Send) -> None:
    update_workshop(WorkshopSettings(temperature_unit="F"))
    client.post(NEW, good(**{"readings-typed": "0:00 75\n10:00 212\n20:00 248"}))
    update_workshop(WorkshopSettings(temperature_unit="C"))

    assert "hottest 120 °C" in plain(shown(Roast.objects.get()))


def test_other_readings_ask_for_the_reason_and_the_old_ones_can_be_looked_at(
    client: Client, roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, typed=TYPED)
    refused = add(roast, file=log_file("time;beans (C)\n0:00;24\n10:00;105\n20:00;121\n"))
    assert refused.status_code == 422
    assert re.search(r'id="id_more-why_error">There are readings already', read(refused))

    file = log_file("time;beans (C)\n0:00;24\n10:00;105\n20:00;121\n", "found.csv")
    assert add(roast, file=file, why="found the log").status_code == 302
    body = read(shown(roast))
    assert "found.csv" in body
    assert "Readings that stood before" in body
    for link, text in zip(
        re.findall(r'href="([^"]+/text/)"', body), ("time;beans (C)", TYPED.splitlines()[0]), strict=True
    ):
        response = client.get(link)
        assert response.headers["Content-Type"].startswith("text/plain")
        assert response.content.decode().startswith(text)


def test_a_roast_without_readings_asks_for_them(roast: Roast, add: Send, shown: Send) -> None:
    assert "nothing measured yet" in plain(shown(roast))
    assert add(roast).status_code == 422


def test_a_file_larger_than_is_taken_is_refused_with_the_limit(client: Client, roast: Roast) -> None:
    url = reverse("roasts:add_readings", args=[roast.public_id])
    response = client.post(
        url, {"more-file": log_file("x")}, headers={"Content-Length": str(200 * 1024 * 1024)}
    )

    assert response.status_code == 413
    assert "16 MB" in plain(response)
    assert not Readings.objects.exists()


def test_a_file_somewhat_too_large_is_refused_beside_its_field_and_nothing_typed_is_lost(
    client: Client,
) -> None:
    file = log_file(b"0,20\n" * 3_600_000)
    response = client.post(NEW, good(note="kept as typed", **{"readings-file": file}))
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(r'id="id_readings-file_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert "too large for the log of a roast (got 18,000,000 bytes, limit 16,000,000 bytes)" in refusal[1]
    assert "kept as typed</textarea>" in body
    assert not Roast.objects.exists()


def test_what_is_filled_in_and_changed_goes_by_its_page(client: Client, roast: Roast) -> None:
    url = reverse("roasts:edit", args=[roast.public_id])
    body = client.get(url).content.decode()
    typed = dict(re.findall(r'<input type="(?:text|date)" name="([\w-]+)" value="([^"]*)"', body))
    typed |= {"matter": "beans", "roaster": "fan_oven"}
    count = ChangeEntry.objects.count()
    assert client.post(url, typed).status_code == 302
    assert ChangeEntry.objects.count() == count

    assert client.post(url, {**typed, "water_after_percent": "2.4"}).status_code == 302
    refused = client.post(url, {**typed, "water_after_percent": "2.4", "end_g": "1880", "note": "kept"})
    assert refused.status_code == 422
    assert "This stands already: weight after" in read(refused)
    assert "kept</textarea>" in read(refused)
    for_a_reason = {**typed, "water_after_percent": "2.4", "end_g": "1880", "why": "the bowl"}
    assert client.post(url, for_a_reason).status_code == 302
    roast.refresh_from_db()
    assert (roast.end_g, roast.water_after_percent) == (1880, Decimal("2.4"))


def test_a_loss_that_cannot_be_is_said_to_be_so(card: RoastCard, shown: Send) -> None:
    """7 % of water lost of beans that held 2 %: the dry mass would have shrunk by more than volatiles."""
    water = {"water_before_percent": Decimal(2), "water_after_percent": Decimal(1)}
    roast = write_down(replace(card, end_g=Decimal(1860), **water))

    assert "This cannot be: 5.9 % of the charge would be neither water nor the acids" in plain(shown(roast))


def test_a_wanted_course_is_a_band_and_how_a_roast_kept_to_it(client: Client, shown: Send) -> None:
    course = create(CourseCard(name="Tuesday", typed=TYPED, tolerance_k=Decimal(5), scale="C"))
    hot = "0:00 23\n6:00 84\n12:00 106\n20:00 129\n28:00 135"
    client.post(NEW, good(wanted=course.ref, **{"readings-typed": hot}))

    body = plain(shown(Roast.objects.get()))
    assert "Against “Tuesday”" in body
    # By hand: 10 K too hot from minute 20 on, 5 K at minute 16: out of the band for 12 of 28 minutes.
    assert "Too hot 43 % of the time" in body
    assert "Furthest off 10.0 K hotter, at 20:00" in body
    assert "Left it first at 16:00" in body
    assert "wanted course" in body


def test_the_end_is_foretold_while_it_is_still_going(roast: Roast, add: Send, shown: Send) -> None:
    """An approach to 125 °C with a time constant of 500 s: 118 °C comes at 1,738 s."""
    add(roast, typed="0:00 25\n10:00 95.4\n20:00 115.9")

    body = plain(shown(roast, "?until=118"))
    assert re.search(r"118 °C \(244.4 °F\) comes at about 2[12]:\d\d", body)
    assert "No forecast" in plain(shown(roast, "?until=300"))
    assert shown(roast, "?until=warm")


def one_more(client: Client, roast: Roast, at: str, celsius: str, **more: str) -> Any:
    url = reverse("roasts:add_point", args=[roast.public_id])
    return client.post(url, {"at": at, "celsius": celsius, **more})


def test_a_roast_is_written_as_it_goes_and_its_end_foretold_anew(
    client: Client, roast: Roast, basket: Probe, shown: Send
) -> None:
    assert "No reading yet. 3 more make a curve." in plain(shown(roast))
    one_more(client, roast, "0:00", "25", probe=basket.ref)
    assert "1 reading so far, the last 0:00 · 25 °C" in plain(shown(roast))
    one_more(client, roast, "10", "95.4")
    assert "2 readings make no curve yet" in plain(shown(roast))

    response = one_more(client, roast, "20:00", "115.9", until="118")
    assert response.headers["Location"].endswith("/?until=118")
    body = plain(client.get(response.headers["Location"]))
    assert re.search(r"118 °C \(244.4 °F\) comes at about 2[12]:\d\d", body)
    assert 'name="until" value="118 °C" id="id_point_until"' in read(client.get(response.headers["Location"]))
    assert "tenfold reductions" in body  # the probe of the first reading is that of all

    one_more(client, roast, "24:00", "117.2", until="118")
    assert plain(shown(roast, "?until=118")) != body
    assert "4 readings so far" in plain(shown(roast))
    row = Readings.objects.get()
    assert row.raw == "0:00 25.0 °C"
    assert client.get(reverse("roasts:text", args=[roast.public_id, row.public_id])).content.decode() == (
        "0:00 25.0 °C\n10:00 95.4 °C\n20:00 115.9 °C\n24:00 117.2 °C"
    )
    assert "one more reading" in plain(shown(roast))


def test_readings_are_added_to_typed_ones_in_any_order_and_stand_to_be_typed_anew(
    client: Client, roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, typed="0:00 24\n12:00 106\n20:00 119")
    assert one_more(client, roast, "6:00", "84").status_code == 302

    assert "0:00 24 °C 6:00 84 °C 12:00 106 °C 20:00 119 °C" in plain(shown(roast))
    assert add(roast, typed="0:00 24\n6:00 86\n20:00 119", why="read wrong").status_code == 302
    assert "3 readings so far" in plain(shown(roast))


@pytest.mark.parametrize(
    ("at", "celsius", "field", "said"),
    [
        ("", "105", "at", "This is needed."),
        ("25:00", "", "celsius", "This is needed."),
        ("soon", "105", "at", "This is no time"),
        ("25:00", "warm", "celsius", "not a temperature"),
        ("20:00", "119", "at", "There is a reading of this time already"),
        ("99 h", "119", "at", "This is no time of a roast"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_beside_its_field_with_the_forecast_still_there(
    client: Client, roast: Roast, add: Send, at: str, celsius: str, field: str, said: str
) -> None:
    add(roast, typed="0:00 25\n10:00 95.4\n20:00 115.9")
    response = one_more(client, roast, at, celsius, until="118")
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert "comes at about" in body
    assert Readings.objects.get().points.count() == 0


def test_a_logger_s_file_takes_no_reading_by_hand(
    client: Client, roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, file=log_file("time;beans (C)\n0:00;24\n10:00;105\n20:00;121\n"))

    assert "One more reading" not in plain(shown(roast))
    assert one_more(client, roast, "30:00", "125").status_code == 422


def test_when_the_beans_were_in_is_told_with_the_roast_and_settled_later(
    client: Client, basket: Probe, shown: Send
) -> None:
    rows = "\n".join(f"{m},{min(24 + 5 * m, 120) if m <= 20 else 136}" for m in range(81))
    file = log_file(f"time (min),beans (°C)\n{rows}\n")
    outside = client.post(
        NEW, good(**{"readings-file": file, "readings-in_at": "90", "readings-out_at": "95"})
    )
    assert outside.status_code == 422
    assert "The beans were in at no time of these readings" in read(outside)
    assert not Roast.objects.exists()

    file.seek(0)
    client.post(NEW, good(**{"readings-file": file}))
    roast = Roast.objects.get()
    assert "say when they came out" in plain(shown(roast))
    url = reverse("roasts:settle", args=[roast.public_id])
    refused = client.post(url, {"settle-out_at": "later"})
    assert refused.status_code == 422
    assert "This is no time" in read(refused)

    client.post(url, {"settle-out_at": "20:00", "settle-probe-0": f"probe:{basket.ref}"})
    assert Readings.objects.get().out_s == 1200
    body = plain(shown(roast))
    assert "Too little heat." in body
    assert "Came out at 20:00 of the readings" in body
    assert 'value="20:00"' in shown(roast).content.decode()
    # By hand: 24 + 5 a minute + 0.5 passes 110 °C at 17:06.
    assert re.search(r"beans \d+:\d\d 2:54 ", body)


STUDY = {
    "survivors_min": "10",
    "survivors_at_celsius": "120",
    "survivors_shape": "0.8",
    "survivors_z_k": "30",
    "survivors_low_celsius": "100",
    "survivors_high_celsius": "140",
    "study": "county laboratory, report 12",
}


def test_a_study_of_the_maker_s_own_counts_and_who_decides_stands_beside_it(
    client: Client, basket: Probe, shown: Send
) -> None:
    assert "is decided by a process authority or a laboratory" in plain(client.get(NEW))
    lacking = client.post(NEW, good(**{**STUDY, "survivors_z_k": ""}))
    assert lacking.status_code == 422
    assert re.search(r'id="id_survivors_z_k_error">A survivor line needs all six', read(lacking))

    typed = {"readings-typed": TYPED, "readings-probe": basket.ref}
    client.post(NEW, good(**STUDY, **typed))
    body = plain(shown(Roast.objects.get()))
    assert "Your own survivor line comes to" in body
    assert "county laboratory, report 12" in body
    assert "Own survivor line 10 min at 120 °C" in body


def test_a_dial_and_an_unsettled_probe_are_not_compared_with_beans(client: Client, card: RoastCard) -> None:
    one, two, hot, dial = (write_down(replace(card, beans=name)) for name in ("A", "B", "Hot", "Dial"))
    for roast in (one, two):
        add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}))
    add_readings(hot, Sent(typed="0:00 75\n20:00 250\n30:00 285", told={"scale": "C"}))
    Roast.objects.filter(pk=dial.pk).update(dial_celsius=140, dial_minutes=30)
    ids = "&".join(f"roast={roast.public_id}" for roast in (dial, one, hot, two))

    body = plain(client.get(f"{reverse('roasts:compare')}?{ids}"))
    assert "Roast 4 , Dial, is left out: it has no probe in the beans: “oven setting” is only set" in body
    assert "Roast 3 , Hot, is left out: this is to be settled first" in body
    assert "What Roast 1 readings by hand Roast 2 readings by hand" in body
    assert "Time to 100 °C 0:00" not in body


def test_a_band_is_held_against_beans_alone(client: Client, shown: Send) -> None:
    course = create(CourseCard(name="Tuesday", typed=TYPED, tolerance_k=Decimal(5), scale="C"))
    client.post(NEW, good(wanted=course.ref, dial_celsius="140", dial_minutes="28"))

    body = plain(shown(Roast.objects.get()))
    assert "Not compared it has no probe in the beans" in body


def test_the_inside_of_a_bean_is_worked_out_on_request_as_a_picture(
    roast: Roast, add: Send, shown: Send
) -> None:
    add(roast, typed="0:00 110\n10:00 138\n20:00 140\n28:00 140", role="air")
    assert "Work out the inside of a bean" in plain(shown(roast))
    body = plain(shown(roast, "?inside=yes"))
    assert "inside the beans, worked out" in body
    assert "Cannot tell." in body


def test_what_is_missing_to_compare_is_said(client: Client, card: RoastCard) -> None:
    url = reverse("roasts:compare")
    rows = [write_down(card) for _ in range(MOST_COMPARED + 1)]
    ids = [f"roast={row.public_id}" for row in rows]

    def told(*chosen: str) -> list[str]:
        body = plain(client.get(f"{url}?{'&'.join(chosen)}"))
        return re.findall(
            r"Only roast .*?with\.|Choose two.*?least\.|What you chose.*?\.|\d+ of those .*?compared\.", body
        )

    assert told() == []
    assert told("beside=yes") == ["Choose two roasts at least."]
    assert told(f"roast={uuid.uuid4()}") == ["What you chose is not here: choose two roasts."]
    assert told(ids[0]) == ["Only roast 1, Marsh Farm, is chosen: choose another to compare it with."]
    assert told(*ids[:2]) == []
    assert told(*ids) == ["1 of those that you chose is not compared."]


def test_roasts_are_compared_and_what_differs_has_its_own_picture(client: Client, card: RoastCard) -> None:
    one, two, dry = (write_down(card) for _ in range(3))
    add_readings(one, Sent(typed=TYPED, told={"scale": "C"}))
    warmer = "0:00 25\n6:00 86\n12:00 108\n20:00 121\n28:00 127"
    add_readings(two, Sent(typed=warmer, told={"scale": "C"}))
    ids = "&".join(f"roast={roast.public_id}" for roast in (one, two, dry))

    response = client.get(f"{reverse('roasts:compare')}?{ids}")
    body = plain(response)
    assert "Roast 2 was at most 2.0 K warmer" in read(response)
    assert re.search(r"Hottest 125 °C 127 °C", body)
    assert "Roast 3 , Marsh Farm, is left out: it has no readings to compare." in body
    assert re.search(r"Roast 1 readings by hand Roast 2 readings by hand", body)

    update_workshop(WorkshopSettings(temperature_unit="F"))
    body = plain(client.get(f"{reverse('roasts:compare')}?{ids}"))
    # 125, 127 and 100 °C by the definition of the scale
    assert re.search(r"Hottest 257 °F 261 °F", body)
    assert "Time to 212 °F" in body


@pytest.mark.parametrize("query", ["", "?roast=kiwi", f"?roast={uuid.uuid4()}", "?roast=%00"])
def test_comparing_nothing_is_no_fault(client: Client, roast: Roast, query: str) -> None:
    assert client.get(reverse("roasts:compare") + query).status_code == 200


def test_a_course_is_added_changed_and_put_away_on_its_pages(client: Client) -> None:
    typed = {"name": "Tuesday", "typed": TYPED, "tolerance_k": "5"}
    assert client.post(reverse("roasts:add_course"), {**typed, "tolerance_k": "wide"}).status_code == 422
    client.post(reverse("roasts:add_course"), typed)
    course = Course.objects.get()
    url = reverse("roasts:course", args=[course.public_id])
    body = client.get(url).content.decode()
    count = ChangeEntry.objects.count()
    again = {**typed, "typed": course.typed}
    assert "° C" not in body
    client.post(url, again)
    assert ChangeEntry.objects.count() == count

    client.post(reverse("roasts:put_course_away", args=[course.public_id]), {"why": "tasted flat"})
    assert "Tuesday" in plain(client.get(reverse("roasts:courses"))).partition("Put away")[2]
    client.post(reverse("roasts:bring_course_back", args=[course.public_id]))
    course.refresh_from_db()
    assert course.retired_at is None


def test_one_that_never_was_is_struck_out(client: Client, roast: Roast, shown: Send) -> None:
    url = reverse("roasts:strike", args=[roast.public_id])
    assert client.post(url, {"strike-why": ""}).status_code == 422
    client.post(url, {"strike-why": "twice"})

    assert "Struck out: there was no such roast." in plain(shown(roast))
    assert "Struck out" in plain(client.get(reverse("roasts:list")))


def test_an_empty_list_says_what_makes_a_record(client: Client) -> None:
    assert "No roast yet" in plain(client.get(reverse("roasts:list")))


def test_what_is_not_there_is_not_found(client: Client, roast: Roast) -> None:
    other = uuid.uuid4()
    for url in (
        reverse("roasts:roast", args=[other]),
        reverse("roasts:edit", args=[other]),
        reverse("roasts:course", args=[other]),
        reverse("roasts:text", args=[roast.public_id, other]),
    ):
        assert client.get(url).status_code == 404
    assert client.post(reverse("roasts:settle", args=[roast.public_id])).status_code == 404


def test_what_is_markup_is_shown_as_text(card: RoastCard, client: Client, shown: Send) -> None:
    roast = write_down(replace(card, beans="<img src=x>", senses="<b>"))
    data = b"time;<script>x</script> (C)\n0:00;24\n10:00;105\n20:00;121\n"
    add_readings(roast, Sent(data=data, file_name="<i>.csv"))

    for body in (shown(roast), client.get(reverse("roasts:list")), client.get(reverse("roasts:compare"))):
        text = body.content.decode()
        assert "<img src" not in text
        assert "<script>x" not in text
        assert "<i>.csv" not in text


@hypothesis_settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    lines=st.lists(
        st.one_of(
            st.text(max_size=40),
            st.builds("{}:00 {}".format, st.integers(-1, 90), st.integers(-50, 300)),
            st.builds("{};{},{}".format, st.integers(0, 9), st.floats(-50, 300), st.text(max_size=4)),
            st.sampled_from(["time;beans", "0:00;24,5", "NaN;NaN", "\x00", "1e9 1e9", "a,b,c,d"]),
        ),
        max_size=8,
    ),
    as_file=st.booleans(),
)
def test_whatever_is_sent_is_read_or_refused_and_stored_whole_or_not_at_all(
    client: Client, lines: list[str], as_file: bool
) -> None:
    before = Roast.objects.count(), Readings.objects.count()
    text = "\n".join(lines).encode("utf-8", "replace")
    sent: Any = (
        {"readings-file": log_file(text)} if as_file else {"readings-typed": text.decode("utf-8", "replace")}
    )
    response = client.post(NEW, good(**sent))

    assert response.status_code in (302, 422)
    saved = response.status_code == 302
    with_readings = saved and bool(as_file or text.decode("utf-8", "replace").strip())
    assert (Roast.objects.count(), Readings.objects.count()) == (
        before[0] + saved,
        before[1] + with_readings,
    )
    if saved:
        assert client.get(response.headers["Location"]).status_code == 200


def test_pages_take_few_queries(
    client: Client, card: RoastCard, basket: Probe, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    roasts = [write_down(replace(card, beans=f"Farm {number}")) for number in range(5)]
    for roast in roasts:
        add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}))
        add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}), why="again")

    with django_assert_max_num_queries(3):
        client.get(reverse("roasts:list"))
    with django_assert_max_num_queries(9):
        client.get(reverse("roasts:roast", args=[roasts[0].public_id]))
    ids = "&".join(f"roast={roast.public_id}" for roast in roasts)
    with django_assert_max_num_queries(6):  # one of them for the readings added one by one
        client.get(f"{reverse('roasts:compare')}?{ids}")
