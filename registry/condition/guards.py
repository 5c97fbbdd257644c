"""A restriction, an incident, a breakage on a piece is on a piece of its cast; what happened is never rewritten."""

from catalog.ground.guards import Guard, guard, never_changes, piece_of_its_cast, trigger

_TAKE_BACK = "What happened is never rewritten. Take the incident back, and record it anew."

guard(
    piece_of_its_cast("registry_restriction"),
    piece_of_its_cast("registry_incidentsubject"),
    piece_of_its_cast("registry_breakage"),
    never_changes("registry_incidentsubject", f"{_TAKE_BACK} (what it was)"),
    never_changes("registry_incidentphotograph", f"{_TAKE_BACK} (its pictures)"),
    never_changes("registry_breakage", f"{_TAKE_BACK} (what broke)"),
    never_changes("registry_breakagepart", f"{_TAKE_BACK} (its parts)"),
    never_changes("registry_failedjoin", f"{_TAKE_BACK} (joins that failed)"),
)

_SIGNED = "A signed examination is never changed. A newer one says what it puts right."


def _with_its_examination(name: str, row: str, before: str) -> Guard:
    """Findings of a signed examination stand as they were signed."""
    when = (
        f"EXISTS (SELECT 1 FROM registry_examination e WHERE e.id = {row}.examination_id AND e.signed_at IS NOT NULL)"
    )
    return trigger("registry_finding", f"registry_finding_{name}", _SIGNED, when=when, before=before)


guard(
    piece_of_its_cast("registry_examination"),
    never_changes("registry_examination", _SIGNED, once="signed_at"),
    _with_its_examination("stays", "OLD", "UPDATE OR DELETE"),
    _with_its_examination("closed", "NEW", "INSERT OR UPDATE"),
)
