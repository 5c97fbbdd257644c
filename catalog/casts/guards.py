"""What the database itself holds of numbers and joins, whoever writes."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast, trigger

_STANDS = "('dry fit', 'fixed')"

guard(
    never_changes("catalog_oldnumber", "An old number leads to its cast for ever."),
    piece_of_its_cast("catalog_formernumber"),
    piece_of_its_cast("catalog_crumblot"),
    trigger(
        "catalog_join",
        "catalog_join_face_once",
        "A face is in one standing join at most. Undo the other one first.",
        when=(
            f"NEW.state IN {_STANDS} AND EXISTS (SELECT 1 FROM catalog_join j WHERE j.id <> COALESCE(NEW.id, -1) "
            f"AND j.state IN {_STANDS} AND (j.face_a_id IN (NEW.face_a_id, NEW.face_b_id) "
            "OR j.face_b_id IN (NEW.face_a_id, NEW.face_b_id)))"
        ),
        before="INSERT OR UPDATE",
    ),
    trigger(
        "catalog_join",
        "catalog_join_two_pieces",
        "A join is between two pieces of one cast.",
        when=(
            f"NEW.state IN {_STANDS} AND NOT EXISTS (SELECT 1 FROM catalog_breakface a, catalog_breakface b, "
            "catalog_piece p, catalog_piece q WHERE a.id = NEW.face_a_id AND b.id = NEW.face_b_id "
            "AND p.id = a.piece_id AND q.id = b.piece_id AND p.id <> q.id "
            "AND p.cast_id = NEW.cast_id AND q.cast_id = NEW.cast_id)"
        ),
        before="INSERT OR UPDATE",
    ),
    trigger(
        "catalog_piece",
        "catalog_piece_stays",
        "A piece keeps its cast and its number.",
        when="(NEW.cast_id <> OLD.cast_id OR NEW.suffix <> OLD.suffix)",
        before="UPDATE",
    ),
)
