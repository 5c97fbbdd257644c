"""Photographs, papers on record, their files with checksums.

Records: Photograph, Document, FileCheck.
Words: photograph, paper on record.
Next door: casts below; publishing above.
"""
