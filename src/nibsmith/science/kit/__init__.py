"""Kits: what a machine holds, reaches, keeps back and leaves as water."""

from nibsmith.science.kit.kits import Kit, Mould, kit, kits

__all__ = ["Kit", "Mould", "kit", "kits"]
