"""Where things are and everywhere they have been.

Records: Place, Placement, Movement, Custody.
Words: place, home place, container, movement, custody.
Next door: condition above; the whole catalogue below.
"""
