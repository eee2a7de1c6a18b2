"""What an answer may know besides the recipe: kit, moulds, markets, scale, money."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from nibsmith.science.kit import Kit, Mould
from nibsmith.science.mixture import Span

if TYPE_CHECKING:  # its module loads numpy, which a context alone does not need
    from nibsmith.answers.process import Process

DEFAULT_MARKETS = ("eu",)


@dataclass(frozen=True)
class Context:
    """The workshop around a recipe.

    ``scale_g`` is the resolution of the scale [g]; ``markets`` are jurisdiction keys (codex, eu, uk, us, ca,
    ch, jp, kr, tw, in, br, eaeu, tr, au-nz); ``memory_rules`` turns on rules known from memory only;
    ``uses_lecithin`` says that the maker uses it even where the recipe does not yet; ``bean_yield`` is the
    share of the beans' weight left as nibs [0 to 1]; ``shelf_g`` is what can be added, by label or key [g];
    ``process`` is how the mass is made, as far as the maker has said. ``kept_back_g`` stays in the machine
    whatever the batch [g] and ``lost_percent`` of the finished mass is lost besides [%]: the maker's own
    figures, before those of the kit.
    """

    kit: Kit | None = None
    mould: Mould | None = None
    bars: int | None = None
    scale_g: Decimal = Decimal(1)
    markets: tuple[str, ...] = DEFAULT_MARKETS
    memory_rules: bool = False
    uses_lecithin: bool = False
    currency: str = "EUR"
    bean_yield: Decimal | None = None
    shelf_g: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    process: Process | None = None
    kept_back_g: float | None = None
    lost_percent: float | None = None

    @property
    def residue_g(self) -> Span:
        """What stays in the machine whatever the batch, with its range [g]; nothing where nothing is said."""
        if self.kept_back_g is not None:
            return Span.exactly(self.kept_back_g)
        return Span.exactly(0.0) if self.kit is None else self.kit.residue_g

    @property
    def loss_percent(self) -> float:
        """Share of the finished mass that is lost besides [%]."""
        if self.lost_percent is not None:
            return self.lost_percent
        return 0.0 if self.kit is None else self.kit.loss_percent

    @property
    def end_water_percent(self) -> float | None:
        """Usual water of the finished mass in this kit [%], or ``None`` where it stays as charged."""
        return None if self.kit is None else self.kit.usual_end_water_percent

    @property
    def end_water(self) -> Span | None:
        """The same with its range, for what must hold however dry the mass ends [%]."""
        return None if self.kit is None else self.kit.end_water_percent
