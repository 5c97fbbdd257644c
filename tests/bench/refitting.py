"""W6: suggested fits for a cast of 180 pieces and one of 2 000, against one NumPy distance matrix over the same faces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from catalog.casts.refitting import Face, ranked_fits
from catalog.casts.simulated import made_up_cast
from tests.bench.table import Measure, median_ms

SEED = 2026


def suggesting() -> Iterator[Measure]:
    """Made-up casts with sizes known to five per cent."""
    per_face = {}
    for pieces, reach, times in ((180, "<= 20 ms", 7), (2_000, "<= 5 x floor", 3)):
        faces = made_up_cast(pieces, 0.05, SEED).faces
        ours = median_ms(lambda faces=faces: ranked_fits(faces), times=times)
        floor = median_ms(lambda faces=faces: distances(faces), times=times)
        per_face[pieces] = ours / len(faces)
        note = f"{len(faces)} faces"
        if pieces == 2_000:
            note += f"; a face costs {per_face[2_000] / per_face[180]:.1f} x that at 180"
        yield Measure(f"W6 suggested fits, {pieces} pieces", "-", ours, floor, None, reach, note)


def distances(faces: Sequence[Face]) -> object:
    """The floor: how far every face is from every other in size and depth."""
    import numpy

    rows = numpy.array([[f.size_mm or 0, f.across_mm or 0, f.top_cm or 0] for f in faces])
    apart = rows[:, None, :] - rows[None, :, :]
    return numpy.sqrt((apart * apart).sum(axis=-1))
