"""What goes wrong at the API, by the last part of a problem's type: its title, what it means, what to do."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One kind of problem: its status, its title, what it means, what to do about it."""

    status: int
    title: str
    means: str
    do: str


PROBLEMS: dict[str, Problem] = {
    "cannot-be-read": Problem(
        400,
        "Cannot be read",
        "The request is not in the form that this address reads: not JSON, an unknown filter, a cursor of somewhere else.",
        "“detail” says what it is; “known” lists what is known here. POST wants an Idempotency-Key, a text of 16 to 128 "
        "letters and figures of your own making.",
    ),
    "unreadable": Problem(
        400,
        "Cannot be read",
        "What was sent did not arrive whole, or the address holds a character that nothing of ours has.",
        "Send it again under the same Idempotency-Key; it will not happen twice.",
    ),
    "who-are-you": Problem(
        401,
        "Who are you",
        "No token came with the request, or one that is not known here, has run out, or was revoked.",
        "Send “Authorization: Bearer” with a token of yours. Tokens are given under Settings and shown once.",
    ),
    "not-allowed": Problem(
        403,
        "Not yours to do",
        "The person whose token this is may not do this, or the token's scope leaves it out.",
        "“scope” names the act that is missing. Ask the registrar for a token with it, or let somebody do it who may.",
    ),
    "not-yours-to-do": Problem(
        403,
        "Not yours to do",
        "A page was open too long, or may not be asked by you.",
        "Open the page again and press once more; a tool sends a token instead of a session.",
    ),
    "not-found": Problem(
        404,
        "Not one of ours",
        "Nothing of ours bears this number, or nothing that you may know of. Both are answered in the same words.",
        "Look for it in the one box: former numbers and misspelt words are found there.",
    ),
    "not-one-of-ours": Problem(
        404,
        "Not one of ours",
        "Nothing of ours has this address, or nothing that you may know of.",
        "The list of resources is at /api/.",
    ),
    "not-done-this-way": Problem(
        405,
        "Not done this way",
        "This address does not take that method.",
        "The readable page of the API says which methods each address takes.",
    ),
    "not-in-that-form": Problem(
        415,
        "Not in that form",
        "The body is of a kind that is not read here, or is packed; or an answer was asked for in a form that is not given.",
        "Send JSON (application/json), unpacked, or a form with files (multipart/form-data). Answers are JSON.",
    ),
    "hindered": Problem(
        409,
        "Its state forbids it",
        "The thing's own state does not allow this now: it is numbered already, it is barred, a step comes before this one.",
        "“detail” says what stands in the way and who can lift it; “remedy” leads to the place.",
    ),
    "stale": Problem(
        412,
        "Somebody saved before you",
        "The record has another version than the one in If-Match.",
        "“now” is the record as it stands. Look at both, then send yours with the new ETag.",
    ),
    "too-large": Problem(
        413,
        "Too large",
        "A file or a body is larger than is taken at once.",
        "A photograph may be 60 MB and have 120 million pixels; a body of JSON 2.5 MB. Send more in parts.",
    ),
    "not-enough": Problem(
        422,
        "Not written",
        "What was sent is wrong or not enough. Nothing was written.",
        "“errors” names each member by its pointer, with a sentence and what was said; “missing” lists what is still "
        "wanted. Mend it and send it again, under a new key.",
    ),
    "not-written": Problem(
        422,
        "Not written",
        "A member is unknown, missing, or not of the kind that is wanted. Nothing was written.",
        "“errors” names each member by its pointer. Mend it and send it again, under a new key.",
    ),
    "other-words": Problem(
        422,
        "The same key with other words",
        "This Idempotency-Key was used before, for another request.",
        "Make a new key for each new thing; keep the old one only for sending the same thing again.",
    ),
    "say-which-version-you-saw": Problem(
        428,
        "Say which version you saw",
        "A change wants If-Match, so that nobody's work is overwritten unseen.",
        'Get the record first and send its ETag as it was given, such as If-Match: "v7".',
    ),
    "too-many-at-once": Problem(
        429,
        "Too many at once",
        "More was asked than is answered in a minute, or wrong tries have to wait.",
        "Wait for as many seconds as Retry-After says, then go on. A token may ask 600 times a minute.",
    ),
    "broken": Problem(
        500,
        "Something broke on our side",
        "The fault is ours. Nothing was saved by this request; what was saved before stands.",
        "Send it again under the same key. If it stays like this, tell the registrar the code in “detail”.",
    ),
    "busy": Problem(
        503,
        "Others are writing",
        "Others are writing just now, or the register can be read but not written.",
        "Wait for as many seconds as Retry-After says and send it again under the same key; it will not happen twice.",
    ),
    "full": Problem(
        507,
        "The disk is full",
        "There is no room to write. Nothing was saved by this request, and nothing that was saved before is lost.",
        "Whoever keeps the machine makes room; then send it again under the same key.",
    ),
}
