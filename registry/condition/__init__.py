"""The state of things: what is barred for a cast, and why. Examinations, incidents and treatments come to live here.

Records: Examination, Finding, Restriction.
Words: examination, finding, restriction.
Next door: places below; accessions above.
"""
