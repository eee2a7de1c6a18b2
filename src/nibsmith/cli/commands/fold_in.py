"""Say how far a fold-in cools a tempered mass, and how warm it must be."""

from __future__ import annotations

import argparse

from nibsmith.answers.fold_in import FoldInAsked
from nibsmith.answers.tools.folding import fold_in_by_hand
from nibsmith.cli import bench, by_hand
from nibsmith.cli.reading import things_option
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import ingredient
from nibsmith.science.temper import Chocolate


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "thing", metavar="THING", help="what is folded in, such as '240 g hazelnut_dry_roasted'"
    )
    parser.add_argument("into", metavar="MASS", help="the tempered mass, such as '1.8 kg'")
    parser.add_argument("--at", metavar="TEMP", help="how warm it is (usual: as a room)")
    parser.add_argument("--mass-at", metavar="TEMP", help="how warm the mass is (usual: as it is worked)")
    parser.add_argument("--chocolate", choices=by_hand.choices(Chocolate), default="dark", help="its kind")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    things = things_option("THING", [args.thing])
    if len(things) != 1 or things[0].mass_g is None:
        raise InputError("THING: This is not one thing", value=args.thing, advice='Write "240 g almond".')
    asked = FoldInAsked(
        mass_g=by_hand.needed("MASS", by_hand.mass("MASS", args.into)),
        amount_g=float(things[0].mass_g),
        ingredient=ingredient(bench.key_named("THING", things[0].words)),
        celsius=by_hand.celsius("--at", args.at),
        mass_celsius=by_hand.celsius("--mass-at", args.mass_at),
        chocolate=Chocolate(args.chocolate),
    )
    return by_hand.printed(fold_in_by_hand(asked), args)
