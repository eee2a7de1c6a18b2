"""A roast as one document; docs/howto/roast-log.md describes its keys."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.answer import Answer
from nibsmith.answers.report import Json, answer_of, cleaned
from nibsmith.answers.roasted import chart_of
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    BeanCore,
    Comparison,
    Curve,
    Forecast,
    Kept,
    Line,
    Loss,
    Probe,
    RoastChart,
    death_times,
    split_loss,
    time_above,
)


@dataclass(frozen=True)
class RoastExtras:
    """What the document holds besides the roast: what was understood, the inside, and what was asked for."""

    understood: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    inside: BeanCore | str = ""
    compared: Comparison | None = None
    compared_probes: tuple[str, ...] = ()
    not_compared: str = ""
    kept: Kept | None = None
    forecast: Forecast | None = None
    until_celsius: float = 0.0


def roast_document(record: RoastRecord, answer: Answer, extras: RoastExtras) -> Json:
    """Return the document of a roast.

    Parameters
    ----------
    record : RoastRecord
        The roast.
    answer : Answer
        How far the heat went.
    extras : RoastExtras
        What else was asked.

    Returns
    -------
    dict
        Plain values for ``json.dumps``; numbers rounded to six decimals.

    Examples
    --------
    >>> from nibsmith.answers.roasted import roasted
    >>> from nibsmith.science.roast.typed import oven_roast
    >>> record = RoastRecord(oven_roast(140.0, 30.0))
    >>> roast_document(record, roasted(record), RoastExtras())["probes"][0]["role"]
    'setting'
    """
    picture = extras.inside if isinstance(extras.inside, BeanCore) else None
    return cleaned(
        {
            "understood": list(extras.understood),
            "questions": list(extras.questions),
            "probes": [_probe(probe, record) for probe in record.roast.probes],
            "loss": None if record.weighing is None else _loss(split_loss(record.weighing)),
            "inside": None if picture is None else _inside(picture),
            "no_inside_because": None if picture is not None else str(extras.inside) or None,
            "compared": None
            if extras.compared is None
            else _compared(extras.compared, extras.compared_probes),
            "not_compared_because": extras.not_compared or None,
            "kept": None if extras.kept is None else _kept(extras.kept),
            "forecast": None if extras.forecast is None else _forecast(extras.forecast),
            "chart": _chart(chart_of(record, picture)),
            "answer": answer_of(answer),
        }
    )


def _probe(probe: Probe, record: RoastRecord) -> Json:
    curve = record.part(probe)
    when, hottest = curve.hottest
    return {
        "name": probe.name,
        "role": probe.role.value,
        "readings": int(curve.times_s.size),
        "start_s": curve.start_s,
        "end_s": curve.end_s,
        "hottest_celsius": hottest,
        "hottest_s": when,
        "offset_k": probe.offset_k,
        "uncertainty_k": probe.uncertainty_k,
        "time_above_s": _above(curve, death_times(record.matter).celsius.tolist()),
    }


def _above(curve: Curve, marks: Iterable[float]) -> list[Json]:
    return [{"celsius": mark, "seconds": time_above(curve, mark)} for mark in marks]


def _span(span: Span, factor: float = 1.0) -> Json:
    return {"low": span.low * factor, "value": span.value * factor, "high": span.high * factor}


def _loss(loss: Loss) -> Json:
    return {
        "total_percent": 100 * loss.total,
        "water_percent": _span(loss.water, 100),
        "rest_percent": _span(loss.rest, 100),
        "water_before_percent": _span(loss.water_before, 100),
        "water_after_percent": _span(loss.water_after, 100),
        "assumed": list(loss.assumed),
        "doubtful": loss.doubtful,
    }


def _inside(picture: BeanCore) -> Json:
    return {
        "hottest_celsius": _span(picture.hottest),
        "without_evaporation_celsius": picture.dry_hottest,
        "evaporated_percent": 100 * float(picture.evaporated[-1]),
        "diffusivity": picture.diffusivity * 10**12,
        "widest": list(picture.widest),
    }


def _compared(compared: Comparison, probes: tuple[str, ...]) -> Json:
    return {
        "probes": list(probes),
        "figures": [
            {"what": each.what, "first": each.first, "second": each.second, "unit": each.unit}
            for each in compared.figures
        ],
        "furthest_k": compared.furthest_k if compared.apart else None,
        "furthest_s": compared.furthest_s if compared.apart else None,
    }


def _kept(kept: Kept) -> Json:
    return {
        "inside_percent": 100 * kept.inside,
        "too_hot_percent": 100 * kept.too_hot,
        "too_cool_percent": 100 * kept.too_cool,
        "furthest_k": kept.furthest_k,
        "furthest_s": kept.furthest_s,
        "first_out_s": kept.first_out_s,
    }


def _forecast(forecast: Forecast) -> Json:
    time = forecast.time_s
    return {
        "low_s": time.low,
        "time_s": time.value,
        "high_s": time.high if np.isfinite(time.high) else None,
        "level_celsius": forecast.level_celsius,
    }


def _chart(chart: RoastChart) -> Json:
    return {
        "ends_s": list(chart.ends_s),
        "ends_celsius": list(chart.ends_celsius),
        "ends_rate": list(chart.ends_rate),
        "lines": [_line(line) for line in chart.lines],
        "rates": [_line(line) for line in chart.rates],
        "areas": [
            {
                "name": area.name,
                "times_s": area.times_s.tolist(),
                "low": area.low.tolist(),
                "high": area.high.tolist(),
            }
            for area in chart.areas
        ],
        "milestones": [
            {"time_s": each.time_s, "words": each.words, "celsius": each.celsius} for each in chart.milestones
        ],
    }


def _line(line: Line) -> Json:
    pieces = [{"times_s": times.tolist(), "values": values.tolist()} for times, values in line.pieces]
    return {"name": line.name, "role": line.role, "pieces": pieces}
