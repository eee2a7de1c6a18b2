"""Ten thousand bars that cool in one call, against loops of scipy's solvers over the same equations.

The model is that of docs/models/cooling.md: conduction, both faces, four crystal states with their heat; 30
minutes, kept every minute. The peers solve 60 layers of it one bar after another: LSODA with its Jacobian as
a band, BDF told where its Jacobian is not zero. Both get the same, vectorised right-hand side. 24 looped bars
are timed, in rounds between the calls, and scaled. The bars are drawn with a fixed seed from what makers
pour. The error is the worst over place, time and 100 of the bars, against 120 layers solved to 1e-7.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

from timing import Row, seconds

COUNT, LOOPED, CHECKED, ROUNDS = 10_000, 24, 100, 3
MINUTES = 30
FEW, MANY = 10, 60
SIZES = (1_250, 2_500, 5_000, 10_000)
LAYERS, LAYER_ROUNDS = (1_000, 2_000, 4_000, 8_000), 25


def measure() -> list[Row]:
    from nibsmith.science.cool import cool_many

    bars = drawn(COUNT)
    cool_many(drawn(600), 5)
    times: dict[str, list[float]] = {}
    for number in range(ROUNDS):
        times.setdefault("together", []).append(seconds(lambda: cool_many(bars, MINUTES)) / COUNT)
        for place in range(number, LOOPED, ROUNDS):
            for name, work in peers(lane(bars, place)).items():
                times.setdefault(name, []).append(seconds(work))
    each = {name: statistics.median(found) for name, found in times.items()}
    return [*rows(each), error_row(), draws_row(), layers_row()]


def rows(each: dict[str, float]) -> list[Row]:
    mine = each["together"]

    def against(name: str) -> str:
        return f"{each[name] / mine:.0f} times {name} ({each[name] * 1000:.1f} ms a bar)"

    strict, quick = "BDF 1e-6", "LSODA banded 1e-3"
    few = [against(f"{name}, {FEW} layers") for name in (strict, quick)]
    return [
        Row(
            "10,000 bars for 30 min in one call",
            mine * COUNT,
            "60 times looped BDF 1e-6",
            ROUNDS,
            against(strict),
        ),
        Row("the same", mine * COUNT, "5 times looped LSODA 1e-3", ROUNDS, against(quick)),
        Row("the same", mine * COUNT, "", ROUNDS, against("LSODA banded 1e-6")),
        Row("the same, peers on as few layers as it has points", mine * COUNT, "", ROUNDS, "; ".join(few)),
    ]


def peers(bar: Any) -> dict[str, Any]:
    """What a loop would do for one bar; names say the solver, its tolerance and its layers."""
    import numpy as np

    from nibsmith.science.cool.one import Layers

    times = np.arange(0, 60 * MINUTES + 1, 60.0)
    many, few = Layers(bar, MANY), Layers(bar, FEW)
    return {
        "LSODA banded 1e-3": lambda: many.solved(times, 1e-3),
        "LSODA banded 1e-6": lambda: many.solved(times, 1e-6),
        "BDF 1e-6": lambda: by_bdf(many, times),
        f"LSODA banded 1e-3, {FEW} layers": lambda: few.solved(times, 1e-3),
        f"BDF 1e-6, {FEW} layers": lambda: by_bdf(few, times),
    }


def by_bdf(layers: Any, times: Any) -> Any:
    import numpy as np
    from scipy.integrate import solve_ivp
    from scipy.sparse import coo_matrix

    size = 5 * layers.cells
    own = [
        (5 * cell + row, 5 * cell + column)
        for cell in range(layers.cells)
        for row in range(5)
        for column in range(5)
    ]
    next_to = [(5 * cell, 5 * other) for cell in range(layers.cells) for other in (cell - 1, cell + 1)]
    places = np.array([*own, *(pair for pair in next_to if 0 <= pair[1] < size)]).T
    sparsity = coo_matrix((np.ones(places.shape[1]), places), shape=(size, size)).tocsc()
    span, start = (0.0, times[-1]), layers.start
    return solve_ivp(
        layers.change, span, start, "BDF", t_eval=times, rtol=1e-6, atol=1e-8, jac_sparsity=sparsity
    )


def error_row() -> Row:
    import numpy as np

    from nibsmith.science.cool import cool_bar, cool_many
    from nibsmith.science.cool.lobatto import between

    bars = drawn(CHECKED)
    found = cool_many(bars, MINUTES)
    errors, loose = [], []
    for place in range(CHECKED):
        wanted = cool_bar(lane(bars, place), MINUTES, every_s=60, cells=120, rtol=1e-7)
        inside = between(found.celsius[:, :, place : place + 1], wanted.places[1:-1])
        errors.append(float(np.abs(inside - wanted.celsius[:, 1:-1]).max()))
        if place < LOOPED:
            quick = cool_bar(lane(bars, place), MINUTES, every_s=60, cells=120, rtol=1e-3)
            loose.append(float(np.abs(quick.celsius - wanted.celsius).max()))
    told = f"worst of {CHECKED} {max(errors):.3f} K, median {statistics.median(errors):.4f} K"
    peer = f"LSODA 1e-3 on the layers of the reference: worst of {LOOPED} {max(loose):.3f} K"
    assert max(errors) <= 0.05
    return Row("its error", 0.0, "0.05 K", 1, f"{told}; {peer}")


def draws_row() -> Row:
    from nibsmith.science.cool import cool_many

    bars = {size: drawn(size) for size in SIZES}
    times = [
        statistics.median(cpu_seconds(lambda s=size: cool_many(bars[s], 10)) for _ in range(3))
        for size in SIZES
    ]
    return Row(
        f"{SIZES[-1]:,} bars for 10 min", times[-1], "slope 0.9 to 1.1", 3, slope_words(SIZES, times, "bars")
    )


def layers_row() -> Row:
    from nibsmith.science.cool import each
    from nibsmith.science.cool.one import Layers

    whole = [Layers(each(lane(drawn(1), 0)), count) for count in LAYERS]
    found: list[list[float]] = [[] for _ in LAYERS]
    for _ in range(LAYER_ROUNDS):
        for times, one in zip(found, whole, strict=True):
            state = one.start
            times.append(
                cpu_seconds(lambda one=one, state=state: [one.change(0.0, state) for _ in range(10)])
            )
    medians = [statistics.median(times) for times in found]
    words = slope_words(LAYERS, medians, "layers")
    return Row(
        f"10 times the rates of {LAYERS[-1]:,} layers", medians[-1], "slope 0.9 to 1.1", LAYER_ROUNDS, words
    )


def cpu_seconds(work: Callable[[], object]) -> float:
    """Time of the processor, so that a busy computer does not bend the line through sizes."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def slope_words(sizes: tuple[int, ...], times: list[float], what: str) -> str:
    import numpy as np

    slope = float(np.polyfit(np.log(sizes), np.log(times), 1)[0])
    return f"slope {slope:.2f} over {len(sizes)} sizes from {sizes[0]:,} {what}"


def drawn(count: int) -> Any:
    """Bars as makers pour them: shells of 2 mm to bars of 15, fridges of 3 °C to cabinets of 17."""
    import numpy as np

    from nibsmith.science.cool import Bar, Faces, Slab, through_wall
    from nibsmith.science.temper import Fat

    random = np.random.default_rng(11)

    def between_ends(low: float, high: float) -> Any:
        return random.uniform(low, high, count)

    exchange, butter = between_ends(6, 40), between_ends(0.7, 1)
    return Bar(
        Slab(
            between_ends(0.002, 0.015),
            between_ends(0.22, 0.28),
            between_ends(1200, 1300),
            between_ends(1590, 1670),
        ),
        Faces(between_ends(3, 17), exchange, through_wall(exchange, between_ends(0, 0.02))),
        Fat(between_ends(0.28, 0.42), -6.643 * np.log(butter), butter, between_ends(0.7, 1.4)),
        between_ends(28, 33),
        between_ends(0.005, 0.05),
    )


def lane(bars: Any, place: int) -> Any:
    from nibsmith.science.cool import each
    from nibsmith.science.cool.bar import some

    return some(each(bars), place, place + 1)
