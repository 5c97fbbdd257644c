"""The field: where, by whose leave, what was poured, what came up in which bag.

Records: Site, Permit, Excavation, ExactPlace, ExcavationPerson, MaterialLot, LotEntry, Pour, Lift, Bag.
Words: excavation, site, permit, pour, lift, material lot, sprue.
Next door: taxa below; casts above.
"""
