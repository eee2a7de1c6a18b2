"""The batch sheet: a process for this kit, with every weight in its place."""

from nibsmith.answers.sheet.batch import batch_sheet
from nibsmith.answers.sheet.cards import (
    Fact,
    FoldInCard,
    FoldInRow,
    KitCard,
    MouldCard,
    Sheet,
    Step,
    TemperCard,
    WeighCard,
    WeighRow,
)

__all__ = [
    "Fact",
    "FoldInCard",
    "FoldInRow",
    "KitCard",
    "MouldCard",
    "Sheet",
    "Step",
    "TemperCard",
    "WeighCard",
    "WeighRow",
    "batch_sheet",
]
