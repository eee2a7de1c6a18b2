"""What cannot be read is refused in plain words, with the value, the limit and what to do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.roast_log import report_text, roast_log
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.roast import Order, TimeKind, Told, Unused, check_size, read_log
from nibsmith.science.roast.log.cells import cut
from nibsmith.science.tables import load

GOOD = "time (min),beans (°C)\n0,20\n10,100\n20,120\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "The file is empty"),
        ("\n\n  \n", "The file is empty"),
        ("just a note\nand another\n", "There are no columns"),
        ("a,b\nc,d\ne,f\n", "There are no numbers in this file"),
        ("time,beans (°C)\n0:00,20\n", "There is one reading or none"),
        ("time (min),beans (°C)\n0,---\n10,---\n20,---\n", "No column of temperatures was found"),
        ("time (min),humidity (%)\n0,41\n10,40\n20,38\n", "No column of temperatures was found"),
        ("beans (°C);oven (°C)\n20;140\n100;140\n120;141\n", "No column of times was found"),
        ("time (s),beans (°C)\n-30,20\n-20,21\n-10,22\n", "Every time lies before zero"),
        ("time (min),beans (°C)\n0,900\n10,950\n20,999\n", "There is one reading or none"),
        ("x" + ",1" * 80 + "\n" + "y" + ",1" * 80 + "\n", "too many columns"),
    ],
)
def test_a_file_that_is_no_log_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as refusal:
        read_log(text.encode())
    assert refusal.value.advice or refusal.value.limit is not None


@pytest.mark.parametrize(
    "start", [b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF-1.7", b"\x1f\x8b", b"\x89PNG", b"SQLite format 3"]
)
def test_what_is_no_text_is_named(start: bytes) -> None:
    with pytest.raises(InputError, match=r"not a text.* Export the log as CSV"):
        read_log(start + b"\x00\x01\x02" * 50)


def test_bytes_without_meaning_are_refused() -> None:
    with pytest.raises(InputError, match="not a text"):
        read_log(b"12,3\x00\x00\x00\x01\n" * 20)


def test_text_in_utf_16_that_breaks_off_is_refused() -> None:
    with pytest.raises(InputError, match="breaks off"):
        read_log(GOOD.encode("utf-16")[:-1])


def test_200_megabytes_are_refused_with_the_limit() -> None:
    most = int(load("roast")["log_most_bytes"].decimal)

    with pytest.raises(InputError, match="too large") as refusal:
        check_size(200_000_000)

    assert (refusal.value.value, refusal.value.limit) == ("200,000,000 bytes", f"{most:,} bytes")


def test_the_size_is_asked_before_anything_is_read() -> None:
    class Large(bytes):
        def __len__(self) -> int:
            return 200_000_000

        def startswith(self, *_: object) -> bool:  # type: ignore[override]
            raise AssertionError("it was read")

    with pytest.raises(InputError, match="too large"):
        read_log(Large())


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (Told(time="clock"), "No column has this name"),
        (Told(beans=("core",)), "No column has this name"),
        (Told(run=2), "no such run"),
    ],
)
def test_what_is_told_must_be_there(told: Told, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_log(GOOD.encode(), told)


def test_a_column_of_words_is_no_column_of_times() -> None:
    with pytest.raises(InputError, match="holds no times"):
        read_log(b"t (min),beans,note\n0,20,a\n10,100,b\n20,120,c\n", Told(time="note"))


def test_rows_that_lie_no_time_apart_are_refused() -> None:
    with pytest.raises(InputError, match="above zero"):
        read_log(b"beans;oven\n20;140\n100;140\n120;141\n", Told(every_s=0.0))


def test_heads_with_the_names_of_temperature_units_are_no_times() -> None:
    found = read_log("min,°C\n0,20\n10,100\n20,120\n".encode()).understood

    assert found.times.name == "min"
    assert found.probes[0].name == "°C"


def test_a_row_of_zeros_and_the_columns_of_another_kind_are_told_apart() -> None:
    text = "No;date;time;beans (°C);fan;remark\n" + "".join(
        f"{number};01.02.2026;10:{number:02d}:00;{20 + number};x{number};\n" for number in range(1, 60)
    )
    found = read_log(text.encode()).understood

    assert found.times.kind is TimeKind.DATE_TIME
    assert dict(found.unused) == {"No": Unused.ROW_NUMBER, "fan": Unused.TEXT, "remark": Unused.EMPTY}


def test_dates_with_the_month_first_are_read_as_the_closer_ones() -> None:
    """2/1 to 2/2 is one night; by days first it would be a month."""
    rows = [
        "02/01/2026 23:50:00,20",
        "02/01/2026 23:55:00,60",
        "02/02/2026 00:00:00,90",
        "02/02/2026 00:05:00,110",
    ]
    found = read_log(("when,beans (°C)\n" + "\n".join(rows)).encode())

    assert found.roast.probes[0].readings.times_s.tolist() == [0.0, 300.0, 600.0, 900.0]


def test_a_date_across_the_end_of_february_is_one_day() -> None:
    rows = ["2028-02-29 23:59:00,20", "2028-03-01 00:04:00,60", "2028-03-01 00:09:00,90"]
    found = read_log(("when,beans (°C)\n" + "\n".join(rows)).encode())

    assert found.roast.probes[0].readings.times_s.tolist() == [0.0, 300.0, 600.0]


def test_written_zones_are_taken_off() -> None:
    rows = ["2026-03-29T01:55:00+01:00,20", "2026-03-29T03:00:00+02:00,60", "2026-03-29T03:05:00+02:00,90"]
    found = read_log(("when,beans (°C)\n" + "\n".join(rows)).encode())

    assert found.roast.probes[0].readings.times_s.tolist() == [0.0, 300.0, 600.0]


def test_a_clock_with_61_minutes_is_no_time() -> None:
    rows = ["0:05:00,20", "0:61:00,60", "0:10:00,90", "0:15:00,95"]
    found = read_log(("elapsed,beans (°C)\n" + "\n".join(rows)).encode()).understood

    assert (found.untimed, found.rows) == ((3,), 3)


def test_an_odd_quote_does_not_swallow_the_file() -> None:
    found = read_log(b'time (min),beans (\xc2\xb0C),note\n0,20,5" probe\n10,100,\n20,120,\n').understood

    assert found.rows == 3


def test_rows_out_of_order_are_sorted_and_told() -> None:
    found = read_log(b"time (min),beans (\xc2\xb0C)\n0,20\n20,120\n10,100\n30,125\n").understood

    assert (found.order, found.out_of_order) == (Order.SORTED, 1)


SIGNS = [",", ";", "\t", "|", '"', "\n", "\r\n", ":", "-", "/", " ", "\ufeff", "\x00", "é", "+01:00"]
WORDS = [
    "0",
    "12",
    "1.5",
    "1,5",
    "°C",
    "F",
    "time",
    "beans",
    "NaN",
    "e5",
    "2026-01-02",
    "10:00",
    "10:00:00",
    "PM",
]
SCRAPS = st.sampled_from([*SIGNS, *WORDS])


@given(st.lists(SCRAPS, max_size=120).map("".join), st.sampled_from(["utf-8", "utf-16", "cp1252"]))
def test_any_scraps_are_read_or_refused_and_never_break(text: str, encoding: str) -> None:
    try:
        said = report_text(roast_log(text.encode(encoding, "ignore")))
    except NibsmithError as error:
        said = str(error)
    assert said


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_and_never_break(data: bytes) -> None:
    try:
        said = report_text(roast_log(data))
    except NibsmithError as error:
        said = str(error)
    assert said


def test_cells_are_cut_where_a_plain_split_would_cut_them() -> None:
    text = b"a;b;c\n1;;3\n;2;\n"
    cells = cut(text)

    read = [[cells.text(row, column) for column in range(3)] for row in range(3)]
    assert read == [line.split(";") for line in text.decode().splitlines()]
