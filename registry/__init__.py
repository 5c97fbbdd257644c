"""The register: what happens to a thing while it is in somebody's hands. Rooms, bottom first: see `apps.ROOMS`."""
