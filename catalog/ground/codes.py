"""Codes on labels and papers (QR, ISO/IEC 18004): the address they hold, their size, their drawing.

Level M, quiet zone of 4 modules on all sides; capitals only, so that the shorter alphanumeric mode serves.
"""

import re
from functools import lru_cache
from urllib.parse import quote, urlsplit

QUIET_ZONE = 4
_HOST = re.compile(r"(?:[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?\.)*[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?", re.ASCII)
_UNSEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]")
_LONGEST_NUMBER = 64


def _host(base_address: str) -> str:
    """Scheme, host and port of the base address, in capitals; nothing else of it enters a code."""
    parts = urlsplit(base_address.strip())
    host, port = (parts.hostname or ""), parts.port
    if parts.scheme not in ("https", "http") or not _HOST.fullmatch(host) or len(host) > 253:
        raise ValueError(f"{base_address} is no address that a code can hold. Write https:// and the name of the host.")
    if parts.username or parts.query or parts.fragment or parts.path not in ("", "/"):
        raise ValueError(f"{base_address} holds more than a host. Write only https:// and the name of the host.")
    return f"{parts.scheme}://{host}{f':{port}' if port else ''}".upper()


def code_address(base_address: str, number: str) -> str:
    """HTTPS://HOST/Q/<NUMBER>, in capitals; signs outside A-Z 0-9 . - are percent-encoded (RFC 3986)."""
    if not number or number != number.strip() or len(number) > _LONGEST_NUMBER or _UNSEEN.search(number):
        raise ValueError(f"{number!r} is no number that a code can hold.")
    capitals = "".join(sign.upper() if sign.isascii() else sign for sign in number)
    path = quote(capitals, safe="").replace("_", "%5F").replace("~", "%7E")  # outside the alphanumeric mode of the code
    return f"{_host(base_address)}/Q/{path}"


@lru_cache(maxsize=4096)
def _matrix(text: str) -> tuple[bytes, ...]:
    """Rows of dark (1) and light (0) modules, without the quiet zone."""
    import segno  # 0.1 s to import and only papers and labels want it

    return tuple(bytes(row) for row in segno.make(text, error="m", boost_error=False, micro=False).matrix)


def code_modules(text: str) -> int:
    """Modules along one side, quiet zone counted: 33 for version 2."""
    return len(_matrix(text)) + 2 * QUIET_ZONE


@lru_cache(maxsize=4096)
def code_svg(text: str) -> str:
    """The code as a drawing with its quiet zone, one module a unit, black on white."""
    side = code_modules(text)
    runs = [
        f"M{run.start() + QUIET_ZONE} {y + QUIET_ZONE}h{run.end() - run.start()}v1h-{run.end() - run.start()}z"
        for y, row in enumerate(_matrix(text))
        for run in re.finditer(rb"\x01+", row)
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{side}" height="{side}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{"".join(runs)}"/></svg>'
    )
