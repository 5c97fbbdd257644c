"""The offline command carries the files of the seal word for word."""

import ast
import re
import sys
from pathlib import Path

HOUSE = Path(__file__).parents[2]
SEAL = HOUSE / "registry" / "accessions" / "seal"
OFFLINE = HOUSE / "deploy" / "verify_register.py"
PARTS = ["lines", "tree", "checkpoints", "certificates", "findings"]  # each needs only those before it


def rows_of(text: str) -> list[str]:
    """Without empty rows, and without what joins the parts: within one file they see each other anyway."""
    return [row for row in re.sub(r"^from registry\..*\n", "", text, flags=re.MULTILINE).splitlines() if row.strip()]


def test_each_part_of_the_seal_stands_in_the_offline_file_word_for_word() -> None:
    sections = re.split(r"^# ==== (.+) ====$", OFFLINE.read_text(), flags=re.MULTILINE)
    copied = dict(zip(sections[1::2], sections[2::2], strict=True))
    assert list(copied) == [*(f"registry/accessions/seal/{part}.py, word for word" for part in PARTS), "the command"]
    for part in PARTS:
        copy = rows_of(copied[f"registry/accessions/seal/{part}.py, word for word"])
        assert copy == rows_of((SEAL / f"{part}.py").read_text()), f"copy {part}.py into its place in {OFFLINE.name}"


def test_no_part_of_the_seal_is_left_out() -> None:
    assert {file.stem for file in SEAL.glob("*.py")} == {*PARTS, "__init__"}


def test_the_offline_file_needs_nothing_but_the_standard_library() -> None:
    """`cryptography` is the one exception, and only inside functions."""
    tree = ast.parse(OFFLINE.read_text())
    imports = [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]
    names = {
        name.partition(".")[0]
        for node in imports
        for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names])
    }
    assert names - set(sys.stdlib_module_names) == {"cryptography"}
    assert not [node for node in tree.body if isinstance(node, ast.ImportFrom) and "cryptography" in str(node.module)]
