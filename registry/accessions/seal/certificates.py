"""One line, the proof that leads from it to a head, and the checkpoint that saw this head."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from registry.accessions.seal.checkpoints import Checkpoint, read_size
from registry.accessions.seal.lines import read_line
from registry.accessions.seal.tree import leaf, root_by_proof, seal_words, sides


class Proof(NamedTuple):
    line: int
    size: int
    steps: list[tuple[str, bytes]]  # ("left" or "right", hash), nearest to the line first


def proof_text(line: int, size: int, hashes: Sequence[bytes]) -> str:
    """`proof.txt`: the line's number, the register's size, then each hash with the side on which it stands."""
    steps = "".join(f"{side} {one.hex()}\n" for side, one in zip(sides(line - 1, size), hashes, strict=True))
    return f"line {line}\nsize {size}\n{steps}"


def read_proof(text: str) -> Proof:
    """Reads `proof.txt`, also one typed from paper: empty lines, capitals and gaps between the digits do no harm."""
    rows = [row.split() for row in text.lower().splitlines() if row.strip()]
    if len(rows) < 2 or [row[0] for row in rows[:2]] != ["line", "size"]:
        raise ValueError("a proof begins with its line and its size, as in 'line 3' and 'size 5'")
    line, size = (read_size("".join(row[1:])) for row in rows[:2])
    steps = []
    for side, *groups in rows[2:]:
        digits = "".join(groups)
        if side not in ("left", "right") or not re.fullmatch("[0-9a-f]{64}", digits):
            raise ValueError(f"a step is 'left' or 'right' and 64 hex digits, not '{side} {digits}'")
        steps.append((side, bytes.fromhex(digits)))
    return Proof(line, size, steps)


def certificate_fault(raw: bytes, proof: Proof, point: Checkpoint) -> str | None:
    """Why one line, its proof and a checkpoint of the same size do not belong together, or None: the line stood."""
    try:
        members = read_line(raw)
    except ValueError as why:
        return f"Line {proof.line} cannot be read as a line of the register: {why}"
    if members.get("line") != proof.line:
        return f"The proof is for line {proof.line}, the line says that it is line {members.get('line')}"
    if point.origin and members.get("register") != point.origin:
        return f"The line is of {members.get('register')}, the {point.said} of {point.origin}"
    if point.size != proof.size:
        return f"The proof leads to the head of {proof.size} lines, the checkpoint is of size {point.size}"
    if not 1 <= proof.line <= proof.size or [side for side, _ in proof.steps] != sides(proof.line - 1, proof.size):
        return f"The steps of the proof do not lead from line {proof.line} to the head of {proof.size} lines"
    reached = root_by_proof(leaf(raw), proof.line - 1, proof.size, [one for _, one in proof.steps])
    if reached is None or not point.saw(reached):
        seal = seal_words(reached or b"")
        return f"Line {proof.line} does not stand: line and proof lead to the seal {seal}, the {point.said} has {seal_words(point.root)}"
    return None
