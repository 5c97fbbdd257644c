"""What was found when a file was checked stays as found; a photograph's piece is a piece of its cast; a mark stays where it is."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast, trigger

guard(
    never_changes("catalog_filecheck", "What a check of a file found is never changed."),
    piece_of_its_cast("catalog_photograph"),
    trigger(
        "catalog_annotation",
        "catalog_annotation_stays",
        "A mark is never moved. Take it off, and draw another.",
        when="OLD.points <> NEW.points OR OLD.shape <> NEW.shape OR OLD.photograph_id <> NEW.photograph_id",
        before="UPDATE",
    ),
    # papers as they were sent are sealed with the files: ground itself states no guards
    never_changes(
        "catalog_paper", "A paper that was sent or signed is never changed. A newer one says which it replaces."
    ),
)
