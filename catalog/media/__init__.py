"""Photographs, marks on them, papers on record, their files with checksums.

Records: Photograph, Annotation, Document, FileCheck.
Words: photograph, mark, paper on record.
Next door: casts below; publishing above.
"""
