"""Say how far the heat went in a roast: from a logger's file, from typed readings, or from a dial."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from nibsmith.answers._roast_ahead import ahead_words
from nibsmith.answers._roast_report import RoastExtras, roast_document
from nibsmith.answers.answer import Answer
from nibsmith.answers.roast_log import RoastLog, clock, roast_log
from nibsmith.answers.roasted import (
    ProbeFacts,
    RoastRecord,
    inside,
    kind_of_all,
    open_questions,
    probe_of_kind,
    roasted,
    with_facts,
)
from nibsmith.answers.wording import ended
from nibsmith.cli import bench
from nibsmith.cli.answers_text import BESIDE, answer_lines, caution_lines
from nibsmith.cli.printing import columns, say, say_json, wrapped
from nibsmith.cli.reading import STDIN, mass_option, shown_name, told_where
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.quantities import (
    Scale,
    parse_number,
    parse_percent,
    parse_temperature,
    parse_temperature_difference,
)
from nibsmith.science.quantities.shown import format_number
from nibsmith.science.roast import (
    Band,
    BeanCore,
    Comparison,
    Curve,
    Kept,
    Matter,
    Probe,
    Roast,
    Roaster,
    Role,
    Weibull,
    Weighing,
    compare_roasts,
    forecast_end,
    keep_to_band,
)
from nibsmith.science.roast.log import TimeUnit, Told, check_size
from nibsmith.science.roast.typed import oven_roast, seconds_typed, typed_roast
from nibsmith.science.tables import load

_SURVIVORS = ("MINUTES", "AT", "SHAPE", "Z", "LOW", "HIGH")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="a logger's file, or - for standard input")
    parser.add_argument(
        "--points", metavar="LIST", help="typed readings, such as '0:00 24 C; 10:00 105; 20:00 121'"
    )
    parser.add_argument("--dial", metavar="TEMP", help="what the oven was set to, with --minutes")
    parser.add_argument("--minutes", metavar="N", help="how long the beans were in, with --dial")
    _add_log(parser)
    _add_roast(parser)
    group = parser.add_argument_group("what else to ask")
    group.add_argument("--compare", metavar="FILE", help="another roast's file, read the same way")
    group.add_argument("--wanted", metavar="LIST", help="a wanted course, written like --points")
    group.add_argument("--tolerance", metavar="DIFF", help="how far off it may be, such as '4 K'")
    group.add_argument("--until", metavar="TEMP", help="when will the beans come to this temperature")
    parser.add_argument("--why", action="store_true", help="open the answer: reasons, figures, sources")
    bench.add_outputs(parser)


def _add_log(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("how to read the file, where it does not say so itself")
    group.add_argument("--degrees", choices=("C", "F"), help="the scale of every temperature")
    group.add_argument("--time", metavar="COLUMN", default="", help="head or number of the column of times")
    group.add_argument("--time-unit", choices=[unit.value for unit in TimeUnit], help="what it counts")
    group.add_argument("--every", metavar="SECONDS", help="time between rows of a file without times")
    group.add_argument("--beans", metavar="COLUMN", action="append", default=[], help="a probe in the beans")
    group.add_argument("--air", metavar="COLUMN", action="append", default=[], help="a probe in the air")
    group.add_argument("--run", metavar="N", type=int, help="which of several runs in the file")


def _add_roast(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("the roast")
    group.add_argument("--off", metavar="DIFF", help="how far the bean probe can be off, such as '1.5 K'")
    group.add_argument(
        "--offset", metavar="DIFF", help="added to what the bean probe reads, such as '-0.5 K'"
    )
    group.add_argument(
        "--in-at", metavar="TIME", help="when the beans came in, by the readings, such as 2:30"
    )
    group.add_argument(
        "--out-at", metavar="TIME", help="when they came out; what lies outside does not count"
    )
    group.add_argument("--charge", metavar="MASS", help="weight that went in, such as '2 kg'")
    group.add_argument("--end", metavar="MASS", help="weight that came out")
    group.add_argument("--water-before", metavar="PERCENT", help="water of the beans before")
    group.add_argument("--water-after", metavar="PERCENT", help="water of the beans after")
    group.add_argument("--nibs", action="store_true", help="nibs were roasted, not whole beans")
    group.add_argument(
        "--roaster", choices=[each.value for each in Roaster], help="for a picture of the inside of a bean"
    )
    group.add_argument("--start", metavar="TEMP", help="how warm the beans went in, for the picture")
    group.add_argument(
        "--survivors",
        metavar=_SURVIVORS,
        nargs=len(_SURVIVORS),
        help="your own Weibull line: minutes of the first tenfold reduction, at which °C, shape, z in K, "
        "from and up to which °C it holds",
    )
    group.add_argument(
        "--study", metavar="WORDS", default="", help="a study of this process by somebody outside"
    )


@dataclass(frozen=True)
class Asked:
    """Everything the command worked out, to be printed in one way or the other."""

    record: RoastRecord
    answer: Answer
    extras: RoastExtras


def run(args: argparse.Namespace) -> int:
    """Read the roast, answer, and print."""
    told = _told(args)
    log = None if args.file is None else _read(args.file, told)
    record = _record(args, _roast(args, log))
    # Where beans were measured, what is worked out from the air can tell nothing more.
    picture = "" if record.in_beans else inside(record)
    answer = roasted(record, picture)
    asked = Asked(record, answer, _extras(args, record, log, picture))
    if args.json:
        say_json(roast_document(record, answer, asked.extras))
    else:
        say(_text(asked, why=args.why))
    return 0


def _told(args: argparse.Namespace) -> Told:
    return Told(
        scale=args.degrees,
        time=args.time,
        time_unit=TimeUnit(args.time_unit) if args.time_unit else None,
        every_s=_number("--every", args.every),
        beans=tuple(args.beans),
        air=tuple(args.air),
        run=args.run,
    )


def _read(name: str, told: Told) -> RoastLog:
    with told_where(shown_name(name)):
        return roast_log(_bytes(name), told)


def _bytes(name: str) -> bytes:
    """Read a file whose size was asked first; standard input no further than the limit."""
    if name == STDIN:
        return sys.stdin.buffer.read(int(load("roast")["log_most_bytes"].decimal) + 1)
    path = Path(name)
    check_size(path.stat().st_size)
    return path.read_bytes()


def _roast(args: argparse.Namespace, log: RoastLog | None) -> Roast:
    ways = [log is not None, args.points is not None, args.dial is not None]
    if sum(ways) != 1:
        raise InputError(
            "A roast comes from one place",
            advice="Give a file, or --points, or --dial with --minutes.",
        )
    if log is not None:
        return log.roast
    if args.points is not None:
        with told_where("--points", field=False):
            return typed_roast(args.points, scale=args.degrees)
    minutes = _number("--minutes", args.minutes)
    if minutes is None:
        raise InputError("--dial needs --minutes")
    return oven_roast(_celsius("--dial", args.dial, args.degrees) or 0.0, minutes)


def _record(args: argparse.Namespace, roast: Roast) -> RoastRecord:
    facts = ProbeFacts(
        uncertainty_k=_kelvin("--off", args.off),
        offset_k=_kelvin("--offset", args.offset),
    )
    beans = {probe.name: facts for probe in roast.of(Role.BEAN)}
    return RoastRecord(
        roast=with_facts(roast, beans),
        weighing=_weighing(args),
        matter=Matter.NIBS if args.nibs else Matter.BEANS,
        roaster=Roaster(args.roaster) if args.roaster else None,
        start_celsius=_celsius("--start", args.start, args.degrees),
        weibull=_weibull(args.survivors),
        study=args.study,
        in_s=_seconds("--in-at", args.in_at),
        out_s=_seconds("--out-at", args.out_at),
    )


def _weighing(args: argparse.Namespace) -> Weighing | None:
    charge, end = mass_option("--charge", args.charge), mass_option("--end", args.end)
    if charge is None and end is None:
        return None
    if charge is None or end is None:
        raise InputError("A loss needs both --charge and --end")
    before, after = _water("--water-before", args.water_before), _water("--water-after", args.water_after)
    return Weighing(float(charge), float(end), before, after)


def _water(option: str, text: str | None) -> Span | None:
    if text is None:
        return None
    with told_where(option):
        return Span.exactly(float(parse_percent(text)) / 100)


def _weibull(typed: Sequence[str] | None) -> Weibull | None:
    if typed is None:
        return None
    minutes, at, shape, z, low, high = (_number("--survivors", each) or 0.0 for each in typed)
    with told_where("--survivors", field=False):
        return Weibull(minutes, at, shape, z, low, high, "typed")


def _number(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    with told_where(option):
        return float(parse_number(text))


def _seconds(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    with told_where(option, field=False):
        return seconds_typed(text)


def _celsius(option: str, text: str | None, scale: Scale | None) -> float | None:
    if text is None:
        return None
    with told_where(option):
        return float(parse_temperature(text, bare=scale).celsius)


def _kelvin(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    with told_where(option):
        return float(parse_temperature_difference(text).kelvin)


def _bean_curve(record: RoastRecord, option: str) -> Curve:
    """The course of the beans; refused where nobody measured it."""
    probe = probe_of_kind(record)
    if isinstance(probe, str):
        raise InputError(f"{option} is about the beans, and {probe.rstrip('?')}")
    return record.part(probe)


def _beside(record: RoastRecord, other: RoastRecord, extras: RoastExtras) -> RoastExtras:
    """Set a roast beside another by the same kind of probe, or say why it is not."""
    role = kind_of_all((record, other))
    found = [(each, probe_of_kind(each, role)) for each in (record, other)]
    curves = [each.part(probe) for each, probe in found if isinstance(probe, Probe)]
    if len(curves) == len(found):
        names = tuple(probe.name for _, probe in found if isinstance(probe, Probe))
        return replace(extras, compared=compare_roasts(*curves), compared_probes=names)
    which = zip(("this roast", "the other roast"), (probe for _, probe in found), strict=True)
    lacking = [f"of {name} this is to be said: {why}" for name, why in which if isinstance(why, str)]
    return replace(extras, not_compared="; ".join(lacking))


def _extras(
    args: argparse.Namespace, record: RoastRecord, log: RoastLog | None, picture: BeanCore | str
) -> RoastExtras:
    extras = RoastExtras(
        understood=() if log is None else log.lines,
        questions=open_questions(record),
        inside=picture,
    )
    if args.compare is not None:
        other = _read(args.compare, _told(args))
        extras = _beside(record, RoastRecord(other.roast), extras)
    if args.wanted is not None:
        extras = replace(extras, kept=keep_to_band(_bean_curve(record, "--wanted"), _band(args)))
    if args.until is not None:
        end = _celsius("--until", args.until, args.degrees) or 0.0
        curve = _bean_curve(record, "--until")
        with told_where("--until", field=False):
            extras = replace(extras, forecast=forecast_end(curve, end), until_celsius=end)
    return extras


def _band(args: argparse.Namespace) -> Band:
    tolerance = _kelvin("--tolerance", args.tolerance)
    if tolerance is None:
        raise InputError("--wanted needs --tolerance")
    with told_where("--wanted", field=False):
        return Band(typed_roast(args.wanted, scale=args.degrees).probes[0].curve, tolerance)


def _text(asked: Asked, *, why: bool) -> Iterator[str]:
    extras = asked.extras
    if extras.understood:
        yield "What was understood"
        for line in extras.understood:
            yield from wrapped(f"· {line}", hang=BESIDE)
    for question in extras.questions:
        yield from wrapped(f"? {question}", hang=BESIDE)
    if extras.understood:
        yield ""
    yield from answer_lines(asked.answer, why=why)
    if not why:
        yield from _short(asked.answer)
    if extras.compared is not None:
        yield from _compared(extras.compared, extras.compared_probes)
    if extras.not_compared:
        yield ""
        yield from wrapped(f"Not set beside the other roast: {ended(extras.not_compared)}", indent="")
    if extras.kept is not None:
        yield from _kept(extras.kept)
    if extras.forecast is not None:
        yield ""
        yield from wrapped(ahead_words(extras.forecast, extras.until_celsius), indent="")
    yield from caution_lines([asked.answer])


def _short(answer: Answer) -> Iterator[str]:
    """The loss, what cannot be of it, and the inside belong to the record even where nobody asks why."""
    for reason in answer.reasons:
        if reason.startswith(("Lost ", "This cannot be", "Inside ", "There is no picture", "“")):
            yield from wrapped(f"· {reason}", hang=BESIDE)


def _compared(found: Comparison, probes: Sequence[str]) -> Iterator[str]:
    yield ""
    yield "Beside the other roast"
    rows = [("", *(f"{whose}: “{name}”" for whose, name in zip(("this", "the other"), probes, strict=True)))]
    rows += [
        (each.what, _shown(each.first, each.unit), _shown(each.second, each.unit)) for each in found.figures
    ]
    yield from columns(rows, "<>>")
    if found.apart is not None:
        warmer = "warmer" if found.furthest_k > 0 else "cooler"
        yield from wrapped(
            f"The other was at most {format_number(abs(found.furthest_k))} K {warmer}, at "
            f"{clock(round(found.furthest_s))}."
        )


def _shown(value: float | None, unit: str) -> str:
    if value is None:
        return "never"
    return clock(float(round(value))) if unit == "s" else f"{format_number(value)} {unit}"


def _kept(kept: Kept) -> Iterator[str]:
    yield ""
    yield "Against the wanted course"
    sign = "+" if kept.furthest_k > 0 else ""
    rows = [
        ("within the band", f"{100 * kept.inside:.0f} %"),
        ("too hot", f"{100 * kept.too_hot:.0f} %"),
        ("too cool", f"{100 * kept.too_cool:.0f} %"),
        ("furthest off", f"{sign}{format_number(kept.furthest_k)} K at {clock(round(kept.furthest_s))}"),
        ("left it first", "never" if kept.first_out_s is None else clock(round(kept.first_out_s))),
    ]
    yield from columns(rows, "<>")
