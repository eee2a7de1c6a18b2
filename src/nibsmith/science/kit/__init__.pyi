from .kits import Kit, Mould, check_residue, kit, kits

__all__ = ["Kit", "Mould", "check_residue", "kit", "kits"]
