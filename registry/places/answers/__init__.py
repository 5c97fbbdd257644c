"""What places say when other rooms ask: where it is, who has it, where it was, what is late, which place bears a code."""

from registry.places.answers import cast_page, desk, lists, parts, past, trays

__all__ = ["cast_page", "desk", "lists", "parts", "past", "trays"]
