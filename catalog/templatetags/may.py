"""What is not allowed is not offered: `{% may "entry.make" as ok %}`."""

from __future__ import annotations

from typing import Any

from django import template

from catalog.ground.roles import VISITOR
from catalog.ground.roles import may as may_act

register = template.Library()


@register.simple_tag(takes_context=True)
def may(context: Any, act: str, subject: object = None) -> bool:
    """True where the reader of this page may take this act."""
    return may_act(context.get("actor") or VISITOR, act, subject)
