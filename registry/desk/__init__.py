"""Reads of all the rest: today's work, the one box, what a code leads to, help and the API's own pages.

Records: none.
Words: today, find, scan.
Next door: every other room below.
"""
