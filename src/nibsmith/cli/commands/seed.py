"""Say how much seed a melted mass wants, or whichever else of the balance is not known."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from nibsmith.answers.seed import BOWLS, SeedAsked
from nibsmith.answers.tools.seeding import seed_by_hand, share_of
from nibsmith.cli import by_hand
from nibsmith.cli.reading import told_where
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.temper import Chocolate, Unknown

ASKED = {
    "seed": Unknown.SEED,
    "result": Unknown.TARGET,
    "mass": Unknown.MASS,
    "mass-temperature": Unknown.MASS_TEMPERATURE,
    "seed-temperature": Unknown.SEED_TEMPERATURE,
}
TYPED = {
    "mass_g": "MASS",
    "mass_celsius": "TEMP",
    "seed_g": "--seed",
    "seed_celsius": "--seed-at",
    "target_celsius": "--to",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "mass", metavar="MASS", nargs="?", help="the melted mass, such as '1.2 kg'; left out with --tell mass"
    )
    parser.add_argument(
        "celsius",
        metavar="TEMP",
        nargs="?",
        help="its temperature, such as '46 C'; left out with --tell mass-temperature",
    )
    parser.add_argument(
        "--tell", choices=list(ASKED), default="seed", help="what is not known (usual: the seed)"
    )
    parser.add_argument("--chocolate", choices=by_hand.choices(Chocolate), default="dark", help="its kind")
    group = parser.add_argument_group("what is known; the rest is taken as usual")
    group.add_argument("--seed", metavar="MASS", help="the seed")
    group.add_argument("--seed-at", metavar="TEMP", help="its temperature")
    group.add_argument("--to", metavar="TEMP", help="what the whole is to come to")
    group.add_argument("--melts", metavar="PERCENT", help="how much of the seed melts")
    group.add_argument("--bowl", metavar="MASS", help="weight of the empty bowl")
    group.add_argument("--of", choices=BOWLS, default="steel", help="what the bowl is of")
    group.add_argument("--room", metavar="TEMP", help="temperature of the room")
    group.add_argument("--minutes", metavar="N", help="how long the seed is stirred in")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    with told_where("--melts", field=False):
        melts = share_of(by_hand.percent("--melts", args.melts))
    unknown = ASKED[args.tell]
    mass, celsius = _typed(unknown, args.mass, args.celsius)
    asked = SeedAsked(
        mass_g=by_hand.mass("MASS", mass),
        mass_celsius=by_hand.celsius("TEMP", celsius),
        seed_g=by_hand.mass("--seed", args.seed),
        seed_celsius=by_hand.celsius("--seed-at", args.seed_at),
        target_celsius=by_hand.celsius("--to", args.to),
        melted_share=melts,
        bowl_g=by_hand.mass("--bowl", args.bowl),
        bowl=args.of,
        room_celsius=by_hand.celsius("--room", args.room),
        minutes=by_hand.number("--minutes", args.minutes),
        chocolate=Chocolate(args.chocolate),
        unknown=unknown,
    )
    with _as_typed():
        outcome = seed_by_hand(asked)
    return by_hand.printed(outcome, args)


@contextmanager
def _as_typed() -> Iterator[None]:
    """Name what is refused as it is typed here."""
    try:
        yield
    except NibsmithError as error:
        option = TYPED.get(error.field or "")
        if option is not None:
            error.what = f"{option}: {error.what}"
            error.value = None if error.value == error.field else error.value
        raise


def _typed(unknown: Unknown, mass: str | None, celsius: str | None) -> tuple[str | None, str | None]:
    """Return mass and temperature as typed: the one that is asked for is left out."""
    asked_for = {Unknown.MASS: "MASS", Unknown.MASS_TEMPERATURE: "TEMP"}.get(unknown)
    if asked_for and mass is not None and celsius is not None:
        raise InputError(f"{asked_for}: This is what is asked for", advice="Leave it out.")
    return (None, mass) if unknown is Unknown.MASS else (mass, celsius)
