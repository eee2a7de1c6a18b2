"""Copies of the records: whole, checked, and put back without losing what was there."""

from __future__ import annotations

import shutil
import sqlite3
import stat
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.safekeeping import backup as backing_up
from nibsmith.shop.safekeeping import restore as restoring
from nibsmith.shop.safekeeping.backup import backup, backup_beside
from nibsmith.shop.safekeeping.files import unused
from nibsmith.shop.safekeeping.history import MadeByNewerProgram
from nibsmith.shop.safekeeping.inspection import DamagedFile, inspect
from nibsmith.shop.safekeeping.restore import restore

PAGE = 4096
ADD_ENTRY = (
    "INSERT INTO common_changeentry (at, who, what, object_type, object_id, why) "
    "VALUES (0, '', '', '', '', ?)"
)
ADD_STEP = "INSERT INTO django_migrations (app, name, applied) VALUES ('common', '9999_later', '2099-01-01')"


@pytest.fixture
def records(tmp_path: Path, made_records: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    return Path(shutil.copyfile(made_records, folder / "nibsmith.sqlite3"))


def whys(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return [why for (why,) in connection.execute("SELECT why FROM common_changeentry ORDER BY id")]


def write(file: Path, why: str) -> None:
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute(
            ADD_ENTRY,
            (why,),
        )


def damage_content(file: Path) -> None:
    """Spoil the pages behind the header: the file still opens."""
    data = bytearray(file.read_bytes())
    data[PAGE : 6 * PAGE] = bytes(0xA5 for _ in range(5 * PAGE))
    file.write_bytes(data)


def cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: 3 * PAGE])


def replace_by_text(file: Path) -> None:
    file.write_text("recipe = 'seventy'\n" * 500, encoding="utf-8")


def empty(file: Path) -> None:
    file.write_bytes(b"")


def break_reference(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute(
            "CREATE TABLE part (id INTEGER PRIMARY KEY, whole_id INTEGER REFERENCES common_changeentry(id))"
        )
        connection.execute("INSERT INTO part (whole_id) VALUES (999)")


def replace_by_other_records(file: Path) -> None:
    file.unlink()
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute("CREATE TABLE bread (id INTEGER PRIMARY KEY)")


DAMAGES = [damage_content, cut_short, replace_by_text, empty, break_reference, replace_by_other_records]


def test_a_copy_holds_every_row_and_is_one_private_file(records: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite3"

    copy = backup(records, target)

    assert whys(target) == ["made", "made again"]
    assert copy.rows == sum(inspect(records).values())
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert sorted(file.name for file in tmp_path.iterdir()) == ["copy.sqlite3", "home"]


def test_a_copy_holds_what_is_still_only_in_the_write_ahead_log(records: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(records)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA wal_autocheckpoint=0")
        write(records, "just now")
        assert records.with_name("nibsmith.sqlite3-wal").stat().st_size > 0

        backup(records, tmp_path / "copy.sqlite3")

    assert whys(tmp_path / "copy.sqlite3")[-1] == "just now"


@pytest.fixture
def busy_writer(records: Path) -> Iterator[list[int]]:
    """Somebody who keeps writing pairs of rows; counts the pairs."""
    stop, pairs = threading.Event(), [0]

    def work() -> None:
        with closing(sqlite3.connect(records, timeout=20, isolation_level=None)) as connection:
            connection.execute("PRAGMA journal_mode=WAL")
            while not stop.is_set():
                connection.execute("BEGIN IMMEDIATE")
                connection.execute(ADD_ENTRY, (f"left {pairs[0]}",))
                connection.execute(ADD_ENTRY, (f"right {pairs[0]}",))
                connection.execute("COMMIT")
                pairs[0] += 1
                time.sleep(0.001)  # without any pause others would hardly get the lock

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    while pairs[0] < 20:
        assert thread.is_alive()
        time.sleep(0.001)
    yield pairs
    stop.set()
    thread.join()


def test_a_copy_made_while_somebody_writes_holds_whole_transactions(
    records: Path, tmp_path: Path, busy_writer
) -> None:
    for number in range(5):
        target = tmp_path / f"copy-{number}.sqlite3"
        backup(records, target)
        copied = whys(target)[2:]
        assert [why.replace("left", "right") for why in copied[::2]] == copied[1::2]


@pytest.mark.parametrize("damage", DAMAGES)
def test_damaged_records_give_no_copy_and_no_rubbish(records: Path, tmp_path: Path, damage) -> None:
    damage(records)

    with pytest.raises(NibsmithError):
        backup(records, tmp_path / "copy.sqlite3")

    assert [file.name for file in tmp_path.iterdir()] == ["home"]


def test_a_copy_with_other_rows_is_thrown_away(records: Path, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(backing_up, "inspect", lambda file: {**inspect(file), "common_changeentry": 1})

    with pytest.raises(DamagedFile, match="same rows"):
        backup(records, tmp_path / "copy.sqlite3")

    assert not (tmp_path / "copy.sqlite3").exists()


def test_nothing_is_overwritten_by_a_copy(records: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite3"
    target.write_text("mine", encoding="utf-8")

    with pytest.raises(NibsmithError, match="is there already"):
        backup(records, target)

    assert target.read_text(encoding="utf-8") == "mine"


def test_there_is_nothing_to_copy_before_the_first_start(tmp_path: Path) -> None:
    with pytest.raises(NibsmithError, match="no records yet"):
        backup(tmp_path / "nibsmith.sqlite3", tmp_path / "copy.sqlite3")
    with pytest.raises(NibsmithError, match="no records yet"):
        backup_beside(tmp_path / "nibsmith.sqlite3", "backup")


def test_a_copy_goes_only_into_a_folder_that_is_there(records: Path, tmp_path: Path) -> None:
    with pytest.raises(NibsmithError, match="There is no folder"):
        backup(records, tmp_path / "nowhere" / "copy.sqlite3")


def test_two_copies_of_one_second_get_two_names(records: Path) -> None:
    first, second = backup_beside(records, "backup").file, backup_beside(records, "backup").file

    assert first != second
    assert unused(first) not in {first, second}


def test_a_restored_copy_is_what_was_copied_and_the_records_before_are_kept(
    records: Path, tmp_path: Path
) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    write(records, "after the copy")

    restored = restore(copy, records)

    assert whys(records) == ["made", "made again"]
    assert restored.kept is not None
    assert whys(restored.kept) == ["made", "made again", "after the copy"]
    assert whys(copy) == ["made", "made again"]
    assert stat.S_IMODE(records.stat().st_mode) == 0o600


def test_the_log_of_the_old_records_is_never_played_into_the_restored_ones(
    records: Path, tmp_path: Path
) -> None:
    """As after a power cut: the last entries are in the -wal file alone, and nobody has the file open."""
    copy = backup(records, tmp_path / "copy.sqlite3").file
    with closing(sqlite3.connect(records)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA wal_autocheckpoint=0")
        write(records, "only in the log")
        crashed = tmp_path / "crashed"
        shutil.copytree(records.parent, crashed)
    records = crashed / "nibsmith.sqlite3"
    (crashed / "nibsmith.sqlite3-shm").unlink()

    restored = restore(copy, records)

    assert whys(records) == ["made", "made again"]
    assert restored.kept is not None
    assert whys(restored.kept)[-1] == "only in the log"


def test_restoring_into_an_empty_folder_keeps_nothing(tmp_path: Path, made_records: Path) -> None:
    (tmp_path / "new").mkdir()

    restored = restore(made_records, tmp_path / "new" / "nibsmith.sqlite3")

    assert restored.kept is None
    assert whys(tmp_path / "new" / "nibsmith.sqlite3") == ["made", "made again"]


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_copy_is_refused_and_the_records_stay_as_they_are(
    records: Path, tmp_path: Path, damage
) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    damage(copy)
    before = records.read_bytes()

    with pytest.raises(NibsmithError):
        restore(copy, records)

    assert records.read_bytes() == before
    assert [file.name for file in records.parent.iterdir()] == ["nibsmith.sqlite3"]


def test_a_file_that_is_not_there_is_refused(records: Path, tmp_path: Path) -> None:
    with pytest.raises(NibsmithError, match="There is no file"):
        restore(tmp_path / "copy.sqlite3", records)


def test_a_copy_of_a_newer_program_is_refused(records: Path, tmp_path: Path) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    with closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute(ADD_STEP)

    with pytest.raises(MadeByNewerProgram, match="newer"):
        restore(copy, records)

    assert whys(records) == ["made", "made again"]


def test_a_copy_of_an_older_program_is_brought_up_to_date(records: Path, older_records: Path) -> None:
    restore(older_records, records)

    assert whys(records) == ["older"]
    assert inspect(records).keys() >= {"recipes_recipe", "stock_ownsheet"} or "recipes_recipe" in inspect(
        records
    )


def test_records_are_not_replaced_while_the_workshop_has_them_open(records: Path, tmp_path: Path) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    with closing(sqlite3.connect(records)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("SELECT count(*) FROM common_changeentry").fetchone()

        with pytest.raises(NibsmithError, match="The workshop is open"):
            restore(copy, records)

    assert whys(records) == ["made", "made again"]


def test_damaged_records_can_be_replaced_and_are_kept_as_they_were(records: Path, tmp_path: Path) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    replace_by_text(records)
    before = records.read_bytes()

    restored = restore(copy, records)

    assert restored.kept is not None
    assert restored.kept.read_bytes() == before
    assert whys(records) == ["made", "made again"]


@pytest.mark.parametrize("step", ["_bring_up_to_date", "_set_aside", "put_in_place"])
def test_a_failure_at_any_step_leaves_the_records_where_they_were(
    records: Path, tmp_path: Path, monkeypatch, step: str
) -> None:
    copy = backup(records, tmp_path / "copy.sqlite3").file
    write(records, "after the copy")

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(restoring, step, fail)
    with pytest.raises(OSError, match="No space"):
        restore(copy, records)

    assert whys(records) == ["made", "made again", "after the copy"]


def test_the_command_writes_checks_and_says_where(workshop, made_records: Path, tmp_path: Path) -> None:
    workshop.home.mkdir()
    shutil.copyfile(made_records, workshop.records)

    written = workshop.run("backup", str(tmp_path / "mine.sqlite3"))
    into_folder = workshop.run("backup", str(tmp_path))
    usual = workshop.run("backup")

    assert (written.returncode, into_folder.returncode, usual.returncode) == (0, 0, 0)
    assert str(tmp_path / "mine.sqlite3") in written.stdout
    assert len(list(tmp_path.glob("nibsmith-backup-*.sqlite3"))) == 1
    assert len(list((workshop.home / "backups").iterdir())) == 1

    restored = workshop.run("restore", str(tmp_path / "mine.sqlite3"))
    assert restored.returncode == 0, restored.stderr
    assert "before-restore" in restored.stdout


def test_the_command_refuses_while_the_workshop_is_served(serve, workshop, made_records: Path) -> None:
    serve()

    done = workshop.run("restore", str(made_records))

    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "nibsmith: The workshop is open. Stop it with Ctrl-C, then restore.\n"


@pytest.mark.parametrize("words", [("backup",), ("restore", "none.sqlite3")])
def test_a_refusal_is_one_line_and_an_exit_code(workshop, words: tuple[str, ...]) -> None:
    done = workshop.run(*words)

    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("nibsmith: ")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(("words", "tool"), [(("backup",), "pg_dump"), (("restore", "x"), "pg_restore")])
def test_records_in_postgresql_are_left_to_its_own_tools(workshop, words: tuple[str, ...], tool: str) -> None:
    done = workshop.run(*words, NIBSMITH_DATABASE_URL="postgresql:///shop")

    assert done.returncode == 2
    assert tool in done.stderr
    assert done.stderr.count("\n") == 1


def test_records_move_to_another_computer_by_a_copy(workshop, made_records: Path) -> None:
    """As in docs/howto/keep-your-records.md: a fresh program that was never started takes the copy."""
    done = workshop.run("restore", str(made_records))

    assert done.returncode == 0, done.stderr
    assert "kept" not in done.stdout
    assert whys(workshop.records) == ["made", "made again"]
