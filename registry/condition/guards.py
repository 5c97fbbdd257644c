"""A restriction on a piece is on a piece of its cast."""

from catalog.ground.guards import guard, piece_of_its_cast

guard(piece_of_its_cast("registry_restriction"))
