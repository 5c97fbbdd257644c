"""The catalogue: what a thing is and where it came from. Rooms, bottom first: see `apps.ROOMS`."""
