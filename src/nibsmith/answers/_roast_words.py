"""How the heat, the loss and the inside of a roast are said."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from nibsmith.answers._roast_heat import MARK_TOLERANCE, Heat
from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.answer import Citation, Detail
from nibsmith.answers.roast_log import clock
from nibsmith.answers.wording import NO_BREAK, RANGE, capital, degrees, degrees_span, joined
from nibsmith.science.mixture import Span
from nibsmith.science.quantities.shown import format_number
from nibsmith.science.roast import (
    BeanCore,
    Cannot,
    Curve,
    Loss,
    Matter,
    Probe,
    Role,
    death_times,
    smooth,
    split_loss,
    time_above,
)
from nibsmith.science.roast.loss import AFTER, BEFORE
from nibsmith.science.tables import Constant, load, load_data

DECIDES = (
    "Whether a roast kills Salmonella well enough is decided by a process authority or a laboratory that "
    "studies your roaster, and by your food safety authority. This is an estimate and decides nothing."
)
_CAUTIONS = ("raw_cocoa", "damaged_beans", "smoke", "hot")
_FIRE = (
    "Chaff burns: clear it out, stay with the roaster, and cool the beans at once when they come out, for "
    "they go on roasting."
)
_PERCENT = 100


def heat_sentence(heat: Heat, record: RoastRecord) -> str:
    """Say the heat that counts in one or two sentences."""
    what = record.what
    if not heat.counted:
        return f"No heat counts: {_why_nothing(heat, record, what)}. Treat them as raw."
    figure = f"{_down(heat.counted)} ({_down(heat.low)}{RANGE}{heat.high:.1f})"
    counts = f"The {what} count for an estimated {figure} tenfold reductions of Salmonella"
    if heat.short:
        return (
            f"{counts}, short of the {heat.least:g} that are the least for one heat step. Treat them as raw."
        )
    buyer = load("roast")["buyer_reduction"].value
    below = " The low end of the range falls short of it." if heat.low < heat.least else ""
    return f"{counts}; the least for one heat step is {heat.least:g}, a large buyer asks {buyer:g}.{below}"


def _why_nothing(heat: Heat, record: RoastRecord, what: str) -> str:
    lowest = death_times(record.matter).lowest
    if heat.table.counted.hottest[1] >= lowest:
        return f"the {what} came to {degrees(lowest)} only where the readings have gaps"
    return f"less what the probe can be off, the {what} never came to {degrees(lowest)}"


def _down(reduction: float) -> str:
    """A tenth, never rounded up to a mark that is not reached."""
    return f"{math.floor(10 * reduction + MARK_TOLERANCE) / 10:.1f}"


def heat_reasons(heat: Heat, record: RoastRecord) -> Iterator[str]:
    """Say what the estimate rests on."""
    for probe in record.in_beans:
        yield f"Counted from “{probe.name}” {_less(probe)}."
    if len(record.in_beans) > 1:
        yield "Of several probes in the beans the coldest counts at every moment."
    if record.roast.by_hand:
        readings = max(probe.readings.times_s.size for probe in record.in_beans)
        yield f"Straight lines are taken between {readings} readings by hand: a dip between two is not seen."
    yield from _while_in(heat, record)
    if heat.table.uncounted_s:
        yield f"{clock(heat.table.uncounted_s)} lie in gaps of the readings and do not count."
    yield from _table_words(heat, record)
    if heat.own is not None:
        yield f"Your own survivor line comes to {_down(heat.own)}; the smaller of the two counts."
    if heat.table.widest:
        yield f"What widens the range most: {joined(heat.table.widest)}."
    if record.study:
        yield (
            f"Your record names a study of this process: {record.study}. What it found holds, not this "
            "estimate."
        )


def _while_in(heat: Heat, record: RoastRecord) -> Iterator[str]:
    """Say from when to when heat counts, and what the maker could say about it."""
    if heat.table.before_s:
        yield (
            f"The probe waited hot for the {record.what}: {clock(heat.table.before_s)} up to its "
            "coolest reading do not count."
        )
    yield from _up_to(heat, record)


def _up_to(heat: Heat, record: RoastRecord) -> Iterator[str]:
    """Say where counting ends, unless that is when the maker said that they came out."""
    end_s = heat.table.counted.end_s
    to_the_last = f"Counted up to the last reading, {clock(end_s)}"
    if record.out_s is None:
        yield f"{to_the_last}: if the {record.what} came out earlier, say when."
        return
    unread = clock(record.out_s - end_s)
    if record.out_s > end_s and unread != clock(0.0):
        yield f"{to_the_last}; {unread} to when they came out do not count."


def _less(probe: Probe) -> str:
    offset = f"put right by {probe.offset_k:+g} K, ".replace("-", "\u2212") if probe.offset_k else ""
    return f"{offset}less the {probe.uncertainty_k or 0.0:g} K that it can be off"


def _table_words(heat: Heat, record: RoastRecord) -> Iterator[str]:
    table = death_times(record.matter)
    yield (
        "Times for a tenfold reduction are those measured on whole beans by the temperature of the "
        f"roaster, {degrees(table.lowest)} to {degrees(table.highest)}; nothing counts below, and nothing "
        "faster above."
    )
    if record.matter is Matter.NIBS:
        yield "For nibs they are longer by what another study found; the two were never measured together."
    if heat.table.counted.hottest[1] > table.highest:
        yield f"The beans were hotter than {degrees(table.highest)} for a while, which counts as that."
    yield "Survivors die slower as time goes on: over a long roast the sum says more than is true."


def roast_reasons(record: RoastRecord) -> Iterator[str]:
    """Say how long, how hot, how fast, and what was too hot."""
    table, what = load("roast"), record.what
    for probe in record.roast.probes:
        curve = record.part(probe)
        if probe.role is Role.SETTING:
            yield f"“{probe.name}”: {degrees(curve.hottest[1])} for {clock(curve.duration_s)}."
            continue
        when, hottest = curve.hottest
        yield (
            f"“{probe.name}”: {clock(curve.duration_s)} long, hottest {degrees(hottest)} at "
            f"{clock(when)}{_rise(curve)}."
        )
        if probe.role is Role.BEAN and hottest > table["bean_hot"].value:
            mark = degrees(table["bean_hot"].value)
            yield f"{capital(what)} above {mark} are beyond the usual end of a roast."
        if probe.role is Role.AIR and hottest > table["air_hot"].value:
            yield (
                f"Air above {degrees(table['air_hot'].value)} scorches shells, which smoke from about "
                f"{degrees(table['shell_smokes'].value)} on."
            )


def _rise(curve: Curve) -> str:
    rates = smooth(curve).rate_k_min
    if not np.isfinite(rates).any():
        return ""
    return f", fastest rate of change {float(np.nanmax(rates)):.1f}{NO_BREAK}K a minute"


def loss_reasons(record: RoastRecord) -> Iterator[str]:
    """Say what was lost, and how much of it was water."""
    if record.weighing is None:
        yield "What was lost is not known, because you have not told me the weights before and after."
        return
    loss = split_loss(record.weighing)
    yield (
        f"Lost {_percent(loss.total)} of the charge: water {_span(loss.water)}, the rest {_span(loss.rest)}."
    )
    if loss.assumed:
        yield _assumed(loss)
    yield from loss_doubts(loss)


def loss_doubts(loss: Loss) -> Iterator[str]:
    """Say what cannot be of a loss, and what to do."""
    usual = _percent(load("roast")["volatiles_most"].value)
    words = {
        Cannot.GREW: f"the dry mass would have grown by {_percent(-loss.rest.value)} of the charge",
        Cannot.SHRANK: f"{_percent(loss.rest.value)} of the charge would be neither water nor the acids, of "
        f"which {usual} of the dry mass is much",
        Cannot.WETTER: f"the beans would have taken up {_percent(-loss.water.value)} of water",
        Cannot.HARDLY: f"a loss of {_percent(loss.total)} is hardly one, for a roast drives off most of the "
        "water",
    }
    for each in loss.cannot:
        yield f"This cannot be: {words[each]}. Weigh again, shells and all, and check the water."


def _assumed(loss: Loss) -> str:
    """Name what nobody measured, and where it was taken from."""
    parts = []
    if BEFORE in loss.assumed:
        parts.append(f"the water before is the usual {_span(loss.water_before)}")
    if AFTER in loss.assumed:
        parts.append(f"the water left, {_span(loss.water_after)}, follows from the usual volatiles")
    return f"Not measured: {joined(parts)}."


def core_words(picture: BeanCore) -> Iterator[str]:
    """Say what the picture of the inside shows, and that it is one."""
    hottest = degrees_span(picture.hottest)
    yield (
        f"Inside the beans, worked out from the air and the weights: hottest {hottest}. A picture that is "
        "not calibrated to your roaster, and no measurement."
    )
    yield (
        f"Without the water that left it would come to {degrees(picture.dry_hottest)}: leaving it out would "
        "show more heat than there was."
    )
    if picture.widest:
        yield f"What widens the picture most: {joined(picture.widest)}."


def details(record: RoastRecord, heat: Heat | None) -> Iterator[Detail]:
    """Give the tables that the answer opens to."""
    if heat is not None:
        yield _heat_detail(heat, record)
    elif record.in_beans:
        yield _time_detail(record)
    if record.weighing is not None:
        yield _loss_detail(split_loss(record.weighing))


def _heat_detail(heat: Heat, record: RoastRecord) -> Detail:
    table, counted = death_times(record.matter), heat.table.counted
    rows = tuple(
        (f"{celsius:g} °C", f"{minutes:.3g} min", _minutes(time_above(counted, float(celsius))))
        for celsius, minutes in zip(table.celsius, table.minutes, strict=True)
    )
    marks = load("roast")
    note = (
        f"A published risk assessment considers {marks['least_reduction'].value:g} tenfold reductions the "
        f"least for one heat step; a large buyer asks {marks['buyer_reduction'].value:g} of beans and nibs."
    )
    head = ("Temperature", "Minutes for a tenfold reduction", "Counted time above it")
    return Detail("Heat that counts", head, rows, note)


def _time_detail(record: RoastRecord) -> Detail:
    rows = tuple(
        (
            f"{celsius:g} °C",
            *(_minutes(time_above(record.part(probe), float(celsius))) for probe in record.in_beans),
        )
        for celsius in death_times(record.matter).celsius
    )
    head = ("Above", *(probe.name for probe in record.in_beans))
    return Detail("Time above temperatures, as read", head, rows)


def _loss_detail(loss: Loss) -> Detail:
    rows = (
        ("All of it", _percent(loss.total)),
        ("Water", _span(loss.water)),
        ("The rest: acids, dust, lost pieces", _span(loss.rest)),
        ("Water of the beans before", _span(loss.water_before)),
        ("Water of the beans after", _span(loss.water_after)),
    )
    note = (
        "Shares of the charge; the water of the beans is of their weight then. By a balance of the dry mass."
    )
    return Detail("What was lost", ("What", "Share"), rows, note)


def sources(record: RoastRecord, heat: Heat | None) -> Iterator[Citation]:
    """Name where the figures are from."""
    if heat is not None:
        marks = load("roast")
        rows: tuple[Constant, ...] = (*death_times(record.matter).rows, marks["least_reduction"])
        yield from (Citation(row.source, row.place, row.status) for row in (*rows, marks["buyer_reduction"]))
    if record.weighing is not None:
        for row in (load("roast_bean")["water_before"], load("roast")["volatiles_most"]):
            yield Citation(row.source, row.place, row.status)


def cautions() -> Iterator[str]:
    """Give the cautions of roasting."""
    table: Any = load_data("cautions")
    for key in _CAUTIONS:
        yield f"{table[key]['text']} {table[key]['who']}"
    yield _FIRE


def _minutes(seconds: float) -> str:
    return clock(float(round(seconds)))


def _percent(share: float) -> str:
    return f"{_tenth(share)}{NO_BREAK}%"


def _span(span: Span) -> str:
    low, value, high = (_tenth(share) for share in (span.low, span.value, span.high))
    between = " to " if span.low < 0 else RANGE  # a dash beside a minus sign is hard to read
    return f"{value}{NO_BREAK}%" if low == high else f"{value}{NO_BREAK}% ({low}{between}{high})"


def _tenth(share: float) -> str:
    """A share in percent to a tenth, as the pages write it."""
    return format_number(_PERCENT * share)
