"""A bar in the cold: its temperature and its crystals, and how other settings would do."""

from __future__ import annotations

from nibsmith.answers.demould import BarPicture
from nibsmith.answers.tools.cooling_bar import Settings
from nibsmith.answers.wording import degrees
from nibsmith.answers.wording import minutes as whole
from nibsmith.paper.chart import Axis, Chart, Count, Ink, Line, Mark, Milestone, Rule, Strip
from nibsmith.science.tables import load

LONGER = 5 / 4  # times as long as it takes to come off


def bar_chart(bar: BarPicture, decimal_sign: str = ".") -> Chart:
    """Return temperature and crystals of a bar over minutes.

    Parameters
    ----------
    bar : BarPicture
        From ``bar_picture``.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        Two strips over one axis.
    """
    minutes = bar.minutes.tolist()
    end = minutes[-1] if bar.released is None else min(minutes[-1], bar.released * LONGER + 2)
    count = sum(minute <= end for minute in minutes)
    at = minutes[:count]
    warm = Strip(
        "Temperature, °C",
        (
            Line("core", at, bar.core[:count].tolist()),
            Line("face", at, bar.top[:count].tolist(), Ink.SECOND),
            Rule(bar.air_celsius, "air"),
        ),
    )
    crystals = Strip(
        "Of the fat, %",
        (
            Line("form V", at, _percent(bar.beta, count)),
            Line("low forms", at, _percent(bar.alpha + bar.beta_prime, count), Ink.FOURTH),
            Line("set at rest", at, _percent(bar.at_rest, count), Ink.FAINT),
        ),
        low=0,
    )
    off = "by itself" if bar.held_up else "comes off"
    stones = () if bar.released is None else (Milestone(bar.released, f"{off}, {whole(bar.released)} min"),)
    axis = Axis("minutes since pouring", low=0, count=Count.MINUTES)
    return Chart("The bar in the cold", _says(bar), axis, (warm, crystals), stones, decimal_sign)


def settings_chart(settings: Settings, celsius: float, decimal_sign: str = ".") -> Chart | None:
    """Return minutes and low forms over the setting of the fridge; none where no setting lets it come off.

    Parameters
    ----------
    settings : Settings
        The middle of the estimate at each setting.
    celsius : float
        The setting that was asked about [°C].
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart or None
        Two strips over the setting.
    """
    at, minutes, low = (
        values.tolist() for values in (settings.celsius, settings.minutes, settings.low_forms)
    )
    known = [(c, m) for c, m in zip(at, minutes, strict=True) if m == m]
    if len(known) < 2:
        return None
    watch = 100 * load("cool")["unstable_watch"].value
    nearest = min(known, key=lambda pair: abs(pair[0] - celsius))
    strips = (
        Strip("Comes off after, minutes", (Line("", at, minutes), Mark(*nearest, "about here")), low=0),
        Strip(
            "Low forms, % of the crystals",
            (Line("", at, low, Ink.FOURTH), Rule(watch, "soon dull")),
            low=0,
            tall=1,
        ),
    )
    says = (
        f"From {whole(known[0][1])} minutes at {degrees(known[0][0])} to {whole(known[-1][1])} at "
        f"{degrees(known[-1][0])}; warmer air leaves it in the mould."
    )
    axis = Axis("air around the moulds, °C")
    return Chart("Other settings of the fridge", says, axis, strips, decimal_sign=decimal_sign)


def _percent(values: object, count: int) -> list[float]:
    return [100 * float(value) for value in values[:count]]  # type: ignore[index]


def _says(bar: BarPicture) -> str:
    start = f"Poured at {degrees(float(bar.core[0]))} into air of {degrees(bar.air_celsius)}."
    if bar.released is None:
        return f"{start} It does not come off in the time that is looked at."
    off = "By itself it" if bar.held_up else "It"
    return f"{start} {off} comes off after {whole(bar.released)} minutes."
