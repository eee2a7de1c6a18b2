"""What cannot be read is refused in plain words, with the value, the limit and what to do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.roast_log import report_text, roast_log
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.roast import Role
from nibsmith.science.roast.log import Order, TimeKind, TimeUnit, Told, Unused, check_size, read_log
from nibsmith.science.roast.log.cells import cut
from nibsmith.science.tables import load

MINUTES = TimeUnit.MINUTES
GOOD = "time (min),beans (°C)\n0,20\n10,100\n20,120\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "The file is empty"),
        ("\n\n  \n", "The file is empty"),
        ("just a note\nand another\n", "There are no columns"),
        ("a,b\nc,d\ne,f\n", "There are no numbers in this file"),
        ("time,beans (°C)\n0:00,20\n", "One row of readings is too few"),
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


def test_units_without_heads_are_taken_and_columns_go_by_number() -> None:
    found = read_log("recorded by hand\nmin;°C;°C\n0;20;30\n10;100;140\n20;120;141\n".encode()).understood

    assert (found.head_line, found.units_line) == (0, 2)
    assert (found.times.name, found.times.unit) == ("column 1", MINUTES)


def test_a_line_with_fewer_words_than_cells_is_no_line_of_heads() -> None:
    found = read_log(
        b"time (min);beans\n0;20;30\n10;100;140\n20;120;141\n", Told(time="1", time_unit=MINUTES)
    )

    assert found.understood.head_line == 0
    assert [probe.name for probe in found.roast.probes] == ["column 2", "column 3"]


def test_units_below_a_line_of_words_that_is_too_short_still_count() -> None:
    text = "a note;of two\ns;°F;°F\n0;68;70\n600;212;284\n1200;248;284\n"
    found = read_log(text.encode(), Told(beans=("2",))).roast

    assert found.of(Role.BEAN)[0].readings.celsius.tolist() == [20.0, 100.0, 120.0]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf_16_without_its_mark_is_read(encoding: str) -> None:
    text = "time (min);beans (C)\n0;20\n10;100\n20;120\n"
    found = read_log(text.encode(encoding))

    assert found.roast.probes[0].readings.celsius.tolist() == [20.0, 100.0, 120.0]


def test_hours_and_minutes_with_halves_of_the_day_are_a_clock() -> None:
    found = read_log(b"time;beans (C)\n11:50 AM;20\n12:10 PM;100\n12:20 PM;120\n")

    assert found.roast.probes[0].readings.times_s.tolist() == [0.0, 1200.0, 1800.0]


def test_a_long_wait_before_the_first_reading_keeps_the_heads() -> None:
    waiting = "".join(f"{second};;;\n" for second in range(600))
    running = "".join(f"{second};{20 + second // 60};30;40\n" for second in range(600, 1200))
    found = read_log(f"time (s);beans (°C);air (°C);door (°C)\n{waiting}{running}".encode())

    assert found.understood.head_line == 1
    assert found.roast.probes[0].readings.start_s == 600.0


def test_a_column_of_ever_new_words_is_a_text() -> None:
    letters = "abcdefghij"
    rows = "".join(
        f"{row};{20 + row};{letters[row % 10]}{letters[row // 10]}{letters[row * 7 % 10]}xyz\n"
        for row in range(100)
    )
    found = read_log(f"time (min);beans (°C);word\n{rows}".encode()).understood

    assert dict(found.unused) == {"word": Unused.TEXT}


def test_a_second_column_of_times_is_named_and_not_used() -> None:
    rows = "".join(f"{60 * row};{row};{20 + row}\n" for row in range(30))
    found = read_log(f"elapsed (s);time;beans (°C)\n{rows}".encode()).understood

    assert found.times.name == "elapsed"
    assert dict(found.unused) == {"time": Unused.OTHER_TIME}


def test_a_column_of_days_that_are_none_is_refused() -> None:
    rows = "".join(f"2026-13-45 10:{minute:02d}:00;{20 + minute}\n" for minute in range(30))

    with pytest.raises(InputError, match="No row has a time"):
        read_log(f"when;beans (°C)\n{rows}".encode())


def test_a_column_that_holds_nothing_beside_the_readings_is_no_column_of_times() -> None:
    with pytest.raises(InputError, match="holds no times"):
        read_log(b"x;beans (C);air (C)\n5:00;;\n;20;30\n;100;140\n;110;141\n", Told(time="x"))


def test_what_is_said_of_rows_without_times_is_said() -> None:
    log = roast_log(b"beans (C);oven (C)\n20;140\n100;140\n120;141\n", Told(every_s=300.0, beans=("beans",)))

    assert "There are no times: they follow from the step you say." in report_text(log)
    assert "is in the beans, as you say" in report_text(log)


def test_many_spikes_are_counted_and_a_few_named() -> None:
    rows = "".join(f"{second},{80 if second % 40 == 20 else 25}\n" for second in range(0, 400, 2))
    log = roast_log(f"time (s),beans (°C)\n{rows}".encode())

    assert (
        "10 readings far from all around it left out, at 0:20, 1:00, 1:40, 2:20 and 6 more."
        in report_text(log)
    )


def test_a_warm_bean_probe_that_stands_still_is_told() -> None:
    rows = "".join(
        f"{minute},{min(20 + 5 * minute, 125)},{min(30 + 9 * minute, 140)}\n" for minute in range(40)
    )
    said = report_text(roast_log(f"time (min),beans (°C),air (°C)\n{rows}".encode()))

    assert said.count("It showed the same for") == 1
    assert "It showed the same for 18:00: was it connected?" in said
