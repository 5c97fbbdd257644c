"""Pages of entries, cases, numbers and the register."""

from registry.accessions.pages.coming_in import add_object, change_entry, enter, entries, entry_page
from registry.accessions.pages.ending import give_back, keep_for_teaching, refuse, same_as
from registry.accessions.pages.keeping import accession, accession_many, decide, name_witness, propose, state_title
from registry.accessions.pages.register import check, correct, line_page, register, transcribe, void

__all__ = [
    "accession",
    "accession_many",
    "add_object",
    "change_entry",
    "check",
    "correct",
    "decide",
    "enter",
    "entries",
    "entry_page",
    "give_back",
    "keep_for_teaching",
    "line_page",
    "name_witness",
    "propose",
    "refuse",
    "register",
    "same_as",
    "state_title",
    "transcribe",
    "void",
]
