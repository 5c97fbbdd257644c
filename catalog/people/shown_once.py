"""Secrets that are shown once: their letters, their check characters, their fingerprints. No database.

A token is `undercast_<tool|hand>_`, 32 characters of 160 random bits, and 7 of CRC-32 over all before, both in base 32
without i, l, o and u: whoever scans for secrets can tell a true one from a likeness.
"""

import hashlib
import hmac
import re
import secrets
import zlib

ALPHABET = "0123456789abcdefghjkmnpqrstvwxyz"
KINDS = ("tool", "hand")
_BITS = 20
_TOKEN = re.compile(rf"undercast_({'|'.join(KINDS)})_([{ALPHABET}]{{39}})")
_LINK = re.compile(rf"[{ALPHABET}]{{32}}")


def base_32(value: int, length: int) -> str:
    """The value in `length` characters, big end first."""
    letters = ""
    for _ in range(length):
        value, digit = divmod(value, 32)
        letters = ALPHABET[digit] + letters
    return letters


def token_of(kind: str, bits: bytes) -> str:
    """The token for 20 bytes: `undercast_tool_000g40r40m30e209185gr38e1w8124gk23m0zzr` for 00 01 … 13."""
    if kind not in KINDS or len(bits) != _BITS:
        raise ValueError("A token is made of a known kind and 160 bits.")
    before = f"undercast_{kind}_{base_32(int.from_bytes(bits), 32)}"
    return before + base_32(zlib.crc32(before.encode()), 7)


def new_token(kind: str) -> tuple[str, str, str]:
    """A fresh token -> (secret, its SHA-256 in hex, the four characters by which it is recognised)."""
    secret = token_of(kind, secrets.token_bytes(_BITS))
    begins = secret.split("_")[2][:4]
    return secret, digest_of(secret), begins


def is_token(text: str) -> bool:
    """True for what has the form of a token and the right check characters."""
    if not _TOKEN.fullmatch(text):
        return False
    return base_32(zlib.crc32(text[:-7].encode()), 7) == text[-7:]


def tokens_in(text: str) -> list[str]:
    """Every true token that stands somewhere in this text."""
    return [found.group() for found in _TOKEN.finditer(text) if is_token(found.group())]


def new_link() -> str:
    """32 characters of 160 random bits."""
    return base_32(int.from_bytes(secrets.token_bytes(_BITS)), 32)


def derived_link(key: str, about: str) -> str:
    """32 characters that only who has the house's key can make again: a letter can be sent twice, and no table holds it."""
    made = hmac.digest(key.encode(), f"undercast link {about}".encode(), "sha256")
    return base_32(int.from_bytes(made[:_BITS]), 32)


def is_link(text: str) -> bool:
    return bool(_LINK.fullmatch(text))


def digest_of(secret: str) -> str:
    """What is kept of a secret: 64 hex characters of SHA-256."""
    return hashlib.sha256(secret.encode()).hexdigest()
