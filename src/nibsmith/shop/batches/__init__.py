"""Batches of mass and their sessions: what went in, what was read, what came out, what was made of it."""
