"""Codes of authenticator apps against RFC 6238 appendix B (SHA-1, the last six of its eight figures)."""

from __future__ import annotations

import base64

import pytest
import time_machine
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value, validate_totp_code

from catalog.people.actions.factors import step_of

# RFC 6238 appendix B: the ASCII secret "12345678901234567890", time in seconds -> TOTP of eight figures
SECRET = base64.b32encode(b"12345678901234567890").decode()
APPENDIX_B = {
    59: "94287082",
    1111111109: "07081804",
    1111111111: "14050471",
    1234567890: "89005924",
    2000000000: "69279037",
    20000000000: "65353130",
}
# RFC 4226 appendix D: HOTP of six figures for counters 0 to 9, the same secret
APPENDIX_D = ["755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583", "399871", "520489"]


@pytest.mark.parametrize("seconds, eight", list(APPENDIX_B.items()))
def test_appendix_b_of_rfc_6238(seconds: int, eight: str) -> None:
    with time_machine.travel(seconds, tick=False):
        assert validate_totp_code(SECRET, eight[-6:])
        assert step_of(SECRET, eight[-6:]) == seconds // 30


@pytest.mark.parametrize("counter, code", list(enumerate(APPENDIX_D)))
def test_appendix_d_of_rfc_4226(counter: int, code: str) -> None:
    assert format_hotp_value(hotp_value(SECRET, counter)) == code


def test_one_step_to_either_side_is_heard_and_no_further() -> None:
    with time_machine.travel(59, tick=False):
        heard = [step_of(SECRET, code) for code in APPENDIX_D[:4]]
    assert heard == [0, 1, 2, None]


def test_a_step_that_was_used_is_used() -> None:
    with time_machine.travel(59, tick=False):
        assert step_of(SECRET, APPENDIX_D[1], after=1) is None
        assert step_of(SECRET, APPENDIX_D[2], after=1) == 2
