"""Sessions take some of the mass, never more than is there; a figure that stands is changed for a reason."""

from __future__ import annotations

import threading
from dataclasses import replace
from decimal import Decimal

import pytest
from django.db import connections
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.shop.batches.mass import check_taken
from nibsmith.shop.batches.models import Batch, EndWeight, FoldIn, PlannedPart, Session
from nibsmith.shop.batches.selectors import diary
from nibsmith.shop.batches.services.entries import copy_of, correct, write
from nibsmith.shop.batches.services.sessions import SessionCard, begin, strike, update
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit.models import Mould


@pytest.fixture
def weighed_out(batch: Batch) -> EndWeight:
    return write(batch, [EndWeight(batch=batch, grams=Decimal(1650), hours=Decimal(40))])[0]


def card(grams: int, **more: object) -> SessionCard:
    return replace(SessionCard(taken_g=Decimal(grams)), **more)  # type: ignore[arg-type]


def fold(session: Session, part: PlannedPart, grams: int) -> FoldIn:
    row = FoldIn(session=session, part=part, name=part.name, weighed_g=Decimal(grams), hours=Decimal(41))
    return write(session.batch, [row])[0]


def test_without_a_weight_there_is_nothing_to_take(batch: Batch) -> None:
    with pytest.raises(InputError, match="not weighed yet"):
        begin(batch, card(100))


def test_sessions_take_what_is_there_and_no_gram_more(batch: Batch, weighed_out: EndWeight) -> None:
    begin(batch, card(1000))
    with pytest.raises(InputError, match="takes more than there is") as refused:
        begin(batch, card(651))
    begin(batch, card(650))

    assert refused.value.limit == "650 g"
    assert [session.number for session in diary(batch).sessions] == [1, 2]
    assert diary(batch).account.there_g == 0


def test_what_is_put_back_can_be_taken_again_but_only_later(batch: Batch, weighed_out: EndWeight) -> None:
    first = begin(batch, card(1650))
    update(first, card(1650, left_over_g=Decimal(200), put_back=True))
    second = begin(batch, card(150))

    assert diary(batch).account.there_g == 50
    with pytest.raises(InputError, match="Session 2 takes more"):
        update(first, card(1650, left_over_g=Decimal(100), put_back=True), why="weighed again")
    with pytest.raises(InputError, match="Session 2 takes more"):
        update(second, card(201), why="took more")


def test_what_is_left_over_and_kept_apart_is_not_there(batch: Batch, weighed_out: EndWeight) -> None:
    session = begin(batch, card(1000))
    update(session, card(1000, left_over_g=Decimal(300)))

    assert diary(batch).account.there_g == 650


def test_a_batch_cannot_be_corrected_below_what_was_taken(batch: Batch, weighed_out: EndWeight) -> None:
    begin(batch, card(1000))
    less = copy_of(weighed_out)
    less.grams = Decimal(999)

    with pytest.raises(InputError) as refused:
        correct(weighed_out, less, "the tub")
    assert refused.value.field == "grams"


def test_a_session_that_never_was_gives_its_mass_back(batch: Batch, weighed_out: EndWeight) -> None:
    session = begin(batch, card(1650))
    with pytest.raises(InputError):
        strike(session, " ")
    strike(session, "that was batch 4")

    assert diary(batch).account.there_g == 1650
    assert begin(batch, card(1650)).number == 2
    assert ChangeEntry.objects.filter(what="batches.session_struck_out", why="that was batch 4").exists()


def test_what_was_empty_is_filled_in_without_a_reason(
    batch: Batch, weighed_out: EndWeight, brick: Mould
) -> None:
    session = begin(batch, card(1000))
    filled = card(1000, method="seed", work_celsius=Decimal("31.5"), mould=brick.ref, bars=14, tasting="plum")
    update(session, filled)
    update(session, replace(filled, tasting="plum, and smoke"))

    kept = Session.objects.get()
    assert (kept.method, kept.bars, kept.tasting) == ("seed", 14, "plum, and smoke")


def test_what_stands_is_changed_only_for_a_reason(batch: Batch, weighed_out: EndWeight) -> None:
    session = begin(batch, card(1000, bars=14))
    with pytest.raises(InputError) as refused:
        update(session, card(1000, bars=15))
    assert refused.value.field == "why"
    assert "bars" in refused.value.what

    update(session, card(1000, bars=15), why="one was hiding")
    entry = ChangeEntry.objects.get(what="batches.session_changed")
    assert (entry.before, entry.after) == ({"session": 1, "bars": 14}, {"session": 1, "bars": 15})
    assert entry.why == "one was hiding"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"method": "kiwi"}, "method"),
        ({"taken_g": Decimal(0)}, "taken_g"),
        ({"work_celsius": Decimal(91)}, "work_celsius"),
        ({"left_over_g": Decimal(-1)}, "left_over_g"),
        ({"left_over_g": Decimal(101)}, "left_over_g"),
        ({"put_back": True}, "left_over_g"),
        ({"bars": -1}, "bars"),
        ({"mould": "kiwi"}, "mould"),
        ({"fridge": "kiwi"}, "fridge"),
        ({"tasting": "\x00"}, "tasting"),
    ],
)
def test_a_session_that_cannot_be_is_refused(
    batch: Batch, weighed_out: EndWeight, changes: dict[str, object], field: str
) -> None:
    with pytest.raises(InputError) as refused:
        begin(batch, card(100, **changes))

    assert refused.value.field == field
    assert not Session.objects.exists()


def test_what_something_was_folded_into_cannot_go_back(
    batch: Batch, weighed_out: EndWeight, part: dict[str, PlannedPart]
) -> None:
    session = begin(batch, card(1000))
    fold(session, part["hazelnut"], 120)
    with pytest.raises(InputError) as refused:
        update(session, card(1000, left_over_g=Decimal(100), put_back=True))
    assert refused.value.field == "put_back"

    update(session, card(1000, left_over_g=Decimal(1120)))
    assert diary(batch).account.there_g == 650


def test_left_over_counts_what_was_folded_in(
    batch: Batch, weighed_out: EndWeight, part: dict[str, PlannedPart]
) -> None:
    session = begin(batch, card(1000, left_over_g=Decimal(900), put_back=True))

    with pytest.raises(InputError, match="cannot go back"):
        fold(session, part["hazelnut"], 120)


@pytest.mark.usefixtures("weighed_out")
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    moves=st.lists(
        st.tuples(st.integers(1, 1700), st.integers(0, 1700), st.booleans(), st.booleans()), max_size=6
    )
)
def test_whatever_is_tried_no_gram_is_taken_twice(
    batch: Batch, moves: list[tuple[int, int, bool, bool]]
) -> None:
    """Sums kept by hand beside the services: in every state out = taken - back + there, none below zero."""
    Session.objects.all().delete()
    for taken, left, back, undo in moves:
        try:
            session = begin(batch, card(taken))
            update(session, card(taken, left_over_g=Decimal(left), put_back=back))
            if undo:
                strike(session, "undone")
        except InputError:
            pass
        held = [one for one in Session.objects.all() if not one.struck]
        there = Decimal(1650)
        for one in held:
            assert one.taken_g <= there
            there += (one.left_over_g or 0 if one.put_back else 0) - one.taken_g
        assert there >= 0
        assert diary(batch).account.there_g == there


@pytest.mark.django_db(transaction=True)
def test_two_who_take_at_once_cannot_both_have_the_same_mass(batch: Batch, weighed_out: EndWeight) -> None:
    outcomes: list[str] = []
    both = threading.Barrier(2)

    def take() -> None:
        both.wait()
        try:
            begin(batch, card(1000))
            outcomes.append("took")
        except InputError:
            outcomes.append("refused")
        finally:
            connections.close_all()

    threads = [threading.Thread(target=take) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)

    assert sorted(outcomes) == ["refused", "took"]
    assert Session.objects.count() == 1


def test_the_check_itself_needs_no_database() -> None:
    taken = [Session(number=number, taken_g=Decimal(grams)) for number, grams in ((2, 400), (1, 700))]

    check_taken(Decimal(1100), taken, "taken_g")
    with pytest.raises(InputError, match="Session 2"):
        check_taken(Decimal(1099), taken, "taken_g")
