"""The records that belong to no single app."""

from nibsmith.shop.common.base import Record
from nibsmith.shop.common.changelog.models import ChangeEntry

__all__ = ["ChangeEntry", "Record"]
