"""The offline command as an outsider runs it: the one file in an empty folder, no Django, no database, no house.

The steps by hand use GNU coreutils, xxd and openssl as a second reference.
"""

import base64
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from registry.accessions.seal import Tree, checkpoint_body, proof_text, seal_words
from tests.outside.sealed_lines import CHECKPOINT, HEADS, KEY, LEAVES, LINES, ORIGIN, PUBLIC

OFFLINE = Path(__file__).parents[2] / "deploy" / "verify_register.py"
ROOT = "sMIA54DzfSSF/vn/UcUPFOm7zIH7Sak28ETxRQ1G0QA="


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """What a witness or the holder of a certificate has saved."""
    shutil.copy(OFFLINE, tmp_path)
    (tmp_path / "lines.jsonl").write_bytes(b"".join(raw + b"\n" for raw in LINES))
    (tmp_path / "line.json").write_bytes(LINES[2])
    (tmp_path / "proof.txt").write_text(proof_text(3, 5, Tree(LEAVES).inclusion(2, 5)))
    (tmp_path / "checkpoint.txt").write_text(CHECKPOINT)
    (tmp_path / "april.txt").write_text(checkpoint_body(ORIGIN, 6, HEADS[5]))
    return tmp_path


def run(folder: Path, *words: str, alone: bool = False) -> tuple[int, str]:
    """Isolated from this checkout; `alone` also from every installed package, so that `cryptography` is missing."""
    command = [sys.executable, "-I", *(["-S"] if alone else []), "verify_register.py", *words]
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=60, env={"PATH": os.environ["PATH"]}
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done.returncode, done.stdout + done.stderr


REGISTER = ("lines.jsonl", "--checkpoint", "checkpoint.txt")
CERTIFICATE = ("line.json", "proof.txt", "--checkpoint", "checkpoint.txt")


@pytest.mark.parametrize("deep", [(), ("--deep",)])
def test_the_register_stands_without_us(folder: Path, deep: tuple[str, ...]) -> None:
    code, said = run(folder, *REGISTER, "april.txt", "--key", KEY, *deep)
    assert "6 lines stand and agree with the checkpoint in april.txt (size 6)\n" in said
    assert "The checkpoint in checkpoint.txt (size 5) is signed by casts.example/TH\n" in said
    assert "The checkpoint in april.txt (size 6) carries no signature by the key given\n" in said
    assert code == 2
    assert run(folder, *REGISTER, "--key", KEY, *deep)[0] == 0


def test_the_certificate_stands_without_us(folder: Path) -> None:
    code, said = run(folder, *CERTIFICATE, "--key", KEY)
    assert (code, said.splitlines()) == (
        0,
        [
            "Line 3 stands: it is one of the 5 lines that the checkpoint saw",
            "The checkpoint in checkpoint.txt (size 5) is signed by casts.example/TH",
        ],
    )


def test_without_a_key_it_says_that_no_signature_was_checked(folder: Path) -> None:
    for words in (REGISTER, CERTIFICATE):
        code, said = run(folder, *words)
        assert code == 0
        assert "The checkpoint in checkpoint.txt (size 5): signature not checked, no --key was given" in said


def test_without_cryptography_lines_are_checked_and_the_signature_said_not_to_be(folder: Path) -> None:
    code, said = run(folder, *REGISTER, "--key", KEY, alone=True)
    assert "6 lines stand" in said
    assert "signature not checked, the Python package cryptography is not here" in said
    assert code == 2
    assert run(folder, *REGISTER, alone=True)[0] == 0
    assert run(folder, *CERTIFICATE, alone=True)[0] == 0


def test_any_tampered_line_of_the_file_ends_with_one(folder: Path) -> None:
    for n, raw in enumerate(LINES):
        for old, new in ((b'"by":"p', b'"by":"q'), (b'"v":1', b'"v":2'), (b'"at":"2026', b'"at":"2025')):
            assert old in raw
            changed = [*LINES[:n], raw.replace(old, new), *LINES[n + 1 :]]
            (folder / "lines.jsonl").write_bytes(b"\n".join(changed) + b"\n")
            code, said = run(folder, "lines.jsonl", "--checkpoint", "april.txt", "checkpoint.txt", alone=True)
            assert code == 1, said
            assert f"altered between {6 if n == 5 else 1} and {6 if n == 5 else 5}" in said


def test_lines_that_went_missing_or_changed_places_are_named(folder: Path) -> None:
    (folder / "lines.jsonl").write_bytes(b"\n".join([*LINES[:2], *LINES[3:]]) + b"\n")
    code, said = run(folder, *REGISTER)
    assert (code, said.splitlines()[0]) == (1, "Line 3 says that it is line 4")


def test_a_file_shorter_than_a_checkpoint_ends_with_three(folder: Path) -> None:
    (folder / "lines.jsonl").write_bytes(b"\n".join(LINES[:4]) + b"\n")
    code, said = run(folder, *REGISTER, "--key", KEY)
    assert code == 3
    assert "Register has 4 lines, a checkpoint saw 5: behind its checkpoint" in said


def test_unicode_line_ends_within_a_line_do_not_part_it(folder: Path) -> None:
    from registry.accessions.seal import canonical, leaf, read_line

    raw = canonical({**read_line(LINES[5]), "ground": "one\u2028two\u0085three\x0bfour"})
    (folder / "lines.jsonl").write_bytes(b"\n".join([*LINES[:5], raw]))  # and the last LF may be missing
    head = Tree([*LEAVES[:5], leaf(raw)]).root()
    (folder / "april.txt").write_text(checkpoint_body(ORIGIN, 6, head))
    assert run(folder, "lines.jsonl", "--checkpoint", "april.txt", "--deep")[0] == 0


def test_a_checkpoint_can_be_typed_from_paper(folder: Path) -> None:
    for root in (ROOT, HEADS[4].hex(), seal_words(HEADS[4])):
        assert run(folder, "lines.jsonl", "--size", "5", "--root", root)[0] == 0
        assert run(folder, "line.json", "proof.txt", "--size", "5", "--root", root)[0] == 0
    wrong = seal_words(HEADS[3])
    code, said = run(folder, "lines.jsonl", "--size", "5", "--root", wrong)
    assert (code, said) == (
        1,
        "Lines do not agree with the checkpoint typed by hand (size 5): altered between 1 and 5\n",
    )
    assert run(folder, "line.json", "proof.txt", "--size", "5", "--root", wrong)[0] == 1
    assert run(folder, "lines.jsonl", "--size", "7", "--root", ROOT)[0] == 3


def test_a_certificate_that_was_changed_ends_with_one(folder: Path) -> None:
    (folder / "line.json").write_bytes(LINES[2].replace(b"412.60", b"412.61"))
    code, said = run(folder, *CERTIFICATE)
    assert code == 1
    assert said.startswith("Line 3 does not stand: line and proof lead to the seal ")
    (folder / "line.json").write_bytes(LINES[2] + b"\n")  # some editors end every file with one
    assert run(folder, *CERTIFICATE)[0] == 0


def test_a_signature_that_does_not_hold_ends_with_one(folder: Path) -> None:
    (folder / "checkpoint.txt").write_text(CHECKPOINT.replace("FACQ4=", "FACQ5="))
    assert run(folder, *REGISTER, "--key", KEY)[0] == 1  # spelt in base64 that nobody writes
    (folder / "checkpoint.txt").write_text(CHECKPOINT.replace("6Gg+5f+5I", "6Gg+5f+5J"))
    code, said = run(folder, *REGISTER, "--key", KEY)
    assert code == 1
    assert "The checkpoint in checkpoint.txt (size 5): the signature does not hold" in said


@pytest.mark.parametrize(
    "words, why",
    [
        (("lines.jsonl",), "6 lines follow one another, but no checkpoint was given"),
        (("line.json", "proof.txt"), "no checkpoint given is of this size"),
        (("line.json", "proof.txt", "--checkpoint", "april.txt"), "no checkpoint given is of this size"),
        (("absent.jsonl", "--checkpoint", "checkpoint.txt"), "absent.jsonl"),
        (("lines.jsonl", "--checkpoint", "proof.txt"), "proof.txt is not a checkpoint"),
        (("lines.jsonl", "--checkpoint", "latin.txt"), "latin.txt is not a checkpoint"),
        (("line.json", "checkpoint.txt", "--checkpoint", "checkpoint.txt"), "checkpoint.txt is not a proof"),
        (("lines.jsonl", "--size", "5"), "--size and --root together"),
        (("lines.jsonl", "--size", "five", "--root", ROOT), "'five' is not a number of lines"),
        (("lines.jsonl", "--size", "5", "--root", "sMIA"), "root is 3 bytes long, not 32"),
        ((*REGISTER, "--key", KEY[:-4]), "key"),
        (("lines.jsonl", "--checkpoint", "elsewhere.txt"), "is of casts.example/XX, the lines are of casts.example/TH"),
    ],
)
def test_where_it_cannot_tell_it_says_why_and_ends_with_two(folder: Path, words: tuple[str, ...], why: str) -> None:
    (folder / "latin.txt").write_bytes(b"casts.example/\xd8\n5\n")
    (folder / "elsewhere.txt").write_text(checkpoint_body("casts.example/XX", 5, HEADS[4]))
    code, said = run(folder, *words)
    assert (code, why in said) == (2, True), said


def test_it_explains_itself(folder: Path) -> None:
    code, said = run(folder, "--help")
    assert code == 0
    assert "the side on which it stands" in said
    assert r"printf '\000'" in said


BY_HAND = r"""
set -eu
reached=$( ( printf '\000'; cat line.json ) | sha256sum | cut -c1-64 )
tail -n +3 proof.txt | while read -r side hash; do
  if [ "$side" = left ]; then LEFT=$hash RIGHT=$reached; else LEFT=$reached RIGHT=$hash; fi
  reached=$( ( printf '\001'; printf '%s%s' $LEFT $RIGHT | xxd -r -p ) | sha256sum | cut -c1-64 )
  echo $reached > reached.txt
done
xxd -r -p reached.txt | base64
"""


def test_the_steps_by_hand_lead_to_the_root_of_the_checkpoint(folder: Path) -> None:
    if not all(shutil.which(tool) for tool in ("sha256sum", "xxd", "base64")):
        pytest.skip("coreutils or xxd is not on this machine")
    done = subprocess.run(["sh", "-c", BY_HAND], cwd=folder, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ROOT == CHECKPOINT.split("\n")[2]


def test_openssl_finds_the_signature_good_and_a_changed_one_not(folder: Path) -> None:
    if not shutil.which("openssl"):
        pytest.skip("openssl is not on this machine")
    body, _, signed = CHECKPOINT.partition("\n\n")
    (folder / "checkpoint-body.txt").write_text(body + "\n")
    (folder / "sig.bin").write_bytes(base64.b64decode(signed.split(" ")[2])[4:])
    (folder / "key.der").write_bytes(bytes.fromhex("302a300506032b6570032100") + PUBLIC)  # RFC 8410
    command = (
        "openssl pkeyutl -verify -pubin -keyform DER -inkey key.der -rawin -in checkpoint-body.txt -sigfile sig.bin"
    )
    assert subprocess.run(command.split(), cwd=folder, capture_output=True).returncode == 0
    (folder / "checkpoint-body.txt").write_text(body.replace("\n5\n", "\n6\n") + "\n")
    assert subprocess.run(command.split(), cwd=folder, capture_output=True).returncode != 0
