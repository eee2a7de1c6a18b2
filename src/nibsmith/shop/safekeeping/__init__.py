"""Copies of the workshop's records: made, checked, put back."""
