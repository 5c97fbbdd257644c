"""Which break face may fit which: faces in, ranked suggestions with reasons out. Pure; a person's dry fit is the proof."""

from catalog.casts.refitting.faces import Face, Weights
from catalog.casts.refitting.ranking import Fit, ranked_fits, suggested_fits
from catalog.casts.refitting.score import Sizes, size_llr, sizes_differ_z, usual_sizes
from catalog.casts.refitting.words import why

__all__ = [
    "Face",
    "Fit",
    "Sizes",
    "Weights",
    "ranked_fits",
    "size_llr",
    "sizes_differ_z",
    "suggested_fits",
    "usual_sizes",
    "why",
]
