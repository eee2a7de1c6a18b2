"""Find the command that was typed, run it, and turn every ending into an exit code."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence
from typing import NoReturn, Protocol, cast

import nibsmith
from nibsmith.cli.commands import COMMANDS
from nibsmith.science.errors import NibsmithError

REFUSED = 2
INTERRUPTED = 130
NO_READER = 141


class CommandModule(Protocol):
    """What the module of a command offers."""

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        """Say which arguments the command takes."""

    def run(self, args: argparse.Namespace) -> int:
        """Do the work and return the exit code."""


class Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line, like every other refusal."""

    def error(self, message: str) -> NoReturn:
        """Say it and leave."""
        self.exit(REFUSED, f"nibsmith: {' '.join(message.split())}. See {self.prog} --help.\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return 0, or another number after one line on standard error."""
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        return _run(words)
    except NibsmithError as error:
        return _refuse(str(error))
    except OSError as error:
        return _system_said(error)
    except KeyboardInterrupt:
        return INTERRUPTED


def _run(words: list[str]) -> int:
    chosen = next((word for word in words if not word.startswith("-")), "")
    parser, subparsers = _parser()
    module = _load(chosen)
    if module:
        module.add_arguments(subparsers[chosen])
    args = parser.parse_args(words)
    code = module.run(args) if module else _say_help(parser)
    # A reader that has gone away shows itself here at the latest.
    sys.stdout.flush()
    return code


def _parser() -> tuple[Parser, dict[str, Parser]]:
    parser = Parser(prog="nibsmith", description=(nibsmith.__doc__ or "").strip(), allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"nibsmith {nibsmith.__version__}")
    group = parser.add_subparsers(title="commands", dest="command", metavar="COMMAND")
    made = {
        name: group.add_parser(name, help=command.summary, description=command.summary, allow_abbrev=False)
        for name, command in COMMANDS.items()
    }
    return parser, made


def _load(name: str) -> CommandModule | None:
    if name not in COMMANDS:
        return None
    return cast("CommandModule", importlib.import_module(f"nibsmith.cli.commands.{COMMANDS[name].module}"))


def _say_help(parser: argparse.ArgumentParser) -> int:
    parser.print_help(sys.stderr)
    return REFUSED


def _system_said(error: OSError) -> int:
    """Say a fault of a file or of the system in one line, and leave quietly when nobody reads."""
    if isinstance(error, BrokenPipeError):
        # Python would complain once more while it closes standard output.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NO_READER
    named = f"{error.filename}: " if error.filename else ""
    return _refuse(f"{named}{error.strerror or error}.")


def _refuse(line: str) -> int:
    print(f"nibsmith: {' '.join(line.split())}", file=sys.stderr)
    return REFUSED
