"""The two scripts that need nothing but Python."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import check
import pytest
import start

from source_tree import ROOT


@pytest.fixture
def made_here(tmp_path: Path, monkeypatch) -> Path:
    """A .venv that was finished here, as far as its own record says."""
    (tmp_path / "lock").mkdir()
    for name in start.LOCKS:
        (tmp_path / "lock" / f"{name}.txt").write_text(name, encoding="ascii")
    venv = tmp_path / ".venv"
    (venv / "bin").mkdir(parents=True)
    (venv / "bin" / "python").touch()
    for name, value in {
        "ROOT": tmp_path,
        "VENV": venv,
        "STATE": venv / "nibsmith.json",
        "PYTHON": venv / "bin" / "python",
        "LAUNCHER": venv / "bin" / "nibsmith",
    }.items():
        monkeypatch.setattr(start, name, value)
    start.STATE.write_text(json.dumps(start._state("postgres")), encoding="utf-8")
    return tmp_path


def test_a_finished_environment_is_used_as_it_is(made_here: Path) -> None:
    assert start._is_ready("postgres")
    assert start._is_ready("runtime")  # the larger one holds the smaller


def test_a_smaller_environment_does_not_do_for_more(made_here: Path) -> None:
    assert not start._is_ready("dev")


def test_a_changed_lock_asks_for_a_new_environment(made_here: Path) -> None:
    (made_here / "lock" / "postgres.txt").write_text("changed", encoding="ascii")

    assert not start._is_ready("postgres")


@pytest.mark.parametrize("change", [{"folder": "elsewhere"}, {"python": "3.10"}, {"lock": "none"}])
def test_an_environment_made_elsewhere_or_otherwise_is_not_used(made_here: Path, change: dict) -> None:
    start.STATE.write_text(json.dumps({**start._state("postgres"), **change}), encoding="utf-8")

    assert not start._is_ready("postgres")


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", "null"])
def test_an_environment_that_was_not_finished_is_not_used(made_here: Path, text: str) -> None:
    start.STATE.write_text(text, encoding="utf-8")

    assert not start._is_ready("postgres")


def test_the_launcher_works_from_any_folder_and_through_a_link(tmp_path: Path) -> None:
    link = tmp_path / "nib"
    link.symlink_to(start.LAUNCHER)

    done = subprocess.run(
        [link, "--version"], cwd=tmp_path, capture_output=True, text=True, check=False, env={}
    )

    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("nibsmith ")


def test_the_launcher_quotes_the_folder_it_stands_in(made_here: Path, monkeypatch) -> None:
    monkeypatch.setattr(start, "PYTHON", made_here / "it's a folder" / "python")

    start._write_launcher()

    assert f"""exec '{made_here}/it'"'"'s a folder/python' -P""" in start.LAUNCHER.read_text(encoding="utf-8")


def test_an_older_python_is_refused_in_one_line(tmp_path: Path) -> None:
    code = f"import sys; sys.version_info = (3, 10, 9); exec(open({str(ROOT / 'start.py')!r}).read())"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert done.returncode == 1
    assert "needs Python 3.11 or newer" in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_python_that_makes_no_environments_is_refused_in_one_line(made_here: Path, monkeypatch) -> None:
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None)
    start.STATE.unlink()

    with pytest.raises(SystemExit) as ending:
        start.make_ready("runtime")

    assert "apt install python3-venv" in str(ending.value.code)
    assert "\n" not in str(ending.value.code)


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_a_script_needs_the_standard_library_alone(script: str) -> None:
    tree = ast.parse((ROOT / script).read_text(encoding="utf-8"))
    named = {
        alias.name.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    }
    named |= {
        (node.module or "").split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)
    }

    assert named - {"start"} <= sys.stdlib_module_names


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_a_script_says_what_it_does_without_doing_it(script: str) -> None:
    done = subprocess.run(
        [sys.executable, ROOT / script, "--help"], capture_output=True, text=True, check=False
    )

    assert done.returncode == 0
    assert f"python3 {script}" in done.stdout


def test_start_names_the_options_of_serve() -> None:
    from nibsmith.cli.commands import serve

    offered = set(
        re.findall(r'add_argument\(\s*"(--[a-z-]+)"', Path(serve.__file__).read_text(encoding="utf-8"))
    )
    shown = set(re.findall(r"--[a-z-]+", start.__doc__ or ""))

    assert shown - {"--prepare"} <= offered
    assert offered - {"--lan"} <= shown


def test_the_automatic_run_calls_exactly_the_one_script() -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()

    assert [line for line in lines if "python" in line] == ["exec python3 check.py"]
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


def test_a_missing_tool_stops_the_automatic_run(monkeypatch) -> None:
    monkeypatch.setattr(check, "CI", True)
    monkeypatch.setattr(check.shutil, "which", lambda name: None)
    monkeypatch.setattr(check, "postgres_program", lambda name: None)

    with pytest.raises(SystemExit) as ending:
        check.install_with_apt()

    assert "chromium" in str(ending.value.code)
    assert "postgresql" in str(ending.value.code)


def test_a_missing_tool_elsewhere_is_one_line(monkeypatch, capsys) -> None:
    monkeypatch.setattr(check, "CI", False)
    monkeypatch.setattr(check.shutil, "which", lambda name: None if name in {"chromium", "apt-get"} else name)

    check.install_with_apt()

    assert capsys.readouterr().out == "Missing: chromium. What needs it is left out.\n"


def test_the_tests_are_told_nothing_of_this_computers_workshop(monkeypatch) -> None:
    monkeypatch.setenv("NIBSMITH_HOME", "somewhere")
    monkeypatch.setenv("NIBSMITH_DATABASE_URL", "postgresql:///mine")

    assert not {"NIBSMITH_HOME", "NIBSMITH_DATABASE_URL"} & check.environment().keys()


def test_postgresql_runs_while_it_is_needed_and_not_longer() -> None:
    import psycopg

    if check.postgres_program("initdb") is None:
        pytest.skip("PostgreSQL is not installed") if not check.CI else pytest.fail("PostgreSQL is missing")
    with check.postgresql() as address:
        folder = Path(address.split("host=")[1])
        with psycopg.connect(address) as connection:
            assert connection.execute("SELECT 1").fetchone() == (1,)
        number = int((folder / "data" / "postmaster.pid").read_text().splitlines()[0])

    assert not folder.exists()
    assert not _runs(number)


def _runs(number: int) -> bool:
    """Whether a process does anything: one that has ended may stay in the list until its parent looks."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False
