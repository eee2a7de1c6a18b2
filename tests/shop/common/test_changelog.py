"""The change log only ever grows."""

from __future__ import annotations

import pytest
from django.db import transaction

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.models import ChangeEntry, ChangeLogIsAppendOnly
from nibsmith.shop.common.changelog.selectors import history, latest
from nibsmith.shop.common.changelog.services import record

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry() -> ChangeEntry:
    """An entry about the only record at hand: another entry."""
    return ChangeEntry.objects.create(who="Ida", what="test.made", object_type="common.thing", object_id="1")


def test_an_entry_keeps_when_who_what_which_before_after_and_why(entry: ChangeEntry) -> None:
    written = record(
        "test.changed", entry, before={"share": "70.0"}, after={"share": "71.5"}, why="too sweet", who="Ida"
    )

    kept = ChangeEntry.objects.get(pk=written.pk)
    assert (kept.who, kept.what, kept.why) == ("Ida", "test.changed", "too sweet")
    assert (kept.object_type, kept.object_id) == ("common.changeentry", str(entry.pk))
    assert (kept.before, kept.after) == ({"share": "70.0"}, {"share": "71.5"})
    assert kept.at is not None


def test_an_entry_can_not_be_altered(entry: ChangeEntry) -> None:
    entry.why = "another reason"

    with pytest.raises(ChangeLogIsAppendOnly):
        entry.save()
    with pytest.raises(ChangeLogIsAppendOnly):
        ChangeEntry.objects.filter(pk=entry.pk).update(why="another reason")
    with pytest.raises(ChangeLogIsAppendOnly):
        ChangeEntry.objects.bulk_update([entry], ["why"])
    assert ChangeEntry.objects.get(pk=entry.pk).why == ""


def test_an_entry_can_not_be_removed(entry: ChangeEntry) -> None:
    with pytest.raises(ChangeLogIsAppendOnly):
        entry.delete()
    with pytest.raises(ChangeLogIsAppendOnly):
        ChangeEntry.objects.filter(pk=entry.pk).delete()
    with pytest.raises(ChangeLogIsAppendOnly):
        ChangeEntry._base_manager.all().delete()
    assert ChangeEntry.objects.filter(pk=entry.pk).exists()


@pytest.mark.parametrize("code", ["", "made", "Test.made", "test made", "test."])
def test_a_change_is_named_by_a_dotted_code(entry: ChangeEntry, code: str) -> None:
    with pytest.raises(InputError):
        record(code, entry)


@pytest.mark.django_db(transaction=True)
def test_a_change_outside_a_transaction_is_not_logged(entry: ChangeEntry) -> None:
    with pytest.raises(transaction.TransactionManagementError, match="outside the transaction"):
        record("test.changed", entry)
    assert ChangeEntry.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_an_entry_goes_with_the_change_that_failed(entry: ChangeEntry) -> None:
    def change() -> None:
        with transaction.atomic():
            record("test.changed", entry)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        change()
    assert ChangeEntry.objects.count() == 1


def test_history_lists_one_record_and_latest_lists_all_newest_first(entry: ChangeEntry) -> None:
    first, second = record("test.first", entry), record("test.second", entry)
    record("test.other", first)

    assert list(history(entry)) == [second, first]
    assert [found.what for found in latest(2)] == ["test.other", "test.second"]
