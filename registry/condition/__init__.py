"""The state of things: what is barred for a cast, and why. Examinations, incidents and treatments come to live here.

Records: Restriction.
Words: restriction.
Next door: places below; accessions above.
"""
