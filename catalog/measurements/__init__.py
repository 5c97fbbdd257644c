"""What instruments and people measured: values that are never overwritten, each with its time, its state and how far it may be off.

Furniture: `models` and `rules` below, `actions` the only writes, `reads` for pages, API and rooms above. `budget` is the
uncertainty of one weighing; whether a mass is constant is reckoned in `casts.drying`.
"""
