"""Say when a bar comes off its mould, and how other settings of the fridge would do."""

from __future__ import annotations

import argparse

from nibsmith.answers.cooling import Cooling
from nibsmith.answers.demould import BarPicture
from nibsmith.answers.tools.cooling_bar import (
    USUAL_FAT_PERCENT,
    CoolAsked,
    Settings,
    cool_by_hand,
    picture_by_hand,
    settings_by_hand,
)
from nibsmith.cli import by_hand
from nibsmith.science.cool import Wind
from nibsmith.science.temper import Chocolate


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("--thickness", metavar="MM", help="of the bar, in mm")
    parser.add_argument("--air", metavar="TEMP", help="in the fridge, around the moulds")
    parser.add_argument("--wind", choices=by_hand.choices(Wind), default="still", help="how the air moves")
    parser.add_argument(
        "--takes-up",
        metavar="W",
        help="heat that the air takes up, your own figure in W/(m² K); then --wind does not count",
    )
    parser.add_argument("--poured", metavar="TEMP", help="temperature of the mass when it is poured")
    parser.add_argument("--untempered", action="store_true", help="it is left untempered on purpose")
    parser.add_argument("--chocolate", choices=by_hand.choices(Chocolate), default="dark", help="its kind")
    parser.add_argument("--fat", metavar="PERCENT", help=f"fat of the mass (usual: {USUAL_FAT_PERCENT})")
    group = parser.add_argument_group("moulds and room")
    group.add_argument("--moulds", metavar="N", type=int, default=1, help="how many go in at once")
    group.add_argument("--in-one", metavar="MASS", help="chocolate in one mould")
    group.add_argument(
        "--mould", metavar="MASS", help="weight of an empty mould (where it is not said: counted as nothing)"
    )
    group.add_argument("--room", metavar="TEMP", help="the room the bars come out into")
    group.add_argument("--humidity", metavar="PERCENT", help="its relative humidity")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    cooling = Cooling(
        thickness_mm=by_hand.span(by_hand.number("--thickness", args.thickness)),
        air_celsius=by_hand.span(by_hand.celsius("--air", args.air)),
        wind=args.wind,
        exchange=by_hand.span(by_hand.number("--takes-up", args.takes_up)),
        poured_celsius=by_hand.span(by_hand.celsius("--poured", args.poured)),
        tempered=not args.untempered,
        moulds=args.moulds,
        chocolate_g=by_hand.mass("--in-one", args.in_one),
        mould_g=by_hand.mass("--mould", args.mould),
        room_celsius=by_hand.celsius("--room", args.room),
        room_humidity_percent=by_hand.percent("--humidity", args.humidity),
    )
    fat = by_hand.percent("--fat", args.fat) or USUAL_FAT_PERCENT
    asked = CoolAsked(Chocolate(args.chocolate), fat, cooling)
    more: dict[str, object] = {}
    if args.json:
        more = {"course": _course(picture_by_hand(asked)), "settings": _settings(settings_by_hand(asked))}
    return by_hand.printed(cool_by_hand(asked), args, more)


def _course(bar: BarPicture | None) -> dict[str, object] | None:
    if bar is None:
        return None
    return {
        "minutes": bar.minutes.tolist(),
        "core_celsius": bar.core.tolist(),
        "face_celsius": bar.top.tolist(),
        "form_v": bar.beta.tolist(),
        "low_forms": (bar.alpha + bar.beta_prime).tolist(),
        "released_minutes": bar.released,
    }


def _settings(settings: Settings | None) -> list[dict[str, float | None]] | None:
    if settings is None:
        return None
    rows = zip(settings.celsius.tolist(), settings.minutes.tolist(), settings.low_forms.tolist(), strict=True)
    return [
        {"celsius": celsius, "minutes": _known(minutes), "low_forms_percent": _known(low)}
        for celsius, minutes, low in rows
    ]


def _known(value: float) -> float | None:
    return value if value == value else None
