"""The change log as people read it, and the one way records are written to it."""
