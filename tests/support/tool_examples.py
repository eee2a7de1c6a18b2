"""What a maker would type into each tool, and one thing in it that is refused: field, text, refusal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Example:
    """Fields as typed, words of the answer, and a refusal."""

    typed: dict[str, str]
    says: str
    wrong: tuple[str, str, str]


# A cup that cools in a bath of 8 °C: it falls, is held up at about 21 °C, and falls on; every 30 s.
CUP_CELSIUS = (
    *(31.5, 29.3, 27.3, 25.5, 24.0, 22.7, 21.8, 21.3, 21.1, 21.1, 21.3),
    *(21.45, 21.55, 21.6, 21.5, 21.4, 21.25, 20.95, 20.6, 20.2, 19.7, 19.15),
    *(18.6, 18.0, 17.4, 16.85, 16.3, 15.8, 15.3, 14.85, 14.4),
)
CUP = "\n".join(f"{at // 2}:{30 * (at % 2):02d} {celsius}" for at, celsius in enumerate(CUP_CELSIUS))
EXAMPLES = {
    "roast": Example(
        {
            "points": "0:00 24 °C\n5:00 78\n10:00 105\n20:00 121\n25:00 124",
            "charge_g": "1 kg",
            "end_g": "945 g",
            "off_k": "1.5",
            "matter": "beans",
            "role": "bean",
        },
        "What was lost",
        ("points", "0:00 24 °C\n5:00 78\n4:00 105", "The times do not rise"),
    ),
    "sizes": Example(
        {"table": "size µm;finer %\n2;8\n5;22\n10;46\n20;81\n30;93\n60;100"},
        "What is quoted of it",
        ("table", "10;40", "Too few rows"),
    ),
    "seed": Example(
        {"mass_g": "1.2 kg", "mass_celsius": "46", "chocolate": "dark", "unknown": "seed_g", "bowl": "steel"},
        "Taken for it",
        ("mass_g", "2 cups", "Weigh it once and save it as yours"),
    ),
    "curve": Example(
        {"readings": CUP, "unit": "minutes", "coolant": "8"},
        "inflection",
        ("readings", "0 31\n1 warm", "Line 2"),
    ),
    "folding": Example(
        {
            "ingredient": "hazelnut_dry_roasted",
            "amount_g": "240 g",
            "mass_g": "1760 g",
            "chocolate": "dark",
        },
        "It cools the mass.",
        ("amount_g", "a handful", "is"),
    ),
    "faults": Example(
        {"bars": "streaks", "mass": "slow"},
        "Under-tempered",
        ("bars", "alembic", "Choose one of the list."),
    ),
    "grinding": Example(
        {"kit": "stone", "last": "sugar", "readings": "9 h 95 µm 3\n24 45 3\n30 35", "aim": "melting"},
        "ready at",
        ("readings", "9 h", "Line 1 does not hold 2 to 3 numbers"),
    ),
    "pour": Example(
        {"chocolate": "dark", "fat_percent": "36", "use": "bars", "cocoa_um": "20", "sugar_um": "22"},
        "Flow of this mass",
        ("fat_percent", "a third", "This is not a share in percent"),
    ),
    "tempering": Example(
        {"chocolate": "milk", "table": "first", "held_celsius": "29.5"},
        "work at",
        ("held_celsius", "80 K", "Kelvin is kept for differences here"),
    ),
    "cooling": Example(
        {
            "chocolate": "dark",
            "tempered": "yes",
            "thickness_mm": "6",
            "air": "10 °C",
            "wind": "fan",
            "moulds": "4",
            "chocolate_g": "250 g",
        },
        "Which setting",
        ("moulds", "2.5", "Moulds are whole ones"),
    ),
    "damp": Example(
        {"bar": "12", "room": "20", "humidity": "50", "kind": "dark"},
        "Too damp.",
        ("humidity", "150", "This is more than it can be"),
    ),
}
