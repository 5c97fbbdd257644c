"""Reads of all the rest: today's work, the one box, what happened.

Records: none.
Words: today, find.
Next door: every other room below.
"""
