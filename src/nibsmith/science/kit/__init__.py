"""Kits: what a machine holds, reaches, keeps back and leaves as water."""

from nibsmith.science.kit.kits import Kit, Mould, check_residue, kit, kits

__all__ = ["Kit", "Mould", "check_residue", "kit", "kits"]
