"""Judging a recipe of twenty parts in every place, and answering for three of them with remedies."""

from __future__ import annotations

from timing import Row, median

RUNS = 50
PARTS = (
    *("almond", "raisin", "coffee_instant", "cinnamon", "salt", "pecan", "walnut", "cashew", "pistachio"),
    *("fig_dried", "date_medjool", "goji_dried", "cardamom", "nutmeg", "macadamia", "ginger_ground"),
)


def measure() -> list[Row]:
    from nibsmith.answers.call_it import call_it
    from nibsmith.answers.context import Context
    from nibsmith.science.legal import judge_all, jurisdictions
    from nibsmith.science.mixture import Form, Recipe, as_weighed, part

    small = [part(key, 1.0) for key in PARTS]
    main = [
        part("cocoa_nibs_roasted", 30.0),
        part("cocoa_butter", 1.0),
        part("sugar_granulated", 60.0),
        part("milk_powder_skim", 1.0),
    ]
    recipe = Recipe("busy", Form.BAR, (*small, *main))
    three = Context(markets=("eu", "uk", "us"))
    judged = median(lambda: judge_all(recipe, tuple(jurisdictions())), RUNS, warm_up=5)
    answered = median(lambda: call_it(recipe, three), RUNS, warm_up=5)
    summed = median(lambda: as_weighed(recipe).figures(), RUNS, warm_up=5)
    against = f"times the sums of the mixture ({summed * 1000:.2g} ms)"
    return [
        Row("names of 20 parts in 14 places", judged, "< 5 ms", RUNS, f"{judged / summed:.0f} {against}"),
        Row(
            "`call_it`, 20 parts, 3 markets, remedies",
            answered,
            "< 8 ms",
            RUNS,
            f"{answered / summed:.0f} {against}",
        ),
    ]
