"""The next number under a name: no gap, no double, whoever else is writing."""

from __future__ import annotations

from catalog.ground.models import Counter


def next_number(name: str) -> int:
    """Gives the next number; the counter stays locked until the act ends. Call it inside an action."""
    Counter.objects.bulk_create([Counter(name=name)], ignore_conflicts=True)
    counter = Counter.objects.select_for_update(no_key=True).get(name=name)
    counter.last += 1
    counter.save(update_fields=["last"])
    return counter.last


def last_number(name: str) -> int:
    """The last number given under this name, 0 if none was."""
    return Counter.objects.filter(name=name).values_list("last", flat=True).first() or 0


def never_below(name: str, used: int) -> None:
    """Lifts the counter to a number that was used before this register. Call it inside an action."""
    Counter.objects.bulk_create([Counter(name=name)], ignore_conflicts=True)
    counter = Counter.objects.select_for_update(no_key=True).get(name=name)
    if counter.last < used:
        counter.last = used
        counter.save(update_fields=["last"])
