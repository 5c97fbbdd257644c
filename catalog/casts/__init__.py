"""The numbered object and its pieces: what it is, how its pieces hang together, who said which animal it is.

Records: Cast, OldNumber, FormerNumber, CastPerson, Determination, Piece, BreakFace, Join, RefusedFit,
CrumbLot.
Words: cast, piece, determination, number, completeness.
Next door: excavations below; media above.
"""
