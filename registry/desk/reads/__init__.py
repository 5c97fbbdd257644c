"""What the desk reads: today's work, what was looked for, what a code leads to."""

from registry.desk.reads.finding import Looked, looked_up, suggested
from registry.desk.reads.numbers import bearers, shown_to_visitors, the_one
from registry.desk.reads.today import Group, Waits, todays_groups

__all__ = [
    "Group",
    "Looked",
    "Waits",
    "bearers",
    "looked_up",
    "shown_to_visitors",
    "suggested",
    "the_one",
    "todays_groups",
]
