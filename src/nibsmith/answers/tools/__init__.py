"""Questions of the bench that need no recipe: figures typed by hand in, an answer with its working out."""

from nibsmith.answers.tools.outcome import Given, Outcome

__all__ = ["Given", "Outcome"]
