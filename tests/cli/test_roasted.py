"""A roast on the command line, as a maker types it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from command_line import ROOT, document, nibsmith

LOGS = ROOT / "tests" / "fixtures" / "roast_logs"
HANDBOOK = (ROOT / "docs" / "howto" / "roast-log.md").read_text(encoding="utf-8")
POINTS = "0:00 24 °C; 10:00 105; 20:00 121; 30:00 126"


def test_a_log_is_understood_in_words_and_answered() -> None:
    done = nibsmith(
        "roasted", LOGS / "02-semicolons.log", "--off", "1.5 K", "--charge", "2 kg", "--end", "1.9 kg"
    )

    assert (done.returncode, done.stderr) == (0, "")
    assert "columns set apart by semicolons, decimal comma" in done.stdout
    assert "Treat them as raw" in re.sub(r"\s+", " ", done.stdout)
    assert "Lost 5.0 % of the charge" in re.sub(r"\s+", " ", done.stdout)
    assert "process authority" in re.sub(r"\s+", " ", done.stdout)
    assert all(len(line) <= 80 for line in done.stdout.splitlines())


def test_a_log_comes_from_standard_input_too() -> None:
    log = (LOGS / "01-seconds.log").read_bytes()

    assert nibsmith("roasted", "-", stdin=log).stdout == nibsmith("roasted", LOGS / "01-seconds.log").stdout


def test_typed_points_and_an_end_weight_are_enough() -> None:
    found = document("roasted", "--points", POINTS, "--charge", "1 kg", "--end", "948 g", "--off", "1.5 K")

    assert found["answer"]["verdict"] == "stop"
    assert found["loss"]["total_percent"] == 5.2
    assert found["probes"][0]["readings"] == 4


def test_a_dial_minutes_and_an_end_weight_give_a_picture() -> None:
    found = document(
        "roasted", "--dial", "140 °C", "--minutes", "35", "--charge", "1 kg", "--end", "948 g",
        "--roaster", "fan_oven", "--start", "68 °F",
    )  # fmt: skip

    assert found["answer"]["verdict"] == "unknown"
    assert found["inside"]["hottest_celsius"]["low"] < 139 < found["inside"]["hottest_celsius"]["high"]
    assert found["no_inside_because"] is None


def test_what_the_maker_says_settles_a_question() -> None:
    asked = document("roasted", LOGS / "22-scale-unsaid.log")
    told = document("roasted", LOGS / "22-scale-unsaid.log", "--degrees", "F", "--off", "1 K")

    assert len(asked["questions"]) == 2
    assert asked["answer"]["verdict"] == "unknown"
    assert told["questions"] == []
    assert told["answer"]["verdict"] in ("watch", "stop")


def test_columns_runs_and_steps_can_be_told() -> None:
    run = document("roasted", LOGS / "25-two-runs.log", "--run", "2")
    rows = document("roasted", LOGS / "27-no-times.log", "--every", "10")
    unit = document("roasted", LOGS / "31-seconds-or-minutes.log", "--time-unit", "minutes")
    probes = document("roasted", LOGS / "15-no-heads.log", "--beans", "2", "--air", "3", "--off", "2 K")

    assert run["probes"][0]["end_s"] == 1800
    assert rows["probes"][0]["end_s"] == 600
    assert unit["probes"][0]["end_s"] == 120
    assert [probe["role"] for probe in probes["probes"]] == ["bean", "air"]


def test_weights_that_cannot_be_are_said_without_asking_why() -> None:
    done = nibsmith("roasted", "--points", POINTS, "--charge", "1 kg", "--end", "500 g").stdout

    assert "This cannot be: 43.5 % of the charge" in re.sub(r"\s+", " ", done)


def test_unlike_probes_are_not_compared_and_the_reason_is_told(tmp_path: Path) -> None:
    air = tmp_path / "air.csv"
    air.write_text("time (min),air (°C)\n0,130\n10,139\n20,140\n", encoding="utf-8")
    found = document("roasted", LOGS / "01-seconds.log", "--compare", air)
    said = nibsmith("roasted", LOGS / "05-marked.log", "--compare", air).stdout
    alike = nibsmith("roasted", LOGS / "01-seconds.log", "--compare", LOGS / "02-semicolons.log").stdout

    assert found["compared"]["probes"] == ["oven air", "air"]
    assert found["not_compared_because"] is None
    assert "Not set beside the other roast: of the other roast" in said
    assert "“air” is in the air" in re.sub(r"\s+", " ", said)
    assert "Beside the other roast" not in said
    assert re.search(r"this: “[^”]+” +the other: “[^”]+”", alike)


def test_a_log_that_goes_on_after_the_turn_asks_and_out_at_settles_it(tmp_path: Path) -> None:
    log = tmp_path / "drum.csv"
    rows = "".join(f"{minute},{min(24 + 5 * minute, 120) if minute <= 20 else 136}\n" for minute in range(81))
    log.write_text(f"time (min),beans (°C)\n{rows}", encoding="utf-8")

    asked = document("roasted", log, "--off", "1 K")
    told = document("roasted", log, "--off", "1 K", "--out-at", "20:00")
    assert asked["answer"]["verdict"] == "unknown"
    assert "say when they came out" in asked["questions"][0]
    assert told["questions"] == []
    assert told["answer"]["verdict"] == "stop"
    assert told["probes"][0]["end_s"] == 1200


def test_a_forecast_and_a_band_are_of_the_beans_alone(tmp_path: Path) -> None:
    done = nibsmith("roasted", "--dial", "140 °C", "--minutes", "30", "--until", "120 °C")

    assert (done.returncode, done.stdout) == (2, "")
    assert "--until is about the beans, and it has no probe in the beans" in done.stderr


def test_two_roasts_are_compared_and_a_wanted_course_held_against() -> None:
    found = document(
        "roasted", LOGS / "01-seconds.log", "--compare", LOGS / "02-semicolons.log",
        "--wanted", "0 22 °C; 15 100; 30 121", "--tolerance", "6 K",
    )  # fmt: skip
    said = nibsmith(
        "roasted", LOGS / "01-seconds.log", "--compare", LOGS / "02-semicolons.log",
        "--wanted", "0 22 °C; 15 100; 30 121", "--tolerance", "6 K",
    ).stdout  # fmt: skip

    length = next(each for each in found["compared"]["figures"] if each["what"] == "length")
    assert (length["first"], length["second"]) == (1800, 2100)
    assert found["kept"]["inside_percent"] + found["kept"]["too_hot_percent"] == pytest.approx(100)
    assert "Beside the other roast" in said
    assert "Against the wanted course" in said


def test_the_end_of_a_roast_is_foreseen() -> None:
    found = document("roasted", "--points", "0:00 25 °C; 10:00 85; 20:00 109", "--until", "118 °C")
    said = nibsmith("roasted", "--points", "0:00 25 °C; 10:00 85; 20:00 109", "--until", "118 °C").stdout

    assert found["forecast"]["time_s"] == pytest.approx(1741.3, abs=0.1)
    assert "at about 29:01" in said


def test_own_parameters_a_study_and_nibs_are_taken() -> None:
    found = document(
        "roasted", "--points", POINTS, "--off", "1 K", "--nibs", "--study", "report 12",
        "--survivors", "10", "120", "0.8", "30", "100", "140",
    )  # fmt: skip

    reasons = " ".join(found["answer"]["reasons"])
    assert "report 12" in reasons
    assert "Your own survivor line" in reasons
    assert "For nibs they are longer" in reasons


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "A roast comes from one place"),
        (["--points", POINTS, "--dial", "140 C"], "A roast comes from one place"),
        (["--dial", "140 C"], "--dial needs --minutes"),
        (["--points", "0:00 20"], "--points: A roast typed by hand has a few points"),
        (["--points", POINTS, "--charge", "1 kg"], "needs both --charge and --end"),
        (["--points", POINTS, "--charge", "1 kg", "--end", "2 kg"], "Nothing gets heavier"),
        (["--points", POINTS, "--wanted", POINTS], "--wanted needs --tolerance"),
        (["--points", POINTS, "--off", "1.5"], "--off: A difference needs its unit"),
        (["--points", POINTS, "--until", "120 °C"], "--until: It is there already"),
        (
            [
                "--points",
                POINTS,
                "--water-before",
                "7 %",
                "--charge",
                "1 kg",
                "--end",
                "900 g",
                "--start",
                "warm",
            ],
            "--start",
        ),
        ([LOGS / "26-empty.log"], "26-empty.log: The file is empty"),
        ([LOGS / "29-workbook.log"], "29-workbook.log: This is a packed file"),
        ([LOGS / "nowhere.log"], "No such file"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line_and_nothing_is_printed(
    arguments: list[str | Path], words: str
) -> None:
    done = nibsmith("roasted", *arguments)

    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_file_of_200_megabytes_is_refused_before_it_is_read(tmp_path: Path) -> None:
    large = tmp_path / "large.csv"
    with large.open("wb") as file:
        file.truncate(200_000_000)

    done = nibsmith("roasted", large)

    assert done.returncode == 2
    assert "got 200,000,000 bytes, limit 16,000,000 bytes" in done.stderr


def keys(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for inner in value.values() for key in keys(inner)}
    return {key for inner in value for key in keys(inner)} if isinstance(value, list) else set()


def test_every_key_of_the_document_is_in_the_handbook() -> None:
    found = document(
        "roasted", LOGS / "21-notes.log", "--off", "1 K", "--charge", "1 kg", "--end", "948 g",
        "--compare", LOGS / "01-seconds.log", "--wanted", "0 22 °C; 15 100; 27 119", "--tolerance", "6 K",
        "--until", "121 °C",
    )  # fmt: skip
    picture = document(
        "roasted", "--dial", "140 °C", "--minutes", "35", "--charge", "1 kg", "--end", "948 g",
        "--roaster", "fan_oven", "--start", "20 °C",
    )  # fmt: skip
    told = {word for code in re.findall(r"`([^`\n]+)`", HANDBOOK) for word in code.split()}

    assert (keys(found) | keys(picture)) - told == set()


def test_the_examples_of_the_handbook_run(monkeypatch: pytest.MonkeyPatch) -> None:
    import shlex

    lines = re.findall(r"^nibsmith roasted .*$", HANDBOOK, re.MULTILINE)
    assert len(lines) > 3
    for line in lines:
        done = nibsmith(*shlex.split(line)[1:])
        assert done.returncode == 0, (line, done.stderr)
