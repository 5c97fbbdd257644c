"""Every write about the state of things: what is barred."""

from registry.condition.actions.examinations import change_draft, examine, sign_examination
from registry.condition.actions.restrictions import lift_restriction, restrict

__all__ = ["change_draft", "examine", "lift_restriction", "restrict", "sign_examination"]
