"""Take in a body that is too large without keeping it, so that the browser hears why it was refused.

A server that answers in the middle of a body and hangs up is not heard: the browser is still sending, and
shows a broken connection. So the body is read to its end and forgotten; then the pages get the request
without it, see how long it was, and refuse it in their own look.
"""

from __future__ import annotations

from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser
from waitress.utilities import RequestEntityTooLarge


class DrainingParser(HTTPRequestParser):  # type: ignore[misc]  # the library has no types
    """Read one request; of a body beyond the limit only how long it is."""

    left = 0
    completed: bool
    expect_continue: bool
    connection_close: bool

    def received(self, data: bytes) -> int:
        """Take in some bytes; return how many of them belong to this request."""
        if self.left:
            return self._drained(data)
        consumed: int = super().received(data)
        if isinstance(self.error, RequestEntityTooLarge) and not self.chunked:
            self._forget_the_body()
        return consumed

    def _forget_the_body(self) -> None:
        self.error, self.body_rcv = None, None
        if self.expect_continue:  # it asked before it sends: it is told without sending anything
            self.expect_continue, self.connection_close = False, True
            return
        self.completed, self.left = False, self.content_length

    def _drained(self, data: bytes) -> int:
        dropped = min(self.left, len(data))
        self.left -= dropped
        self.completed = not self.left
        return dropped


class DrainingChannel(HTTPChannel):  # type: ignore[misc]  # the library has no types
    """A connection whose requests are read so."""

    parser_class = DrainingParser
