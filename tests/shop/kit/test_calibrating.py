"""What is seen on a kit becomes its calibration, once each, with a history that can be followed back."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.science.flow import Casson, Feel, Use, ViscometerReading, WordReading, calibrate
from nibsmith.science.grind import SizeReading
from nibsmith.science.mixture import Span
from nibsmith.science.temper import MarkedCurve, Temper
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.history.selectors import tell
from nibsmith.shop.kit.calibrating import facts
from nibsmith.shop.kit.calibrating.facts import Seen, Stretch, flow_facts, grinding_facts, temper_facts
from nibsmith.shop.kit.calibrating.selectors import flow_of, history, known, marked_curves, speed_of
from nibsmith.shop.kit.calibrating.services import observe
from nibsmith.shop.kit.models import CUP, Calibration, Observation, OwnKit, Subject

pytestmark = pytest.mark.django_db
FORETOLD = Casson(10.0, 2.0)


def thick(source: str, times: float = 1.5) -> Seen:
    read = Casson(10.0 * times, 2.0 * times)
    values = {"stress_at_5": read.stress_at_5, "viscosity_at_40": read.viscosity_at_40}
    return Seen(source=source, words=f"{times} times", facts=flow_facts(facts.VISCOMETER, FORETOLD, values))


def size(source: str, hours: float, um: float, **changes: Any) -> Seen:
    stretch = {"since_hours": 6.0, "start": Span(400.0, 500.0, 600.0), "floor_um": 15.0, "charge_g": 2000.0}
    reading = SizeReading(hours, um, 5)
    return Seen(
        source=source, words=f"{um} µm", facts=grinding_facts(reading, Stretch(**{**stretch, **changes}))
    )


def curve(source: str, slope: float, mark: Temper) -> Seen:
    return Seen(source=source, words=source, facts=temper_facts(MarkedCurve(slope, 8.0, 31.5, mark)))


def numbers(kit: str, kind: Subject) -> list[tuple[int, int]]:
    return [(row.number, row.observations) for row in Calibration.objects.filter(kit=kit, kind=kind)][::-1]


def test_readings_of_two_batches_make_one_calibration_after_another(agnes: OwnKit) -> None:
    observe(agnes.ref, Subject.FLOW, "one", [thick("a")])
    observe(agnes.ref, Subject.FLOW, "one", [thick("a"), thick("b")])
    observe(agnes.ref, Subject.FLOW, "two", [thick("c")])

    assert numbers(agnes.ref, Subject.FLOW) == [(1, 1), (2, 2), (3, 3)]
    found = flow_of(known(agnes.ref).flow)
    assert found is not None
    read = Casson(15.0, 3.0)
    assert found == calibrate([ViscometerReading.of(FORETOLD, read)] * 3, ["one", "one", "two"])
    assert found != calibrate([ViscometerReading.of(FORETOLD, read)] * 3)
    assert 1.3 < found.eta_factor.value < 1.6


def test_saying_the_same_again_changes_nothing(agnes: OwnKit) -> None:
    seen = [thick("a"), thick("b")]
    observe(agnes.ref, Subject.FLOW, "one", seen)
    entries = ChangeEntry.objects.count()

    assert observe(agnes.ref, Subject.FLOW, "one", seen) is None
    assert observe(agnes.ref, Subject.FLOW, "two", []) is None
    assert (Observation.objects.count(), ChangeEntry.objects.count()) == (2, entries)


def test_facts_that_come_back_in_another_order_are_the_same_reading(agnes: OwnKit) -> None:
    """A database may keep the keys of a record in an order of its own."""
    one = thick("a")
    observe(agnes.ref, Subject.FLOW, "one", [one])
    turned = dict(reversed(one.facts.items()))
    turned["predicted"] = dict(reversed(one.facts["predicted"].items()))

    assert observe(agnes.ref, Subject.FLOW, "one", [Seen(source="a", words="a", facts=turned)]) is None


def test_a_corrected_reading_leaves_and_its_calibration_stays_as_it_was(agnes: OwnKit) -> None:
    first = observe(agnes.ref, Subject.FLOW, "one", [thick("a", 3.0)])
    observe(agnes.ref, Subject.FLOW, "one", [thick("a", 1.0)], why="read the wrong dial")

    assert numbers(agnes.ref, Subject.FLOW) == [(1, 1), (2, 1)]
    told = history(agnes.ref)
    assert [[row.words for row in seen] for _, seen in told] == [["1.0 times"], ["3.0 times"]]
    assert first is not None
    assert first.factors == told[1][0].factors
    assert ChangeEntry.objects.first().why == "read the wrong dial"  # type: ignore[union-attr]


def test_when_everything_is_struck_out_the_usual_estimate_holds_again(agnes: OwnKit) -> None:
    observe(agnes.ref, Subject.FLOW, "one", [thick("a")])
    observe(agnes.ref, Subject.FLOW, "one", [])

    assert numbers(agnes.ref, Subject.FLOW) == [(1, 1), (2, 0)]
    assert known(agnes.ref).flow is None
    assert known(agnes.ref).process is None


def test_words_count_as_readings(agnes: OwnKit) -> None:
    values = {"feel": "too_thick", "use": "bars"}
    seen = Seen(source="a", words="too thick", facts=flow_facts(facts.WORDS, FORETOLD, values))
    observe(agnes.ref, Subject.FLOW, "one", [seen])

    found = flow_of(known(agnes.ref).flow)
    assert found == calibrate([WordReading(FORETOLD, Feel.TOO_THICK, Use.BARS)])


def test_a_cup_and_a_ring_come_back_as_they_were_stored() -> None:
    cup = flow_facts(facts.CUP_SECONDS, FORETOLD, {"seconds": 40.0, "cup": "zahn5", "density": 1200.0})
    ring = flow_facts(facts.RING, FORETOLD, {"diameter_mm": 90.0, "volume_cm3": 20.0, "density": 1200.0})

    assert facts.flow_reading(cup).seconds == 40.0  # type: ignore[union-attr]
    assert facts.flow_reading(ring).diameter_mm == 90.0  # type: ignore[union-attr]


def test_one_size_alone_waits_until_a_second_tells_the_speed(agnes: OwnKit) -> None:
    assert observe(agnes.ref, Subject.GRINDING, "one", [size("a", 3.0, 90.0)]) is None
    assert Observation.objects.get().joined is None

    observe(agnes.ref, Subject.GRINDING, "one", [size("a", 3.0, 90.0), size("b", 15.0, 40.0)])
    assert numbers(agnes.ref, Subject.GRINDING) == [(1, 1)]
    assert {row.joined for row in Observation.objects.all()} == {1}


def test_the_speed_is_that_of_the_readings_where_they_are_many(agnes: OwnKit) -> None:
    """By hand: from 500 µm, one over the size grows by 1/25 - 1/500 = 0.038 per µm in 38 h, 0.001 an hour."""
    for batch in range(8):
        seen = [size(f"{batch}{hours}", hours, 1 / (1 / 500 + hours / 1000)) for hours in (8.0, 18.0, 38.0)]
        observe(agnes.ref, Subject.GRINDING, str(batch), seen)

    speed = speed_of(known(agnes.ref).grinding)
    assert speed is not None
    assert (speed.observations, speed.charge_g) == (8, 2000.0)
    assert speed.speed.value == pytest.approx(0.001, rel=0.05)
    assert speed.speed.low < 0.001 < speed.speed.high


def test_sizes_before_a_later_coarse_addition_are_a_stretch_of_their_own(agnes: OwnKit) -> None:
    early = [size("a", 2.0, 200.0, since_hours=0.0), size("b", 6.0, 100.0, since_hours=0.0)]
    late = [size("c", 2.0, 200.0), size("d", 16.0, 50.0)]
    found = observe(agnes.ref, Subject.GRINDING, "one", [*early, *late])

    assert found is not None
    assert found.observations == 2


def test_a_grinding_that_stalled_or_does_not_follow_the_law_tells_nothing_of_the_kit(agnes: OwnKit) -> None:
    stalled = [size("a", 24.0, 40.0), size("b", 48.0, 38.0), size("c", 72.0, 37.0)]
    sudden = [size("d", 9.0, 100.0), size("e", 24.0, 40.0), size("f", 26.0, 15.0)]

    assert observe(agnes.ref, Subject.GRINDING, "one", stalled) is None
    assert observe(agnes.ref, Subject.GRINDING, "two", sudden) is None
    assert known(agnes.ref).grinding is None


def test_a_size_whose_pair_was_struck_out_waits_again(agnes: OwnKit) -> None:
    both = [size("a", 3.0, 90.0), size("b", 15.0, 40.0)]
    observe(agnes.ref, Subject.GRINDING, "one", both)
    observe(agnes.ref, Subject.GRINDING, "one", both[:1])

    assert numbers(agnes.ref, Subject.GRINDING) == [(1, 1), (2, 0)]
    waiting = Observation.objects.get(left=None)
    assert (waiting.source, waiting.joined) == ("a", None)
    assert [len(seen) for _, seen in history(agnes.ref)] == [0, 2]


def test_a_batch_is_forecast_with_what_was_known_before_it(agnes: OwnKit) -> None:
    slow = [size("a", 0.0, 100.0), size("b", 30.0, 60.0)]
    quick = [size("c", 0.0, 100.0), size("d", 10.0, 30.0)]
    observe(agnes.ref, Subject.GRINDING, "one", slow)
    observe(agnes.ref, Subject.GRINDING, "two", quick)

    before = known(agnes.ref, but_for="two").grinding
    assert before is not None
    assert before.number == 1
    assert known(agnes.ref, but_for="one").grinding is None
    assert known(agnes.ref, but_for="three").grinding == known(agnes.ref).grinding


def test_cooling_curves_are_of_the_cup_and_give_limits_after_three() -> None:
    marks = [("a", 0.1, Temper.WELL), ("b", 0.3, Temper.WELL), ("c", 0.9, Temper.UNDER)]
    found = [observe(CUP, Subject.TEMPER, *_session(*mark)) for mark in marks]

    assert [row.factors["slope"] for row in found if row] == [[None] * 3, [None] * 3, [None, None, 0.6]]
    assert [marked.slope for marked in marked_curves()] == [0.1, 0.3, 0.9]
    assert [marked.slope for marked in marked_curves(but_for="b")] == [0.1, 0.9]


def _session(name: str, slope: float, mark: Temper) -> tuple[str, list[Seen]]:
    return name, [curve(name, slope, mark)]


def test_the_history_tells_every_calibration_with_a_link_that_leads_there(
    client: Client, agnes: OwnKit
) -> None:
    observe(agnes.ref, Subject.FLOW, "one", [thick("a")])
    entry = tell(ChangeEntry.objects.filter(what="kit.calibrated"))[0]

    assert (entry.name, entry.what) == ("Agnes: flow", "calibrated anew")
    response = client.get(entry.address, follow=True)
    assert response.status_code == 200
    body = response.content.decode()
    assert "of 1 reading" in body
    assert "1.5 times" in body


def test_the_page_of_a_kit_says_what_its_batches_say_of_it(client: Client, agnes: OwnKit) -> None:
    url = reverse("kit:kit", args=[agnes.ref])
    assert "Nothing yet: answers take what is usual for its kind" in client.get(url).content.decode()

    observe(agnes.ref, Subject.GRINDING, "one", [size("a", 3.0, 90.0), size("b", 15.0, 40.0)])
    body = client.get(url).content.decode()
    assert "of 1 batch" in body
    assert "From 100 to 50 µm, a charge of" in body


@pytest.mark.parametrize("ref", ["stone", CUP])
def test_what_was_seen_has_a_page_also_where_nothing_was(client: Client, ref: str) -> None:
    assert client.get(reverse("kit:calibrations", args=[ref])).status_code == 200
