"""Every write of this room: coming in, deciding, title, numbers, the register, going out."""

from registry.accessions.actions.checking import check_register, issue_checkpoint, nightly_check, nightly_checkpoint
from registry.accessions.actions.coming_in import add_object, change_entry, enter
from registry.accessions.actions.ending import give_back, keep_for_teaching, refuse, same_as
from registry.accessions.actions.keeping import decide, name_witness, propose, state_title
from registry.accessions.actions.ledger import append_line, open_register
from registry.accessions.actions.numbering import accession, accession_many
from registry.accessions.actions.register import correct_line, transcribe_line, void_number

__all__ = [
    "accession",
    "accession_many",
    "add_object",
    "append_line",
    "change_entry",
    "check_register",
    "correct_line",
    "decide",
    "enter",
    "give_back",
    "issue_checkpoint",
    "keep_for_teaching",
    "name_witness",
    "nightly_check",
    "nightly_checkpoint",
    "open_register",
    "propose",
    "refuse",
    "same_as",
    "state_title",
    "transcribe_line",
    "void_number",
]
