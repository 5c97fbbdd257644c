"""Names of animals.

Records: Taxon.
Words: animal.
Next door: people below; excavations above.
"""
