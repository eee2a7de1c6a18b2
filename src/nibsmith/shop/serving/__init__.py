"""Make the workshop ready and show it on this computer."""
