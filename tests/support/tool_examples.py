"""What a maker would type into each tool, and one thing in it that is refused: field, text, refusal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Example:
    """Fields as typed, words of the answer, and a refusal."""

    typed: dict[str, str]
    says: str
    wrong: tuple[str, str, str]


EXAMPLES = {
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
        ("humidity", "", "This is needed."),
    ),
}
