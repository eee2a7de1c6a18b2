"""What was understood of a logger's file, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nibsmith.answers.wording import capital, degrees, joined
from nibsmith.science.quantities.temperature import scales
from nibsmith.science.roast import Doubt, Note, Question, Roast, Role
from nibsmith.science.roast.log import (
    Encoding,
    Order,
    ProbeFound,
    ScaleFrom,
    TimeKind,
    TimesFound,
    TimeUnit,
    Told,
    Understood,
    Unused,
    read_log,
)
from nibsmith.science.roast.smoothing import FEW_READINGS
from nibsmith.science.tables import load

_MINUTE, _HOUR, _DAY = 60, 3600, 86400
_FEW = 4  # lines, times or notes that are named one by one
_ENCODINGS = {Encoding.UTF_8: "UTF-8", Encoding.UTF_16: "UTF-16", Encoding.WINDOWS: "Windows-1252"}
_SEPARATED = {"tab": "tabs", "semicolon": "semicolons", "bar": "bars", "comma": "commas"}
_SCALES = {
    ScaleFrom.HEAD: "as its head says",
    ScaleFrom.CELLS: "as its cells say",
    ScaleFrom.ELSEWHERE: "as the file says elsewhere",
    ScaleFrom.TOLD: "as you say",
    ScaleFrom.TAKEN: "taken for it, as no scale is written",
}
_WRITTEN = {"C": "°C", "F": "°F", "K": "K"}
_WHERE = {
    Role.BEAN: "is in the beans",
    Role.AIR: "is in the air",
    Role.SETTING: "is a setting and measures nothing",
}
_UNTOLD = "may be anywhere: say whether it is in the beans"
_UNUSED = {
    Unused.OTHER_TIME: "another column of times",
    Unused.ROW_NUMBER: "row numbers",
    Unused.NO_TEMPERATURE: "no temperature",
    Unused.NOTES: "words, taken along as notes",
    Unused.TEXT: "words in too many rows",
    Unused.EMPTY: "empty",
}
_UNITS = {unit: unit.value for unit in TimeUnit}


@dataclass(frozen=True)
class RoastLog:
    """A roast from a logger's file, what was understood of the file, and what is to be settled first."""

    roast: Roast
    lines: tuple[str, ...]
    questions: tuple[str, ...]


def roast_log(data: bytes, told: Told | None = None) -> RoastLog:
    r"""Read a logger's file and say in plain words what was understood.

    Parameters
    ----------
    data : bytes
        The file.
    told : Told, optional
        What the maker says beside it.

    Returns
    -------
    RoastLog
        The roast, the sentences, and the questions.

    Raises
    ------
    InputError
        If the file cannot be used as it stands; nothing of it is changed.

    Examples
    --------
    >>> log = roast_log(b"time;beans (C)\n0:00;24,5\n5:00;88,0\n10:00;118,5\n")
    >>> print(log.lines[0])
    Text in UTF-8, columns set apart by semicolons, decimal comma.
    """
    logged = read_log(data, told)
    lines = tuple(_lines(logged.understood, logged.roast.notes))
    return RoastLog(logged.roast, lines, tuple(question_words(each) for each in logged.roast.questions))


def clock(seconds: float) -> str:
    """Return a time since the start as a person writes it.

    Examples
    --------
    >>> clock(75.0), clock(3725.5), clock(0.5)
    ('1:15', '1:02:05.5', '0:00.5')
    """
    tenths = round(seconds * 10)
    whole, part = divmod(abs(tenths), 10)
    hours, rest = divmod(whole, _HOUR)
    minutes, second = divmod(rest, _MINUTE)
    text = f"{hours}:{minutes:02d}:{second:02d}" if hours else f"{minutes}:{second:02d}"
    return ("-" if tenths < 0 else "") + text + (f".{part}" if part else "")


def question_words(question: Question) -> str:
    """Return a question in plain words.

    Examples
    --------
    >>> question_words(Question(Doubt.HOT, "beans", 280.0, "C"))[:61]
    '“beans” reads up to 280. In °C that is far too hot for cocoa;'
    """
    value = f"{question.value:.4g}"
    if question.doubt is Doubt.HOT:
        celsius = (question.value - float(scales().fahrenheit_zero)) / float(scales().fahrenheit_per_kelvin)
        hot = (
            f"“{question.probe}” reads up to {value}. In °C that is far too hot for cocoa; in °F it is "
            f"{celsius:.0f} °C"
        )
        if not question.kelvin:
            return f"{hot}. Say which scale it is."
        kelvin = question.value - float(scales().celsius_zero_k)
        return (
            f"{hot}, in kelvin {kelvin:.0f} °C. Say which scale it is; if it is kelvin, write K in the head "
            "of its column."
        )
    if question.doubt is Doubt.COOL:
        celsius = (question.value - float(scales().fahrenheit_zero)) / float(scales().fahrenheit_per_kelvin)
        return (
            f"“{question.probe}” reads up to {value} and counts as °F, which is {celsius:.0f} °C: no roast. "
            "Say which scale it is."
        )
    if question.doubt is Doubt.COLD:
        when = "" if question.time_s is None else f" at {clock(question.time_s)}"
        return (
            f"“{question.probe}” reads {value} °C{when}. No beans are as cold: write it anew, with its right "
            "sign and scale."
        )
    return f"“{question.probe}” reads {value} °C all the time. Is it a probe, and is it connected?"


def _lines(found: Understood, notes: Sequence[Note]) -> Iterator[str]:
    yield _text(found)
    yield _heads(found)
    yield f"{_times(found.times)} {_rows(found)}"
    yield from _order(found)
    yield from _left_out(found)
    yield from _gaps(found)
    for probe in found.probes:
        yield " ".join(_probe(probe))
    if found.unused:
        names = joined([f"“{name}” ({_UNUSED[why]})" for name, why in found.unused])
        yield f"Not used as probes: {names}."
    if notes:
        named = [f"“{note.words}” at {clock(note.time_s)}" for note in notes]
        yield f"{_count(len(notes), 'note')} taken along: {_some(named)}."


def _text(found: Understood) -> str:
    sign = {",": ", decimal comma", ".": ", decimal point", "": ""}[found.decimal]
    marked = " with a mark at its start" if found.marked else ""
    separated = _SEPARATED[found.separator]
    return f"Text in {_ENCODINGS[found.encoding]}{marked}, columns set apart by {separated}{sign}."


def _heads(found: Understood) -> str:
    if not found.head_line:
        heads = "There is no line of heads: columns go by their numbers."
    else:
        units = f", the units in line {found.units_line}" if found.units_line else ""
        heads = f"The heads are in line {found.head_line}{units}."
    above = f" {_count(found.lines_above, 'line')} above left out." if found.lines_above else ""
    return heads + above


def _times(times: TimesFound) -> str:
    name = f"“{times.name}”"
    if times.kind is TimeKind.ROWS:
        return "There are no times: they follow from the step you say."
    if times.kind is TimeKind.ELAPSED:
        inferred = " (as hours and minutes it would be no roast)" if times.inferred else ""
        return f"Times are in {name}, from the start{inferred}."
    if times.kind is TimeKind.NUMBER:
        unit = _UNITS[times.unit or TimeUnit.SECONDS]
        why = " (in any other unit it would be no roast)" if times.inferred else ""
        return f"Times are in {name}, in {unit}{why}."
    if times.kind is TimeKind.EPOCH:
        return (
            f"Times are in {name}, in {_UNITS[times.unit or TimeUnit.SECONDS]} since 1970; the first is zero."
        )
    dated = f" and “{times.date_column}”" if times.date_column else ""
    halves = ", in halves of the day" if times.halves else ""
    inferred = " (as minutes and seconds it would be no roast)" if times.inferred else ""
    return f"Times are in {name}{dated}, of the day{halves}{inferred}; {_of_day(times.first_s)} is zero."


def _of_day(seconds: float) -> str:
    hours, rest = divmod(round(seconds) % _DAY, _HOUR)
    return f"{hours:02d}:{rest // _MINUTE:02d}:{rest % _MINUTE:02d}"


def _rows(found: Understood) -> str:
    every = f", one every {_step(found.step_s)}" if found.rows > 1 else ""
    runs = f" Run {found.run} of {found.runs}." if found.runs > 1 else ""
    return f"{_count(found.rows, 'row')} from {clock(found.start_s)} to {clock(found.end_s)}{every}.{runs}"


def _step(seconds: float) -> str:
    return f"{seconds:.3g} s" if seconds < _MINUTE else f"{seconds / _MINUTE:.3g} min"


def _order(found: Understood) -> Iterator[str]:
    if found.order is Order.TURNED:
        yield "The rows ran from the last to the first and were turned round."
    elif found.order is Order.SORTED:
        yield f"The times went back {_times_word(found.out_of_order)}; the rows were put in order."
    if found.merged:
        more, its = ("rows have", "their") if found.merged > 1 else ("row has", "its")
        yield f"{found.merged:,} {more} the time of another; {its} readings were averaged with it."


def _times_word(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count:,} times")


def _left_out(found: Understood) -> Iterator[str]:
    if found.untimed:
        yield f"{_count(len(found.untimed), 'row')} without a time left out ({_line_names(found.untimed)})."
    if found.before_zero:
        yield f"{_count(found.before_zero, 'row')} before zero left out."
    if found.other_lines:
        lines = f"{_count(len(found.other_lines), 'line')} with more or fewer cells left out"
        yield f"{lines} ({_line_names(found.other_lines)})."


def _gaps(found: Understood) -> Iterator[str]:
    if found.gaps:
        named = [f"{clock(start)} to {clock(end)}" for start, end in found.gaps]
        count = _count(len(named), "gap")
        yield f"{count}: {_some(named)}. No heat is counted across a gap, and no line drawn."


def _probe(probe: ProbeFound) -> Iterator[str]:
    how = "as you say" if probe.told else "by its name"
    where = f"{_WHERE[probe.role]}, {how}" if probe.role in _WHERE else _UNTOLD
    yield f"“{probe.name}” {where}."
    span = f"{degrees(probe.low)} to {degrees(probe.high)}"
    scale = f"in {_WRITTEN[probe.scale]}, {_SCALES[probe.scale_from]}"
    yield f"{_count(probe.readings, 'reading')}, {span}; {scale}."
    if probe.readings == 2:
        yield "Two readings make one straight line; nothing more can be told from them."
    # Readings minutes apart bend with the course itself.
    if probe.readings > FEW_READINGS and probe.scatter_k >= load("roast")["scatter_told"].value:
        yield f"Readings lie about {probe.scatter_k:.1f} K around their course."
    if probe.role is Role.BEAN and load("roast")["still_told"].value <= probe.still_s:
        yield f"It showed the same for {clock(probe.still_s)}: was it connected?"
    if probe.missing:
        yield f"{_count(probe.missing, 'reading')} missing."
    if probe.impossible:
        yield f"{_count(probe.impossible, 'reading')} that no oven gives left out."
    if probe.spikes:
        at = _some([clock(time) for time in probe.spikes])
        yield f"{_count(len(probe.spikes), 'reading')} far from all around it left out, at {at}."


def _count(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def _line_names(lines: Sequence[int]) -> str:
    return f"line{'' if len(lines) == 1 else 's'} {_some([f'{line:,}' for line in lines])}"


def _some(words: Sequence[str]) -> str:
    """Name a few, and say how many more there are."""
    if len(words) <= _FEW:
        return joined(words)
    return f"{', '.join(words[:_FEW])} and {len(words) - _FEW:,} more"


def report_text(log: RoastLog) -> str:
    r"""Return everything that was understood as a text of lines, the questions last.

    Examples
    --------
    >>> print(report_text(roast_log(b"s,beans\n0,20\n300,100\n600,99\n")).splitlines()[2])
    Times are in “s”, in seconds. 3 rows from 0:00 to 10:00, one every 5 min.
    """
    return "\n".join([*log.lines, *(f"Question: {capital(question)}" for question in log.questions)]) + "\n"
