"""What hinders an entry, a decision, a number, a line, an exit. Pure: facts in, sentences out."""

from registry.accessions.rules.coming_in import hinders_step, money_in, wrong_entry, wrong_exit, wrong_object
from registry.accessions.rules.keeping import (
    hinders_deciding,
    same_name,
    wrong_case,
    wrong_decision,
    wrong_title,
)
from registry.accessions.rules.lacking import (
    Known,
    Lack,
    lacks,
    missing_for_number,
    names_a_place,
    wrong_found_title,
)
from registry.accessions.rules.register import (
    clock_fault,
    hinders_numbering,
    wrong_correction,
    wrong_transcribed,
    wrong_void,
)

__all__ = [
    "Known",
    "Lack",
    "clock_fault",
    "hinders_deciding",
    "hinders_numbering",
    "hinders_step",
    "lacks",
    "missing_for_number",
    "money_in",
    "names_a_place",
    "same_name",
    "wrong_case",
    "wrong_correction",
    "wrong_decision",
    "wrong_entry",
    "wrong_exit",
    "wrong_found_title",
    "wrong_object",
    "wrong_title",
    "wrong_transcribed",
    "wrong_void",
]
