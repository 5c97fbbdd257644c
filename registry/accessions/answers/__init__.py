"""What entries, accessions and the register say when other rooms ask."""

from registry.accessions.answers import cast_page, desk, marking, past

__all__ = ["cast_page", "desk", "marking", "past"]
