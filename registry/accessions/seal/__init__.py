"""The seal of the register: canonical bytes, the tree over all lines, checkpoints, and what a check of them finds.

No Django and nothing but the standard library: `deploy/verify_register.py` carries these files word for word and runs
alone. Lines (`lines.py`) are hashed into one tree (`tree.py`); its heads go out as checkpoints (`checkpoints.py`); one
line can be shown with its proof (`certificates.py`); the whole is checked by `findings.py`.
"""

from registry.accessions.seal.certificates import Proof, certificate_fault, proof_text, read_proof
from registry.accessions.seal.checkpoints import (
    Checkpoint,
    checkpoint_body,
    is_signed,
    key_text,
    public_of,
    read_checkpoint,
    read_checkpoints,
    read_key,
    read_root,
    sign,
)
from registry.accessions.seal.findings import (
    BEHIND,
    CANNOT_TELL,
    FALLEN,
    STANDS,
    Finding,
    Stored,
    check,
    first_fault,
)
from registry.accessions.seal.lines import canonical, column_fault, commit_of, read_line
from registry.accessions.seal.tree import (
    EMPTY,
    Tree,
    append,
    is_consistent,
    is_included,
    leaf,
    node,
    root,
    root_of,
    seal_words,
    sides,
)

__all__ = [
    "BEHIND",
    "CANNOT_TELL",
    "EMPTY",
    "FALLEN",
    "STANDS",
    "Checkpoint",
    "Finding",
    "Proof",
    "Stored",
    "Tree",
    "append",
    "canonical",
    "certificate_fault",
    "check",
    "checkpoint_body",
    "column_fault",
    "commit_of",
    "first_fault",
    "is_consistent",
    "is_included",
    "is_signed",
    "key_text",
    "leaf",
    "node",
    "proof_text",
    "public_of",
    "read_checkpoint",
    "read_checkpoints",
    "read_key",
    "read_line",
    "read_proof",
    "read_root",
    "root",
    "root_of",
    "seal_words",
    "sides",
    "sign",
]
