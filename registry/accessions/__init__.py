"""In, decided, numbered, marked, labelled, out: and the sealed register.

Records: Entry, EntryObject, StatedValue, Acquisition, Title, Accession, LedgerLine, LedgerHead, LineSource, Checkpoint, Marking, Exit.
Words: entry, exit, acquisition, accession, title, marking, label, accession register, ledger, exit note.
Next door: condition below; desk above.
"""
