"""Papers of this room: facts from reads, set by the templates beside. What a reader may not see is not in the facts."""

from registry.accessions.papers.certificates import certificate, line_words, proof_files
from registry.accessions.papers.coming_and_going import entry_receipt, exit_note
from registry.accessions.papers.register import OfLines, old_numbers, register_extract, register_page, span_of
from registry.accessions.papers.titles import acquisition_proposal, letter, transfer_of_title

__all__ = [
    "OfLines",
    "acquisition_proposal",
    "certificate",
    "entry_receipt",
    "exit_note",
    "letter",
    "line_words",
    "old_numbers",
    "proof_files",
    "register_extract",
    "register_page",
    "span_of",
    "transfer_of_title",
]
