from .reading import (
    LoggedRoast,
    read_log,
)
from .text import (
    Encoding,
    check_size,
)
from .told import (
    TimeUnit,
    Told,
)
from .understood import (
    Order,
    ProbeFound,
    ScaleFrom,
    TimeKind,
    TimesFound,
    Understood,
    Unused,
)

__all__ = [
    "Encoding",
    "LoggedRoast",
    "Order",
    "ProbeFound",
    "ScaleFrom",
    "TimeKind",
    "TimeUnit",
    "TimesFound",
    "Told",
    "Understood",
    "Unused",
    "check_size",
    "read_log",
]
