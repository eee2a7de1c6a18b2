"""``pour`` on a recipe page, with its ten thousand draws and variance shares."""

from __future__ import annotations

import math

from timing import Row, median

RUNS = 60
SIZES = (10_000, 20_000, 40_000)


def measure() -> list[Row]:
    import numpy as np

    from nibsmith.answers.context import Context
    from nibsmith.answers.pour import pour
    from nibsmith.science.flow import Conditions, flow, flow_matter
    from nibsmith.science.kit import kit
    from nibsmith.science.mixture import Form, Recipe, part
    from nibsmith.science.numerics import LogNormal, Triangle, drawn

    def recipe(nibs: float, sugar: float, milk: float) -> Recipe:
        parts = [part("cocoa_nibs_roasted", nibs), part("sugar_granulated", sugar)]
        parts += [part("milk_powder_whole", milk), part("cocoa_butter", 60.0)] if milk else []
        return Recipe("r", Form.BAR, tuple(parts))

    stone, blender = Context(kit=kit("stone")), Context(kit=kit("blender"))
    good, thick, milk = recipe(720.0, 280.0, 0.0), recipe(550.0, 450.0, 0.0), recipe(420.0, 380.0, 160.0)
    rows = [
        Row(f"`pour`, {what}", median(lambda r=r, c=c: pour(r, c), RUNS, 5), "< 15 ms", RUNS)  # type: ignore[misc]
        for what, r, c in (
            ("nothing to mend", good, stone),
            ("butter in two amounts", thick, stone),
            ("milk, butter in two amounts", milk, stone),
            ("every step of work and butter", good, blender),
        )
    ]

    matter = flow_matter(milk)
    varies = {
        "cocoa_um": Triangle(15.0, 21.0, 30.0),
        "end_water": Triangle(0.007, 0.010, 0.012),
        "fat_level": Triangle(-1.0, 0.0, 1.0),
        "viscosity_factor": LogNormal(1.0, 2.0),
    }

    def draws(count: int) -> float:
        at = Conditions(21.0, 21.0, 29.5, solid_fat=0.02).drawn(drawn(varies, count))
        return median(lambda: flow(matter, at), RUNS, 3)

    times = {count: draws(count) for count in SIZES}
    slope = float(np.polyfit([math.log(n) for n in SIZES], [math.log(times[n]) for n in SIZES], 1)[0])
    bound, found = "log-log slope 0.9 to 1.1", f"slope {slope:.2f}"
    return rows + [Row(f"flow of {count:,} draws", times[count], bound, RUNS, found) for count in SIZES]
