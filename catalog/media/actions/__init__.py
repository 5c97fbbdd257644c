"""Every write about photographs and the marks on them, papers on record and looks at their files."""

from catalog.media.actions.annotations import mark, unmark
from catalog.media.actions.photographs import (
    change_photograph,
    check_files,
    choose_first,
    keep_document,
    keep_photograph,
    keep_photographs,
    look_at,
    put_back_photograph,
    record_checks,
    sweep,
    withdraw_photograph,
)

__all__ = [
    "change_photograph",
    "check_files",
    "choose_first",
    "keep_document",
    "keep_photograph",
    "keep_photographs",
    "look_at",
    "mark",
    "put_back_photograph",
    "record_checks",
    "sweep",
    "unmark",
    "withdraw_photograph",
]
