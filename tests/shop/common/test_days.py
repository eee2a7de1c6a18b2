"""It is tomorrow already in the east, and nobody there is of the future."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from nibsmith.shop.common import days


@pytest.mark.parametrize(
    ("now", "today", "latest"),
    [
        (datetime(2026, 3, 14, 9, 59, tzinfo=UTC), date(2026, 3, 14), date(2026, 3, 14)),
        # At ten in the morning it is midnight on the Line Islands, fourteen hours ahead.
        (datetime(2026, 3, 14, 10, 0, tzinfo=UTC), date(2026, 3, 14), date(2026, 3, 15)),
    ],
)
def test_the_latest_today_is_that_of_the_east(
    monkeypatch: pytest.MonkeyPatch, now: datetime, today: date, latest: date
) -> None:
    monkeypatch.setattr(days.timezone, "now", lambda: now)

    assert (days.today(), days.latest_today()) == (today, latest)
