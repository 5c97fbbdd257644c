"""A movement is never edited; a place never stands inside itself, at any depth."""

from catalog.ground.guards import Guard, guard, never_changes, piece_of_its_cast

_UP = (
    "WITH RECURSIVE up(id, parent_id) AS (SELECT id, parent_id FROM registry_place WHERE id = NEW.parent_id "
    "UNION SELECT p.id, p.parent_id FROM registry_place p JOIN up ON p.id = up.parent_id) "
    "SELECT 1 FROM up WHERE id = NEW.id"
)
_SENTENCE = "A place cannot stand inside itself, however deep."
_NAME = "registry_place_no_circle"

guard(
    never_changes("registry_movement", "A movement is never edited. Write a correcting movement."),
    never_changes("registry_custody", "Who held it is never edited. Write a later hand-over."),
    piece_of_its_cast("registry_movement"),
    piece_of_its_cast("registry_placement"),
    Guard(
        "registry_place",
        _NAME,
        _SENTENCE,
        sqlite=(
            f"CREATE TRIGGER {_NAME}_0 AFTER UPDATE OF parent_id ON registry_place WHEN EXISTS ({_UP}) "
            f"BEGIN SELECT RAISE(ABORT, '{_SENTENCE}'); END",
        ),
        postgres=(
            # the lock: two crates put into each other at one instant do not see each other's row
            f"CREATE OR REPLACE FUNCTION {_NAME}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            f"PERFORM pg_advisory_xact_lock(20101); IF EXISTS ({_UP}) THEN RAISE EXCEPTION '{_SENTENCE}' "
            f"USING ERRCODE = 'integrity_constraint_violation', CONSTRAINT = '{_NAME}'; END IF; RETURN NEW; END $$",
            f"CREATE TRIGGER {_NAME} AFTER UPDATE OF parent_id ON registry_place FOR EACH ROW EXECUTE FUNCTION {_NAME}()",
            f"ALTER TABLE registry_place ENABLE ALWAYS TRIGGER {_NAME}",
        ),
    ),
)
