"""Say whether a mass pours, from its figures or from a recipe file."""

from __future__ import annotations

import argparse
from dataclasses import replace

from nibsmith.answers.context import Context
from nibsmith.answers.pour import FlowCurve, flow_curve, pour
from nibsmith.answers.process import Process
from nibsmith.answers.tools.known_mass import USUAL_MASS_G, KnownMass
from nibsmith.answers.tools.outcome import Outcome
from nibsmith.answers.tools.pouring import PourAsked, curve_by_hand, pour_by_hand
from nibsmith.cli import by_hand
from nibsmith.cli.reading import read_file, told_where
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.flow import Use
from nibsmith.science.kit import kit
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="a recipe file, or - for standard input")
    parser.add_argument("--fat", metavar="PERCENT", help="without a file: all fat of the mass")
    parser.add_argument(
        "--chocolate", choices=by_hand.choices(Chocolate), help="without a file: its kind (usual: dark)"
    )
    parser.add_argument("--lecithin", metavar="PERCENT", help="without a file: lecithin of the mass")
    parser.add_argument("--total", metavar="MASS", help="without a file: how much there is (usual: 1 kg)")
    group = parser.add_argument_group("what is known of the mass")
    group.add_argument("--cocoa", metavar="SIZE", help="largest grains of cocoa, in µm")
    group.add_argument("--sugar", metavar="SIZE", help="largest grains of sugar, in µm")
    group.add_argument("--water", metavar="PERCENT", help="water of the finished mass")
    group.add_argument("--at", metavar="TEMP", help="at what it is poured (usual: as its kind is worked)")
    group.add_argument("--use", choices=by_hand.choices(Use), help="what for (usual: bars)")
    group.add_argument("--kit", metavar="KIT", help="what it is ground with, such as stone or blender")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    if (args.file is None) == (args.fat is None):
        raise InputError("A mass comes from one place", advice="Give a recipe file, or --fat.")
    outcome, curve = _of_figures(args) if args.file is None else _of_file(args)
    return by_hand.printed(outcome, args, {"curve": None if curve is None else _points(curve)})


def _of_figures(args: argparse.Namespace) -> tuple[Outcome, FlowCurve | None]:
    mass = KnownMass(
        Chocolate(args.chocolate or Chocolate.DARK),
        by_hand.needed("--fat", by_hand.percent("--fat", args.fat)),
        by_hand.percent("--lecithin", args.lecithin) or 0.0,
        by_hand.mass("--total", args.total) or USUAL_MASS_G,
    )
    asked = PourAsked(mass, _process(args), _context(args))
    return pour_by_hand(asked), curve_by_hand(asked)


def _of_file(args: argparse.Namespace) -> tuple[Outcome, FlowCurve | None]:
    for option in ("chocolate", "lecithin", "total"):
        if getattr(args, option) is not None:
            raise InputError(f"--{option} goes with --fat", advice="The file says it.")
    context = _context(args)
    file = read_file(args.file, kit=context.kit)
    here = replace(context, process=_process(args), kit=context.kit or file.workshop.kit)
    try:
        curve: FlowCurve | None = flow_curve(file.recipe, here)
    except NibsmithError:
        curve = None
    return Outcome(pour(file.recipe, here)), curve


def _process(args: argparse.Namespace) -> Process:
    reach = load("grind")["reading_error"].value
    return Process(
        cocoa_d90_um=by_hand.span(by_hand.micrometres("--cocoa", args.cocoa), reach),
        sugar_d90_um=by_hand.span(by_hand.micrometres("--sugar", args.sugar), reach),
        end_water_percent=by_hand.span(by_hand.percent("--water", args.water)),
        temperature_celsius=by_hand.span(by_hand.celsius("--at", args.at)),
        use=by_hand.chosen(Use, args.use),
    )


def _context(args: argparse.Namespace) -> Context:
    with told_where("--kit", field=False):
        return Context(kit=None if args.kit is None else kit(args.kit))


def _points(curve: FlowCurve) -> dict[str, object]:
    infinite = float("inf")
    return {
        "rate_per_s": curve.rates.tolist(),
        "stress_pa": curve.stress.tolist(),
        "low_pa": [None if value == infinite else value for value in curve.low.tolist()],
        "high_pa": [None if value == infinite else value for value in curve.high.tolist()],
        "limits": [
            {"rate_per_s": rate, "stress_pa": stress}
            for rate, stress in zip(curve.limit_rates.tolist(), curve.limit_stress.tolist(), strict=True)
        ],
    }
