"""What the desk reads: today's work, what was looked for, what a code leads to."""

from registry.desk.reads.finding import Looked, looked_up, suggested
from registry.desk.reads.numbers import bearers, led_to, shown_to_visitors
from registry.desk.reads.today import Group, Waits, todays_groups

__all__ = [
    "Group",
    "Looked",
    "Waits",
    "bearers",
    "led_to",
    "looked_up",
    "shown_to_visitors",
    "suggested",
    "todays_groups",
]
