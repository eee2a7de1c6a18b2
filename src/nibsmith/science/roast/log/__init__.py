"""Logs of any logger: text with one row a reading, understood and reported in full."""

from nibsmith.science.roast.log.reading import LoggedRoast, read_log
from nibsmith.science.roast.log.text import Encoding, check_size
from nibsmith.science.roast.log.told import TimeUnit, Told
from nibsmith.science.roast.log.understood import (
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
