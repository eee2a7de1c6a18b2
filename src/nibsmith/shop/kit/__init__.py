"""Machines and moulds."""
