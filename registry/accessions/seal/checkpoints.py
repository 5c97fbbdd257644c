"""Checkpoints (C2SP tlog-checkpoint) and their signatures (C2SP signed-note, Ed25519 of RFC 8032).

Ed25519 needs `cryptography`, which is looked for only where a signature is made or checked.
"""

import base64
import binascii
import re
from collections.abc import Sequence
from hashlib import sha256
from typing import NamedTuple

from registry.accessions.seal.tree import are_hashes


class Checkpoint(NamedTuple):
    """What somebody outside keeps. `root` is 32 bytes, or the 6 of a seal on paper; `named` says which it is."""

    origin: str  # empty where it was typed from paper
    size: int
    root: bytes
    body: str = ""  # the text that is signed
    signatures: tuple[str, ...] = ()
    named: str = ""  # as in "of 9 April"

    @property
    def said(self) -> str:
        return f"checkpoint {self.named} (size {self.size})" if self.named else f"checkpoint of size {self.size}"

    def saw(self, head: bytes) -> bool:
        return head.startswith(self.root)


def checkpoint_body(origin: str, size: int, head: bytes) -> str:
    """The three lines of a checkpoint; unsigned it is complete like this."""
    _refuse_name(origin)
    if not are_hashes(head):
        raise ValueError("the root of a checkpoint is 32 bytes")
    return f"{origin}\n{read_size(str(size))}\n{_in_base64(head)}\n"


def read_checkpoints(text: str, named: str = "") -> list[Checkpoint]:
    """All checkpoints of a text, signed or not, one after the other."""
    found: list[tuple[list[str], list[str]]] = []
    in_body = False
    for row in text.replace("\r\n", "\n").split("\n"):  # mail may have changed the line ends
        if row and not row.startswith("— "):
            if not in_body:
                found.append(([], []))
            found[-1][0].append(row)
        elif row and found:
            found[-1][1].append(row)
        in_body = bool(row) and not row.startswith("— ")
    if not found:
        raise ValueError(_SHAPE)
    return [_checkpoint(body, tuple(signatures), named) for body, signatures in found]


_SHAPE = "a checkpoint is its origin, its size and its root, each on a line of its own"


def read_checkpoint(text: str, named: str = "") -> Checkpoint:
    """The one checkpoint of a text."""
    found = read_checkpoints(text, named)
    if len(found) != 1:
        raise ValueError(f"there are {len(found)} checkpoints in this text, not one")
    return found[0]


def _checkpoint(body: list[str], signatures: tuple[str, ...], named: str) -> Checkpoint:
    if len(body) < 3:  # more rows may follow: the standard leaves room for them
        raise ValueError(_SHAPE)
    head = _of_base64(body[2], "root")
    if len(head) != 32:
        raise ValueError(f"the root is {len(head)} bytes long, not 32")
    return Checkpoint(body[0], read_size(body[1]), head, "".join(f"{row}\n" for row in body), signatures, named)


def read_root(text: str) -> bytes:
    """A root typed from paper: base64 as in a checkpoint, 64 hex digits, or the 12 hex digits of a seal (6 bytes)."""
    digits = "".join(text.split())
    if re.fullmatch("[0-9A-Fa-f]{64}|[0-9A-Fa-f]{12}", digits):
        return bytes.fromhex(digits)
    head = _of_base64(digits, "root")
    if len(head) != 32:
        raise ValueError(f"the root is {len(head)} bytes long, not 32")
    return head


def read_size(text: str) -> int:
    if not re.fullmatch("0|[1-9][0-9]{0,15}", text):
        raise ValueError(f"'{text}' is not a number of lines")
    return int(text)


def _in_base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _of_base64(text: str, what: str) -> bytes:
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        data = b""
    if not data or _in_base64(data) != text:  # the same bytes spelt in another way are refused too
        raise ValueError(f"the {what} is not base64: '{text}'")
    return data


def key_text(name: str, public: bytes) -> str:
    """The public key as witnesses keep it: name+key id+base64, the C2SP `vkey`."""
    if not are_hashes(public):
        raise ValueError("a public key is 32 bytes")
    return f"{name}+{_key_id(name, public).hex()}+{_in_base64(_ED25519 + public)}"


_ED25519 = b"\x01"


def _refuse_name(name: str) -> None:
    if not name or "+" in name or any(character.isspace() for character in name):
        raise ValueError(f"the name '{name}' is empty or holds a space or a plus sign")


def _key_id(name: str, public: bytes) -> bytes:
    _refuse_name(name)
    return sha256(name.encode() + b"\n" + _ED25519 + public).digest()[:4]


def read_key(text: str) -> tuple[str, bytes]:
    """Name and public key of a `vkey`."""
    name, _, rest = text.strip().partition("+")
    key_id, _, coded = rest.partition("+")
    key = _of_base64(coded, "key")
    if key[:1] != _ED25519 or len(key) != 33 or _key_id(name, key[1:]).hex() != key_id:
        raise ValueError("the key does not agree with its own key id, or is not an Ed25519 key")
    return name, key[1:]


def public_of(secret: bytes) -> bytes:
    """The 32 public bytes of a 32-byte Ed25519 secret."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return Ed25519PrivateKey.from_private_bytes(secret).public_key().public_bytes_raw()


def sign(body: str, secret: bytes, name: str) -> str:
    """The signed note: the body, an empty line, one line of signature. `secret` is the 32 bytes of RFC 8032."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.from_private_bytes(secret)
    key_id = _key_id(name, key.public_key().public_bytes_raw())
    return f"{body}\n— {name} {_in_base64(key_id + key.sign(body.encode()))}\n"


def is_signed(body: str, signatures: Sequence[str], key: str) -> bool | None:
    """True: signed with this key. False: a signature in its name that does not hold. None: no signature by it.

    Raises ImportError where `cryptography` is missing: then say "signature not checked".
    """
    name, public = read_key(key)
    start = f"— {name} "
    for coded in (row.removeprefix(start) for row in signatures if row.startswith(start)):
        try:
            signature = _of_base64(coded, "signature")
        except ValueError:
            return False
        if signature[:4] == _key_id(name, public):
            return _holds(public, signature[4:], body.encode())
    return None


def _holds(public: bytes, signature: bytes, signed: bytes) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, signed)
    except InvalidSignature:
        return False
    return True
