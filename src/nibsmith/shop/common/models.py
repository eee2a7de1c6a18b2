"""The records that belong to no single app."""

from nibsmith.shop.common.base import Record
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.once.models import SentForm
from nibsmith.shop.common.workshop.models import Workshop

__all__ = ["ChangeEntry", "Record", "SentForm", "Workshop"]
