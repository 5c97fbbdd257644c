"""Saying no: what is so and what to do. Knows no HTTP and no Django; doors turn it into pages and problem documents."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Reason:
    """One sentence, the field it is about (a path such as `into/2/mass_g`), what was said there, where it is mended."""

    sentence: str
    field: str = ""
    remedy: str = ""
    said: str = ""


class Refusal(Exception):
    """What was sent is wrong or not enough: nothing was written."""

    status = 422
    title = "Not written"
    kind = "not-enough"

    def __init__(self, *reasons: Reason | str, **more: object) -> None:
        self.reasons = [r if isinstance(r, Reason) else Reason(r) for r in reasons]
        self.more = more
        super().__init__(" ".join(r.sentence for r in self.reasons))


class Hindered(Refusal):
    """The thing's own state forbids it."""

    status = 409
    title = "Its state forbids it"
    kind = "hindered"


class NotAllowed(Refusal):
    """Who asks may not; the sentence names who may."""

    status = 403
    title = "Not yours to do"
    kind = "not-allowed"


class NotFound(Refusal):
    """There is no such thing, or none that this reader may know of."""

    status = 404
    title = "Not one of ours"
    kind = "not-found"


class Stale(Refusal):
    """Somebody saved before; `now` is the record as it stands."""

    status = 412
    title = "Somebody saved before you"
    kind = "stale"

    def __init__(self, sentence: str, now: object = None) -> None:
        super().__init__(sentence)
        self.now = now


class Busy(Refusal):
    """Others are writing, or the disk is full, or the record can only be read: press again later."""

    status = 503
    title = "Others are writing"
    kind = "busy"


class TooLarge(Refusal):
    status = 413
    title = "Too large"
    kind = "too-large"


class Full(Refusal):
    status = 507
    title = "The disk is full"
    kind = "full"


def refuse_if(reasons: list[Reason], how: type[Refusal] = Hindered) -> None:
    """Refuses when there is any reason to."""
    if reasons:
        raise how(*reasons)
