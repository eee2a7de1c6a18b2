"""The frame of the command line: every ending is an exit code and at most one line."""

from __future__ import annotations

import importlib
import signal
import subprocess
import sys
import time

import pytest

import nibsmith
from nibsmith.cli import main as frame
from nibsmith.cli.commands import COMMANDS, Command
from nibsmith.science.errors import InputError


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_in_the_table_offers_what_the_frame_calls(name: str, capsys) -> None:
    module = importlib.import_module(f"nibsmith.cli.commands.{COMMANDS[name].module}")

    assert callable(module.add_arguments)
    assert callable(module.run)
    with pytest.raises(SystemExit) as ending:
        frame.main([name, "--help"])
    assert ending.value.code == 0
    assert COMMANDS[name].summary in " ".join(capsys.readouterr().out.split())


def test_help_lists_every_command(capsys) -> None:
    with pytest.raises(SystemExit):
        frame.main(["--help"])

    shown = capsys.readouterr().out
    assert all(f"  {name} " in shown or f"  {name}\n" in shown for name in COMMANDS)


def test_it_says_its_version(capsys) -> None:
    with pytest.raises(SystemExit):
        frame.main(["--version"])

    assert capsys.readouterr().out == f"nibsmith {nibsmith.__version__}\n"


def test_without_a_command_it_shows_its_help(capsys) -> None:
    assert frame.main([]) == 2
    assert "usage: nibsmith" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["--wrong"], ["wrong"], ["serve", "--wrong"]])
def test_what_is_no_command_is_refused_with_the_way_to_use_it(words: list[str], capsys) -> None:
    try:
        code = frame.main(words)
    except SystemExit as ending:
        code = ending.code

    assert code == 2
    assert "nibsmith --help" in capsys.readouterr().err


class Failing:
    """A command that ends the way it is told."""

    def __init__(self, ending: BaseException) -> None:
        self.ending = ending

    def add_arguments(self, parser: object) -> None:
        """Take none."""

    def run(self, args: object) -> int:
        raise self.ending


@pytest.mark.parametrize(
    ("ending", "code", "line"),
    [
        (
            InputError("Too much\nof it", value=3, advice="Take less."),
            2,
            "nibsmith: Too much of it (got 3). Take less.\n",
        ),
        (
            FileNotFoundError(2, "No such file or directory", "a.toml"),
            2,
            "nibsmith: a.toml: No such file or directory.\n",
        ),
        (PermissionError(13, "Permission denied"), 2, "nibsmith: Permission denied.\n"),
        (KeyboardInterrupt(), 130, ""),
    ],
)
def test_every_expected_ending_is_a_code_and_at_most_one_line(
    monkeypatch, capsys, ending, code: int, line: str
) -> None:
    monkeypatch.setitem(COMMANDS, "fail", Command("fail", "fail"))
    monkeypatch.setitem(sys.modules, "nibsmith.cli.commands.fail", Failing(ending))

    assert frame.main(["fail"]) == code
    assert capsys.readouterr() == ("", line)


def test_a_fault_of_the_program_is_not_dressed_up_as_a_refusal(monkeypatch) -> None:
    monkeypatch.setitem(COMMANDS, "fail", Command("fail", "fail"))
    monkeypatch.setitem(sys.modules, "nibsmith.cli.commands.fail", Failing(ZeroDivisionError()))

    with pytest.raises(ZeroDivisionError):
        frame.main(["fail"])


def test_a_reader_that_goes_away_causes_no_complaint() -> None:
    code = (
        "import sys\n"
        "from nibsmith.cli import main as frame\n"
        "from nibsmith.cli.commands import COMMANDS, Command\n"
        "class Long:\n"
        "    def add_arguments(self, parser): pass\n"
        "    def run(self, args):\n"
        "        for _ in range(100000): print('a long list')\n"
        "        return 0\n"
        "COMMANDS['long'] = Command('long', 'long'); sys.modules['nibsmith.cli.commands.long'] = Long()\n"
        "sys.exit(frame.main(['long']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.readline()
        process.stdout.close()
        complaint = process.stderr.read()
        assert process.wait(timeout=30) == 141

    assert complaint == b""


def test_ctrl_c_before_the_workshop_is_open_stops_it_quietly(workshop) -> None:
    """Right after the start, while the database is still being made."""
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", "nibsmith", "serve", "--port", "0", "--no-browser"],
        env=workshop.environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    while not (workshop.home / "nibsmith.sqlite3").exists():
        time.sleep(0.005)
    process.send_signal(signal.SIGINT)
    printed, _ = process.communicate(timeout=30)

    assert process.returncode == 0
    assert b"Traceback" not in printed
