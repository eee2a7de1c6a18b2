"""Forms that read quantities once, at the edge, and show every refusal beside its field."""

from nibsmith.shop.common.forms.base import RecordForm, WorkshopForm, attempt, typed
from nibsmith.shop.common.forms.fields import (
    DegreesField,
    GramsField,
    ListField,
    MassField,
    NumberField,
    PercentField,
    PickField,
    TextField,
    YesField,
)

__all__ = [
    "DegreesField",
    "GramsField",
    "ListField",
    "MassField",
    "NumberField",
    "PercentField",
    "PickField",
    "RecordForm",
    "TextField",
    "WorkshopForm",
    "YesField",
    "attempt",
    "typed",
]
