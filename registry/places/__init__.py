"""Where things are and everywhere they have been.

Records: Place, Placement, Movement, Custody, TrayList, TrayRow.
Words: place, home place, container, movement, custody, tray.
Next door: condition above; the whole catalogue below.
"""
