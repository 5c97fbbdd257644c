"""Entries, accessions and the register as the API reads and writes them."""

from registry.accessions.api.accessions import Accessions
from registry.accessions.api.entries import Entries
from registry.accessions.api.register import Register, lines

__all__ = ["Accessions", "Entries", "Register", "lines"]
